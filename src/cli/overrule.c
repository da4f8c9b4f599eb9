#include "cli/actor.h"
#include "cli/cli.h"
#include "cli/options.h"
#include "ops/gauge.h"

#include <stdio.h>

static status check_words(const ops_overrule_request *r, bool withdraw, size_t n, fault *why) {
    if (!r->by) return fault_set(why, E_INPUT, "overrule: --by NAME is needed: the choice has a name");
    if (withdraw && n != 2)
        return fault_set(why, E_INPUT,
                         "overrule: --withdraw takes no method; use: stanch overrule JOB MARK --withdraw");
    if (!withdraw && n != 3)
        return fault_set(why, E_INPUT, "overrule: which method? use: stanch overrule JOB MARK METHOD");
    if (!withdraw && !r->why)
        return fault_set(why, E_INPUT, "overrule: --why TEXT is needed: the reason is kept and printed");
    return OK;
}

static status run(char **operands, ops_overrule_request *r, fault *why) {
    actor_texts texts;
    ops_actor actor;
    ops_leak_change now;
    status code = actor_read(&texts, &actor, why);
    r->mark = operands[1];
    if (code == OK) code = ops_overrule(operands[0], r, &actor, &now, why);
    if (code != OK) return code;
    const char *what = !now.changed ? "stood like this already"
                       : r->method  ? r->method
                                    : "the table decides again";
    printf("%s: %s. Next: stanch plan %s\n", r->mark, what, operands[0]);
    return OK;
}

int cli_overrule(int argc, char **argv) {
    ops_overrule_request request = {0};
    const char *date = NULL;
    bool withdraw = false;
    const options_item items[] = {
        {"--by", "NAME", "who decides: a person's name and office", &request.by, NULL},
        {"--why", "TEXT", "the reason, kept and printed", &request.why, NULL},
        {"--on", "YYYY-MM-DD", "when (default today)", &date, NULL},
        {"--withdraw", NULL, "take the choice back: the table decides again", NULL, &withdraw},
    };
    const options_table table = {
        "overrule",
        "JOB MARK [METHOD]",
        "Keeps a named person's choice of method against the table, e.g. stanch overrule "
        "cellar.stanch C1 inject_epoxy --by \"N. N.\" --why \"load passes here\". The plan prints "
        "the table's own answer beside it. A STOP is not overruled: it is answered.",
        items,
        4,
        2,
        3};
    fault why = {0};
    size_t n;
    bool done;
    char today[TODAY_TEXT];
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    if (code == OK) code = check_words(&request, withdraw, n, &why);
    if (code == OK) code = today_read(date, today, &why);
    if (code == OK) {
        request.on = today;
        request.method = withdraw ? NULL : argv[3];
        code = run(argv + 1, &request, &why);
    }
    return code == OK ? 0 : cli_fail(&why);
}
