#include "cli/cli.h"
#include "cli/options.h"
#include "cli/wrap.h"
#include "diagnose/method.h"

#include <stdio.h>
#include <string.h>

static void print_names(void) {
    printf("%-20s%-23s%s\n", "WORD", "NAME", "WHAT IS DONE");
    for (size_t i = 0; i < METHOD_COUNT; i++)
        printf("%-20s%-23s%s\n", survey_method_words[i], method_words[i], method_about[i]);
}

/* `when` goes on below itself where its column is too narrow. */
static void print_row(size_t number, const method_row *row) {
    enum { WHEN = 30, METHOD = 22 };
    char line[METHOD_WHEN];
    const char *at = row->when;
    for (bool first = true; first || *at; first = false) {
        size_t length = strlen(at), end = length <= WHEN ? length : WHEN;
        while (end < length && end > 1 && at[end] != ' ') end--;
        snprintf(line, sizeof line, "%.*s", (int)end, at);
        if (first)
            printf("%2zu  %-*s %-*s %s\n", number, WHEN, line, METHOD, method_words[row->method],
                   method_words[row->runner_up]);
        else
            printf("    %s\n", line);
        at += end + (at[end] == ' ');
    }
}

static void print_table(void) {
    printf("The first row that fits, and whose method nothing forbids, decides. Line: crack\n"
           "or joint. Still: not known to move; known still: by its gauges. Quoted: read\n"
           "through a page that quotes it.\n"
           "    %-30s %-22s %s\n",
           "WHEN", "METHOD", "RUNNER-UP");
    for (size_t i = 0; i < method_rows(); i++) {
        method_row row = method_row_at(i);
        char line[400];
        print_row(i + 1, &row);
        snprintf(line, sizeof line, "%s [%s]", row.reason, row.basis);
        wrap_print(stdout, "    ", line, 4);
    }
}

int cli_methods(int argc, char **argv) {
    bool whole = false;
    const options_item items[] = {
        {"--table", NULL, "the decision table, on one page of 80 columns", NULL, &whole}};
    const options_table table = {"methods",
                                 "",
                                 "The ways to treat a leak, by the word that files use and by name. With "
                                 "--table: when each is taken, the runner-up, why, and on what that rests.",
                                 items,
                                 1,
                                 0,
                                 0};
    fault why = {0};
    size_t n;
    bool done;
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    if (code == OK && whole) print_table();
    if (code == OK && !whole) print_names();
    return code == OK ? 0 : cli_fail(&why);
}
