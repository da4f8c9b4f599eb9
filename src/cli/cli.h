/* cli.h - the terminal face: reads arguments, calls one op, prints the result. No arithmetic, no SQL.
 *
 * Results go to standard output, faults as one sentence each to standard error. Exit status: 0; 2 bad input;
 * 1 the machine failed; 3 from check alone: the log is broken. Output fits 80 columns.
 * Threads  called from main only. */
#ifndef STANCH_CLI_CLI_H
#define STANCH_CLI_CLI_H

#include "cli/calc.h"
#include "core/fault.h"

typedef struct {
    const char *name, *operands, *summary;
    int (*run)(int argc, char **argv); /* argv[0] is the command's name */
} cli_command;

/* Pick the command, or answer --help, --version, no word and a wrong word. Returns the exit status. */
int cli_run(const cli_command commands[], size_t count, int argc, char **argv);

int cli_new(int argc, char **argv);
int cli_import(int argc, char **argv);
int cli_export(int argc, char **argv);
int cli_plan(int argc, char **argv);
int cli_leak(int argc, char **argv);
int cli_answer(int argc, char **argv);
int cli_gauge(int argc, char **argv);
int cli_overrule(int argc, char **argv);
int cli_record(int argc, char **argv);
int cli_check(int argc, char **argv);
int cli_accept(int argc, char **argv);
int cli_tank(int argc, char **argv);
int cli_built(int argc, char **argv);
int cli_report(int argc, char **argv);
int cli_offer(int argc, char **argv);
int cli_risk(int argc, char **argv);
int cli_handover(int argc, char **argv);
int cli_learn(int argc, char **argv);
int cli_day(int argc, char **argv);
int cli_at(int argc, char **argv);
int cli_serve(int argc, char **argv);
int cli_methods(int argc, char **argv);

/* Print "stanch: sentence" to standard error; returns the exit status of the fault. */
int cli_fail(const fault *why);

#endif
