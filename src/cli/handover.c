#include "ops/handover.h"
#include "cli/actor.h"
#include "cli/address.h"
#include "cli/cli.h"
#include "cli/options.h"
#include "cli/planes.h"
#include "core/file.h"

#include <stdio.h>

static status hand_over(const char *const *operands, ops_handover_request *request, const char *address,
                        fault *why) {
    actor_texts texts;
    ops_actor actor;
    text pdf = {0};
    long long number = 0;
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    status code = actor_read(&texts, &actor, why);
    if (code == OK) {
        request->link = address ? ops_link(memory, address, operands[1]) : NULL;
        code = ops_handover(operands[1], request, &actor, &pdf, &number, why);
    }
    if (code == OK) code = file_write(operands[2], pdf.bytes, pdf.length, why);
    if (code == OK && number)
        printf("%s: handover %lld, kept in the job\n", operands[2], number);
    else if (code == OK)
        printf("%s: a draft, not kept in the job\n", operands[2]);
    text_free(&pdf);
    arena_free(memory);
    return code;
}

int cli_handover(int argc, char **argv) {
    const char *date = NULL, *address = NULL, *planes = NULL;
    bool draft = false;
    const options_item items[] = {
        {"--date", "YYYY-MM-DD", "date on it, by which looks are due (default today)", &date, NULL},
        {"--draft", NULL, "says so on every page, and is not kept in the job", NULL, &draft},
        {"--address", "URL", "of the page on site: a QR code opens the job", &address, NULL},
        PLANES_OPTION(planes)};
    const options_table table = {"handover",
                                 "JOB FILE.pdf",
                                 "Writes the document that stays with the owner: as-built elevations, what "
                                 "was wrong, what was done, how it "
                                 "was proved, what remains, care and looks, quantities to bill, the records. "
                                 "It is kept in the job as it was "
                                 "handed over.",
                                 items,
                                 sizeof items / sizeof *items,
                                 2,
                                 2};
    fault why = {0};
    size_t n;
    bool done;
    char today[TODAY_TEXT];
    ops_handover_request request = {0};
    ops_plan_request how;
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    if (code == OK) code = today_read(date, today, &why);
    if (code == OK) code = address_read(address, &why);
    if (code == OK) code = planes_read(planes, &how, &why);
    if (code == OK) {
        request.without_planes = how.planes == PLANES_OFF;
        request.threads = how.threads;
        request.on = today;
        request.keep = !draft;
        code = hand_over((const char *const *)argv, &request, address, &why);
    }
    return code == OK ? 0 : cli_fail(&why);
}
