/* offers.c - what was kept: listed, handed out again, made again. */
#include "ops/offer_parts.h"

#include "report/say.h"

#include <string.h>

/* "12 345.60 EUR"; "" where the kept figures have none. */
static void money(json_out *o, say *w, const char *name, const json_t *facts, const char *fact) {
    const json_t *value = json_object_get(facts, fact);
    const char *currency = json_string_value(json_object_get(facts, "currency"));
    json_out_text(o, name,
                  json_is_number(value) ? say_print(w, "%s %s", say_money(w, json_number_value(value)),
                                                    currency ? currency : "")
                                        : "");
}

static void write_offer(json_out *o, say *w, const store_offer *offer) {
    json_t *facts = json_loads(offer->facts, 0, NULL);
    json_out_open(o, NULL, '{');
    json_out_whole(o, "number", offer->number);
    json_out_text(o, "kind", offer->kind);
    json_out_text(o, "on", offer->on);
    json_out_text(o, "by", offer->by);
    json_out_text(o, "program", offer->program_version);
    money(o, w, "total", facts, "total");
    money(o, w, "p50", facts, "p50");
    money(o, w, "p80", facts, "p80");
    json_out_text(o, "pdf_sha256", offer->pdf.hash);
    json_out_close(o, '}');
    json_decref(facts);
}

status ops_offers_json(const char *path, text *out, fault *why) {
    store *job = NULL;
    store_offer *list = NULL;
    size_t n = 0;
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    say words = {.memory = memory};
    status code = store_open(path, true, &job, why);
    if (code == OK) code = store_list_offers(job, NULL, memory, &list, &n, why);
    store_close(job);
    if (code == OK) {
        json_out o = {.to = out};
        json_out_open(&o, NULL, '{');
        json_out_open(&o, "offers", '[');
        for (size_t i = 0; i < n; i++) write_offer(&o, &words, &list[i]);
        json_out_close(&o, ']');
        json_out_close(&o, '}');
        if (out->failed || words.failed) code = fault_memory(why);
    }
    arena_free(memory);
    return code;
}

static status load(const char *path, long long number, arena *memory, store_offer *out, fault *why) {
    store *job = NULL;
    bool found = false;
    status code = store_open(path, true, &job, why);
    if (code == OK) code = store_load_offer(job, number, memory, out, &found, why);
    store_close(job);
    if (code == OK && !found) code = fault_set(why, E_STATE, "%s: keeps no document %lld", path, number);
    return code;
}

status ops_offer_is(const char *path, long long number, const char *kind, fault *why) {
    store_offer kept;
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    status code = load(path, number, memory, &kept, why);
    if (code == OK && strcmp(kept.kind, kind) != 0)
        code = fault_set(why, E_STATE, "%s: document %lld is no %s but a kept %s (stanch %s --again %lld)",
                         path, number, kind, kept.kind, kept.kind, number);
    arena_free(memory);
    return code;
}

status ops_offer_document(const char *path, long long number, const char *ending, text *out, fault *why) {
    store_offer offer;
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    status code = load(path, number, memory, &offer, why);
    if (code == OK) {
        bool pdf = strcmp(ending, "pdf") == 0, xlsx = strcmp(ending, "xlsx") == 0;
        const store_document *of = pdf ? &offer.pdf : &offer.xlsx;
        if (!(pdf || xlsx) || of->length == 0)
            code = fault_set(why, E_STATE, "%s: offer %lld has no document .%.10s", path, number, ending);
        else
            text_add_bytes(out, of->bytes, of->length);
    }
    arena_free(memory);
    return code == OK && out->failed ? fault_memory(why) : code;
}

static status again(const store_offer *kept, arena *memory, bool *same, fault *why) {
    ops_offer_request request;
    offer_made made = {0};
    text pdf = {0};
    status code = offer_read_options(kept, memory, &request, why);
    if (code == OK) code = offer_from_inputs(kept->inputs, &request, &made, why);
    made.paper.number = kept->number;
    if (code == OK) code = report_offer_pdf(made.job.plan, &made.risk, &made.paper, &pdf, why);
    *same =
        code == OK && pdf.length == kept->pdf.length && memcmp(pdf.bytes, kept->pdf.bytes, pdf.length) == 0;
    text_free(&pdf);
    offer_made_free(&made);
    return code;
}

status ops_offer_repeat(const char *path, long long number, bool *told, bool *same, fault *why) {
    store_offer offer;
    *told = *same = false;
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    status code = load(path, number, memory, &offer, why);
    *told =
        code == OK && strcmp(offer.kind, "offer") == 0 && strcmp(offer.program_version, STANCH_VERSION) == 0;
    if (*told) code = again(&offer, memory, same, why);
    arena_free(memory);
    return code;
}
