#include "ops/offer.h"
#include "cli/actor.h"
#include "cli/address.h"
#include "cli/cli.h"
#include "cli/kept.h"
#include "cli/options.h"
#include "core/file.h"

#include <assert.h>
#include <stdio.h>
#include <string.h>

enum { NAME_BYTES = 4096 };

typedef struct {
    const char *job, *folder, *again, *address;
    bool list, draft;
    ops_offer_request request;
} wanted;

/* FOLDER/offer-3.pdf; the name is printed when the file stands. */
static status write_file(const char *folder, const char *stem, const char *ending, const text *bytes,
                         fault *why) {
    char path[NAME_BYTES];
    int length = snprintf(path, sizeof path, "%s/%s.%s", folder, stem, ending);
    if (length < 0 || (size_t)length >= sizeof path)
        return fault_set(why, E_INPUT, "%.60s...: the path is too long", folder);
    status code = file_write(path, text_get(bytes), bytes->length, why);
    if (code == OK) printf("%s\n", path);
    return code;
}

static status write_both(const wanted *w, long long number, const text *pdf, const text *xlsx, fault *why) {
    char stem[40] = "offer-draft";
    assert(w->folder); /* check_words saw it */
    if (number > 0) snprintf(stem, sizeof stem, "offer-%lld", number);
    status code = file_make_folder(w->folder, why);
    if (code == OK) code = write_file(w->folder, stem, "pdf", pdf, why);
    return code == OK && xlsx->length > 0 ? write_file(w->folder, stem, "xlsx", xlsx, why) : code;
}

static status documents(const wanted *w, long long number, text *pdf, text *xlsx, fault *why) {
    status code = ops_offer_document(w->job, number, "pdf", pdf, why);
    return code == OK ? ops_offer_document(w->job, number, "xlsx", xlsx, why) : code;
}

static void print_money(const char *label, double amount, const char *currency) {
    printf("%-42s %14.2f %s\n", label, amount, currency);
}

static void print_result(const wanted *w, const ops_offer_result *r) {
    if (r->number > 0)
        printf("Offer %lld of %s\n", r->number, w->request.on);
    else
        printf("Draft of %s: not kept\n", w->request.on);
    print_money("Price, without tax", r->total, r->currency);
    if (w->request.without_risk) return;
    print_money("As likely above as below (P50)", r->p50, r->currency);
    print_money("Four in five stay below (P80)", r->p80, r->currency);
}

static status make(const wanted *w, fault *why) {
    actor_texts texts;
    ops_actor actor;
    ops_offer_result result = {0};
    text pdf = {0}, xlsx = {0};
    status code = actor_read(&texts, &actor, why);
    if (code == OK && w->draft)
        code = ops_offer_draft(w->job, &w->request, &pdf, &xlsx, &result, why);
    else if (code == OK) {
        code = ops_offer_make(w->job, &w->request, &actor, &result, why);
        if (code == OK) code = documents(w, result.number, &pdf, &xlsx, why);
    }
    if (code == OK) print_result(w, &result);
    if (code == OK) code = write_both(w, result.number, &pdf, &xlsx, why);
    text_free(&pdf);
    text_free(&xlsx);
    return code;
}

/* Is it also what its inputs give? Said where it can be told. */
static status print_repeat(const wanted *w, long long number, fault *why) {
    bool told, same;
    status code = ops_offer_repeat(w->job, number, &told, &same, why);
    if (code != OK) return code;
    printf("%s\n", !told ? "These are the kept bytes. (What an offer comes out as when it is made again is "
                           "told only by the "
                           "version that made it.)"
                   : same
                       ? "Made again from its kept inputs: the same bytes."
                       : "Made again from its kept inputs it comes out otherwise; these are the kept bytes.");
    return OK;
}

static status again(const wanted *w, fault *why) {
    long long number = 0;
    text pdf = {0}, xlsx = {0};
    status code = kept_number(w->job, w->again, "offer", &number, why);
    if (code == OK) code = documents(w, number, &pdf, &xlsx, why);
    if (code == OK) code = write_both(w, number, &pdf, &xlsx, why);
    text_free(&pdf);
    text_free(&xlsx);
    return code == OK ? print_repeat(w, number, why) : code;
}

static status whole(const char *given, const char *option, double most, double *out, fault *why) {
    if (!given) return OK;
    if (!text_to_number(given, out) || !(*out >= 0 && *out <= most) || *out != (double)(long long)*out)
        return fault_set(why, E_INPUT, "%s is %.40s; it must be a whole number from 0 to %.0f", option, given,
                         most);
    return OK;
}

static status check_words(const wanted *w, fault *why) {
    if (w->list && (w->again || w->draft || w->folder))
        return fault_set(why, E_INPUT, "offer: --list goes with the job alone");
    if (w->again && w->draft) return fault_set(why, E_INPUT, "offer: --again and --draft do not go together");
    if (!w->list && !w->folder) return fault_set(why, E_INPUT, "offer: FOLDER is missing");
    return OK;
}

int cli_offer(int argc, char **argv) {
    const char *date = NULL, *runs_given = NULL, *seed_given = NULL;
    wanted w = {0};
    const options_item items[] = {
        {"--date", "YYYY-MM-DD", "date of the offer (default today)", &date, NULL},
        {"--runs", "N", "of the count of the risk (default 20000)", &runs_given, NULL},
        {"--seed", "N", "of those runs (default 1)", &seed_given, NULL},
        {"--without-risk", NULL, "say nothing of what the price may come out as", NULL,
         &w.request.without_risk},
        {"--address", "URL", "of the page: a QR code on the cover opens the job", &w.address, NULL},
        {"--draft", NULL, "write it without keeping it in the job", NULL, &w.draft},
        {"--list", NULL, "the offers that the job keeps", NULL, &w.list},
        {"--again", "N", "write the kept bytes of offer N once more", &w.again, NULL},
    };
    const options_table table = {
        "offer",
        "JOB [FOLDER]",
        "Plans the job, counts what its price may come out as, writes the offer as PDF and as a "
        "spreadsheet that counts on, and keeps both in the job with all they were made from.",
        items,
        sizeof items / sizeof *items,
        1,
        2};
    fault why = {0};
    size_t n;
    bool done;
    char today[TODAY_TEXT];
    double runs = 0, seed = 1;
    arena *memory = arena_new();
    status code = memory ? options_read(&table, argc, argv, &n, &done, &why) : fault_memory(&why);
    if (code == OK && !done) {
        w.job = argv[1];
        w.folder = n > 1 ? argv[2] : NULL;
        code = check_words(&w, &why);
        if (code == OK) code = today_read(date, today, &why);
        if (code == OK) code = whole(runs_given, "--runs", 1e6, &runs, &why);
        if (code == OK) code = whole(seed_given, "--seed", 9e15, &seed, &why);
        if (code == OK) code = address_read(w.address, &why);
        w.request.on = today;
        w.request.options = (spread_options){(size_t)runs, (uint64_t)seed, 0};
        w.request.link = w.address ? ops_link(memory, w.address, w.job) : NULL;
        if (code == OK)
            code = w.list ? kept_print(w.job, "offer", &why) : w.again ? again(&w, &why) : make(&w, &why);
    }
    arena_free(memory);
    return code == OK ? 0 : cli_fail(&why);
}
