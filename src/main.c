/* stanch - sealing leaking cracks in concrete: from the survey to the plan, the price and the document.
 *
 * This file is the table of contents; one file a command in cli/. */
#include "cli/cli.h"
#include "sparse/sparse.h"
#include "store/store.h"

#include <gsl/gsl_errno.h>
#include <stdio.h>
#include <string.h>

static const cli_command commands[] = {
    {"new", "JOB", "a new job file", cli_new},
    {"import", "JOB FILE...", "take in a survey, gauges, weather", cli_import},
    {"export", "JOB", "give it out: JSON, CSV, GeoJSON, DXF; blank form", cli_export},
    {"plan", "JOB", "pressure, method, slot, plug, quantities, price", cli_plan},
    {"leak", "JOB MARK", "one leak: every number, its equation, its source", cli_leak},
    {"answer", "JOB MARK FINDING", "keep a named person's answer to a finding", cli_answer},
    {"gauge", "JOB MARK WIDTH", "keep one reading of a gauge across a crack", cli_gauge},
    {"overrule", "JOB MARK METHOD", "keep a named person's choice of method", cli_overrule},
    {"risk", "JOB", "what the price may come out as, and why", cli_risk},
    {"offer", "JOB FOLDER", "the offer with its risk: PDF and live XLSX, kept", cli_offer},
    {"report", "JOB FOLDER", "the document: PDF, SVG, DXF, XLSX, calendar", cli_report},
    {"day", "JOB DATE", "the day of a crew: who does what when, batches", cli_day},
    {"at", "JOB TEMPERATURE", "what the works would be at another temperature", cli_at},
    {"record", "JOB MARK WHAT", "keep what was done, used or found at the wall", cli_record},
    {"tank", "JOB TANK FILE.csv", "take in the readings of a tank under test", cli_tank},
    {"accept", "JOB", "is it proved dry? Leaks, tanks, what is due", cli_accept},
    {"built", "JOB", "what was built, against the plan, and its bill", cli_built},
    {"handover", "JOB FILE.pdf", "the document that stays with the owner", cli_handover},
    {"check", "JOB", "was anything in the records changed?", cli_check},
    {"learn", "FOLDER", "what our finished jobs say of our rates", cli_learn},
    {"serve", "JOB-OR-FOLDER", "the page: draw, plan, record, in a browser", cli_serve},
    {"methods", "", "the ways to treat a leak, and when each is taken", cli_methods},
    {"calc", "NAME [FILE]", "one calculation, JSON in, JSON out", cli_calc},
};

int main(int argc, char **argv) {
    fault why = {0};
    gsl_set_error_handler_off();
    sparse_begin();
    if (store_use_memory_hooks(&why) != OK) return cli_fail(&why);
    return cli_run(commands, sizeof commands / sizeof *commands, argc, argv);
}
