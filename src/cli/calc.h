/* calc.h - `stanch calc NAME [FILE]`: one calculation, JSON in, JSON out (docs/calc.md).
 * Threads  called once, from main. */
#ifndef STANCH_CLI_CALC_H
#define STANCH_CLI_CALC_H

/* argv[0] is "calc". Prints the result, or --list, --explain, --example; on a fault one sentence on standard
 * error and nothing on standard output. Returns the exit status: 0, 2 bad input, 1 the machine failed. */
int cli_calc(int argc, char **argv);

#endif
