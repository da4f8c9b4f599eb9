#include "ops/handover.h"
#include "cli/actor.h"
#include "cli/address.h"
#include "cli/cli.h"
#include "cli/kept.h"
#include "cli/options.h"
#include "cli/planes.h"
#include "core/file.h"
#include "ops/offer.h"

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

/* The bytes that were handed over, once more. */
static status again(const char *job, const char *file, const char *word, fault *why) {
    long long number = 0;
    text pdf = {0};
    status code = kept_number(job, word, "handover", &number, why);
    if (code == OK) code = ops_offer_document(job, number, "pdf", &pdf, why);
    if (code == OK) code = file_write(file, pdf.bytes, pdf.length, why);
    if (code == OK) printf("%s: handover %lld, as it was handed over\n", file, number);
    text_free(&pdf);
    return code;
}

static status check_words(size_t n, bool list, const char *word, bool draft, fault *why) {
    if (list && (n > 1 || word || draft))
        return fault_set(why, E_INPUT, "handover: --list goes with the job alone");
    if (word && draft) return fault_set(why, E_INPUT, "handover: --again and --draft do not go together");
    if (!list && n < 2) return fault_set(why, E_INPUT, "handover: FILE.pdf is missing");
    return OK;
}

int cli_handover(int argc, char **argv) {
    const char *date = NULL, *address = NULL, *planes = NULL, *word = NULL;
    bool draft = false, list = false;
    const options_item items[] = {
        {"--date", "YYYY-MM-DD", "date on it, by which looks are due (default today)", &date, NULL},
        {"--draft", NULL, "says so on every page, and is not kept in the job", NULL, &draft},
        {"--address", "URL", "of the page on site: a QR code opens the job", &address, NULL},
        PLANES_OPTION(planes),
        {"--list", NULL, "the handovers that the job keeps", NULL, &list},
        {"--again", "N", "write the kept bytes of handover N once more", &word, NULL}};
    const options_table table = {"handover",
                                 "JOB [FILE.pdf]",
                                 "Writes the document that stays with the owner: as-built elevations, what "
                                 "was wrong, what was done, how it "
                                 "was proved, what remains, care and looks, quantities to bill, the records. "
                                 "It is kept in the job as it was "
                                 "handed over.",
                                 items,
                                 sizeof items / sizeof *items,
                                 1,
                                 2};
    fault why = {0};
    size_t n;
    bool done;
    char today[TODAY_TEXT];
    ops_handover_request request = {0};
    ops_plan_request how;
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    if (code == OK) code = check_words(n, list, word, draft, &why);
    if (code == OK && (list || word)) {
        code = list ? kept_print(argv[1], "handover", &why) : again(argv[1], argv[2], word, &why);
        return code == OK ? 0 : cli_fail(&why);
    }
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
