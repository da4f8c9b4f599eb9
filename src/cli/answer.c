#include "cli/actor.h"
#include "cli/cli.h"
#include "cli/options.h"

#include <stdio.h>

int cli_answer(int argc, char **argv) {
    ops_answer_request request = {0};
    const char *date = NULL;
    const options_item items[] = {
        {"--by", "NAME", "who answers: a person's name and office", &request.by, NULL},
        {"--text", "TEXT", "what was decided and why", &request.what, NULL},
        {"--date", "YYYY-MM-DD", "when (default today)", &date, NULL},
    };
    const options_table table = {"answer",
                                 "JOB MARK FINDING",
                                 "Keeps a named person's answer to a STOP or ASK finding, e.g. stanch answer "
                                 "cellar.stanch E3 rust --by \"N. N., "
                                 "engineer\" --text \"bar sound, 5 % loss\". MARK is site for findings of "
                                 "the site. The design goes on at the next plan.",
                                 items,
                                 3,
                                 3,
                                 3};
    fault why = {0};
    size_t n;
    bool done;
    char today[TODAY_TEXT];
    actor_texts texts;
    ops_actor actor;
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    if (code == OK && (!request.by || !request.what))
        code = fault_set(&why, E_INPUT, "answer: --by NAME and --text TEXT are needed: an answer has a name");
    if (code == OK) code = today_read(date, today, &why);
    if (code == OK) code = actor_read(&texts, &actor, &why);
    if (code == OK) {
        request.mark = argv[2];
        request.finding = argv[3];
        request.on = today;
        code = ops_answer(argv[1], &request, &actor, &why);
    }
    if (code != OK) return cli_fail(&why);
    printf("%s %s: answered by %s. Next: stanch plan %s\n", request.mark, request.finding, request.by,
           argv[1]);
    return 0;
}
