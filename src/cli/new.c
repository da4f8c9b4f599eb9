#include "cli/actor.h"
#include "cli/cli.h"
#include "cli/options.h"

#include <string.h>

static status read_units(const char *word, units_system *out, fault *why) {
    if (!word || strcmp(word, "metric") == 0)
        *out = UNITS_METRIC;
    else if (strcmp(word, "us") == 0)
        *out = UNITS_US;
    else
        return fault_set(why, E_INPUT, "new: --units is %.60s; it must be metric or us", word);
    return OK;
}

static status read_paper(const char *word, bool us, bool *letter, fault *why) {
    if (!word)
        *letter = us;
    else if (strcmp(word, "a4") == 0)
        *letter = false;
    else if (strcmp(word, "letter") == 0)
        *letter = true;
    else
        return fault_set(why, E_INPUT, "new: --paper is %.60s; it must be a4 or letter", word);
    return OK;
}

int cli_new(int argc, char **argv) {
    ops_new_request request = {0};
    const char *units = NULL, *paper = NULL;
    const options_item items[] = {
        {"--name", "TEXT", "name of the site (default: the file's name)", &request.name, NULL},
        {"--units", "metric|us", "units of the job (default metric)", &units, NULL},
        {"--currency", "CODE", "ISO 4217, e.g. EUR, USD (default EUR)", &request.currency, NULL},
        {"--paper", "a4|letter", "paper of the document (default by units)", &paper, NULL},
    };
    const options_table table = {"new",
                                 "JOB",
                                 "Makes a new job file (one SQLite file) with generic materials, rates and "
                                 "prices in it: replace them by your own. "
                                 "An existing file is never overwritten.",
                                 items,
                                 sizeof items / sizeof *items,
                                 1,
                                 1};
    fault why = {0};
    size_t n;
    bool done;
    actor_texts texts;
    ops_actor actor;
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    if (code == OK) code = read_units(units, &request.system, &why);
    if (code == OK) code = read_paper(paper, request.system == UNITS_US, &request.letter_paper, &why);
    if (code == OK) code = actor_read(&texts, &actor, &why);
    if (code == OK) code = ops_new(argv[1], &request, &actor, &why);
    if (code != OK) return cli_fail(&why);
    printf("%s: a new job. Next: stanch import %s SURVEY.json\n", argv[1], argv[1]);
    return 0;
}
