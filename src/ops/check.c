#include "ops/check.h"

#include "ops/check_parts.h"
#include "ops/job.h"
#include "record/chain.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* ---- what is told ---- */

bool check_tell(checking *c, const char *format, ...) {
    char sentence[700];
    va_list args;
    if (c->out->n_breaks == CHECK_BREAKS_MOST) {
        c->out->more = true;
        return true;
    }
    va_start(args, format);
    vsnprintf(sentence, sizeof sentence, format, args);
    va_end(args);
    const char **more = arena_push(c->memory, c->out->breaks, &c->out->n_breaks, sizeof *more);
    if (!more || !(more[c->out->n_breaks - 1] = arena_copy(c->memory, sentence))) {
        c->code = fault_memory(c->why);
        return false;
    }
    c->out->breaks = more;
    return true;
}

/* "record 512 (N1, found, id 6f1c...)" */
static char *call(const store_record *r, char into[CHECK_CALLED]) {
    fault why;
    record read = {0};
    arena *scratch = arena_new();
    bool good = scratch && r->body && record_read_body(r->body, scratch, &read, &why) == OK;
    snprintf(into, CHECK_CALLED, "record %lld (%.40s, %s, id %.40s)", r->seq, r->mark ? r->mark : "no mark",
             good ? record_what_words[read.what] : "not readable", r->id ? r->id : "none");
    arena_free(scratch);
    return into;
}

/* ---- one record after another ---- */

/* The record before did not fit its own hash. Its hash as kept goes on to this one: then its content was changed; the hash
 * that its content has does: then the kept hash was. True when this one fits either. */
static bool explain_doubt(checking *c, const chain_link *link, const char *hash) {
    char from_kept[HASH_TEXT], from_counted[HASH_TEXT];
    bool kept = strcmp(chain_hash(c->kept, link, from_kept), hash) == 0;
    bool counted = !kept && strcmp(chain_hash(c->counted, link, from_counted), hash) == 0;
    check_tell(
        c, "%s: %s", c->called,
        kept ? "its content is not what it was when it was kept, or the record before it was written anew"
        : counted ? "its hash was changed; its content fits the record after it"
                  : "its content or its hash is not what it was");
    c->doubt = false;
    return kept || counted;
}

static bool has_texts(const store_record *r) {
    return r->id && r->mark && r->body && r->received_at && r->received_by;
}

static bool is_hash(const char *hash) {
    return hash && strlen(hash) == HASH_TEXT - 1;
}

/* Texts in one piece and on one line each, and a hash like ours: else the hash of a record could stand for another. */
static bool is_sound(const store_walked *w) {
    const store_record *r = &w->record;
    if (!w->plain || !is_hash(w->hash) || !has_texts(r)) return false;
    return !strchr(r->id, '\n') && !strchr(r->mark, '\n') && !strchr(r->body, '\n') &&
           !strchr(r->received_at, '\n') && !strchr(r->received_by, '\n');
}

static void tell_gap(checking *c, const store_record *r) {
    char called[CHECK_CALLED];
    if (r->seq == c->last + 1) return;
    if (r->seq <= c->last)
        check_tell(c, "%s: no record gets a number below 1", call(r, called));
    else if (r->seq == c->last + 2)
        check_tell(c, "record %lld is missing before %s", c->last + 1, call(r, called));
    else
        check_tell(c, "records %lld to %lld are missing before %s", c->last + 1, r->seq - 1, call(r, called));
}

/* Does it follow from the one before? What is in doubt is told with the next record, which knows more. */
static bool follow(checking *c, const store_walked *w) {
    const store_record *r = &w->record;
    const chain_link link = {r->seq, r->id, r->mark, r->body, r->received_at, r->received_by};
    bool gap = r->seq != c->last + 1, doubted = c->doubt;
    if (strcmp(chain_hash(c->kept, &link, c->next), w->hash) == 0) {
        if (doubted) explain_doubt(c, &link, w->hash);
        tell_gap(c, r);
        return true;
    }
    if (doubted && explain_doubt(c, &link, w->hash)) return true;
    tell_gap(c, r);
    if (gap) return false; /* after a gap nothing says whether this one was changed as well */
    memcpy(c->counted, c->next, HASH_TEXT);
    call(r, c->called);
    c->doubt = true;
    return false;
}

static void tell_doubt(checking *c) {
    if (c->doubt) check_tell(c, "%s: its content or its hash is not what it was", c->called);
    c->doubt = false;
}

/* Heads that somebody else holds: the asker, and the documents kept. */
static void compare_heads(checking *c, const store_walked *w, bool fits) {
    char called[CHECK_CALLED];
    for (; c->head_at < c->n_heads && c->heads[c->head_at].seq <= w->record.seq; c->head_at++) {
        const known_head *known = &c->heads[c->head_at];
        if (known->seq < w->record.seq) { /* told as missing */
            check_tell(c, "record %lld, which %s names, is not there", known->seq, known->whose);
            continue;
        }
        bool same = w->hash && strcmp(known->hash, w->hash) == 0;
        if (known->asked) c->out->known_holds = same && fits;
        if (!same)
            check_tell(c, "%s: has the hash %.64s, but %s has %.64s: the log was written anew since",
                       call(&w->record, called), w->hash ? w->hash : "none", known->whose, known->hash);
    }
}

/* The next record follows from the hash that is there, or from the one that should be. */
static void tell_unsound(checking *c, const store_walked *w) {
    const store_record *r = &w->record;
    const chain_link link = {r->seq, r->id, r->mark, r->body, r->received_at, r->received_by};
    char called[CHECK_CALLED];
    tell_doubt(c);
    tell_gap(c, r);
    check_tell(c, "%s: %s", call(r, called),
               w->hash ? "holds what is no line of text, or no hash"
                       : "has no hash: it was not put in by this tool");
    if (is_hash(w->hash))
        memcpy(c->kept, w->hash, HASH_TEXT);
    else if (has_texts(r))
        chain_hash(c->kept, &link, c->kept);
}

static status see(void *data, const store_walked *w, fault *why) {
    checking *c = data;
    bool fits = false;
    (void)why; /* it is c->why */
    if (is_sound(w)) {
        fits = follow(c, w);
        memcpy(c->kept, w->hash, HASH_TEXT);
    } else
        tell_unsound(c, w);
    compare_heads(c, w, fits);
    check_photo(c, &w->record);
    c->last = w->record.seq;
    c->out->records++;
    c->out->head_seq = w->record.seq;
    memcpy(c->out->head_hash, c->kept, HASH_TEXT);
    return c->code;
}

/* ---- the end of the log ---- */

static status tell_end(checking *c, store *job) {
    long long counted = 0;
    status code = store_record_count(job, &counted, c->why);
    tell_doubt(c);
    if (counted == c->last + 1)
        check_tell(c, "record %lld is missing at the end", counted);
    else if (counted > c->last)
        check_tell(c, "records %lld to %lld are missing at the end", c->last + 1, counted);
    for (; c->head_at < c->n_heads; c->head_at++) {
        const known_head *known = &c->heads[c->head_at];
        check_tell(c, "record %lld, which %s names, is not there: the log was cut", known->seq, known->whose);
    }
    return code == OK ? c->code : code;
}

static status tell_damage(checking *c, store *job) {
    const char **damage;
    size_t n;
    status code = store_record_damage(job, CHECK_BREAKS_MOST, c->memory, &damage, &n, c->why);
    for (size_t i = 0; code == OK && i < n; i++) check_tell(c, "the table of the records: %s", damage[i]);
    return code == OK ? c->code : code;
}

static status look(checking *c, store *job) {
    status code = store_begin_read(job, c->why); /* one state of the job */
    if (code == OK) code = check_offers(c, job);
    if (code == OK) code = store_walk_records(job, see, c, c->why);
    if (code == OK) code = tell_end(c, job);
    if (code == OK) code = tell_damage(c, job);
    return code;
}

status ops_check(const char *path, const ops_check_request *request, arena *memory, ops_check_result *out,
                 fault *why) {
    checking c = {.path = path, .request = request, .memory = memory, .out = out, .why = why};
    store *job = NULL;
    *out = (ops_check_result){.known_given = request->seq > 0};
    memcpy(out->head_hash, CHAIN_START, HASH_TEXT);
    memcpy(c.kept, CHAIN_START, HASH_TEXT);
    status code = store_open(path, true, &job, why);
    if (code == OK) code = look(&c, job);
    store_close(job);
    if (code != OK) *out = (ops_check_result){0};
    return code;
}

void ops_check_json(const ops_check_result *result, text *out) {
    json_out o = {.to = out};
    json_out_open(&o, NULL, '{');
    json_out_whole(&o, "records", result->records);
    json_out_whole(&o, "head_seq", result->head_seq);
    json_out_text(&o, "head_hash", result->head_hash);
    json_out_open(&o, "breaks", '[');
    for (size_t i = 0; i < result->n_breaks; i++) json_out_text(&o, NULL, result->breaks[i]);
    json_out_close(&o, ']');
    json_out_bool(&o, "more", result->more);
    if (result->known_given)
        json_out_bool(&o, "known", result->known_holds);
    else
        json_out_null(&o, "known");
    json_out_whole(&o, "photos", (long long)result->photos);
    json_out_whole(&o, "offers", (long long)result->offers);
    json_out_close(&o, '}');
}
