#include "store/offers.h"

#include "store/store_internal.h"

#include <limits.h>
#include <string.h>

/* Bounds a document by what an input file may have: core/file.h. */
static const size_t DOCUMENT_LIMIT = (size_t)256 * 1024 * 1024;

/* ---- adding ---- */

typedef struct {
    const store_offer *offer;
    long long *number;
} adding;

static int bind_document(sqlite3_stmt *s, int at, const store_document *document) {
    char hash[HASH_TEXT];
    if (document->length == 0) return SQLITE_OK; /* both columns stay NULL */
    int code = sqlite3_bind_blob64(s, at, document->bytes, document->length, SQLITE_STATIC);
    if (code != SQLITE_OK) return code;
    hash_text(document->bytes, document->length, hash);
    return sqlite3_bind_text(s, at + 1, hash, -1, SQLITE_TRANSIENT);
}

/* Of all that stands beside the documents, each text after its length, with the documents' hashes. */
static status hash_made(const store_offer *o, const char *pdf_hash, const char *xlsx_hash,
                        char into[HASH_TEXT], fault *why) {
    const char *const parts[] = {o->kind,    o->on,    o->at,        o->by,    o->program_version, o->inputs,
                                 o->options, o->facts, o->head_hash, pdf_hash, xlsx_hash};
    text all = {0};
    text_print(&all, "%lld", o->head_seq);
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        text_print(&all, "\n%zu ", strlen(parts[i]));
        text_add(&all, parts[i]);
    }
    if (!all.failed) hash_text(all.bytes, all.length, into);
    status code = all.failed ? fault_memory(why) : OK;
    text_free(&all);
    return code;
}

static const char *hash_of(const store_document *document, char into[HASH_TEXT]) {
    return document->length > 0 ? hash_text(document->bytes, document->length, into) : "";
}

static int bind_offer(sqlite3_stmt *s, const store_offer *o, const char *made_hash) {
    const char *const before[] = {o->kind,   o->on,      o->at,   o->by, o->program_version,
                                  o->inputs, o->options, o->facts};
    int at = 1, code = SQLITE_OK;
    for (size_t i = 0; i < sizeof before / sizeof *before && code == SQLITE_OK; i++)
        code = sqlite3_bind_text(s, at++, before[i], -1, SQLITE_STATIC);
    if (code == SQLITE_OK) code = sqlite3_bind_int64(s, at++, o->head_seq);
    if (code == SQLITE_OK) code = sqlite3_bind_text(s, at++, o->head_hash, -1, SQLITE_STATIC);
    if (code == SQLITE_OK) code = bind_document(s, at, &o->pdf);
    if (code == SQLITE_OK) code = bind_document(s, at + 2, &o->xlsx);
    if (code == SQLITE_OK) code = sqlite3_bind_text(s, at + 4, made_hash, -1, SQLITE_STATIC);
    return code;
}

static status insert_offer(store *st, const void *data, fault *why) {
    const adding *add = data;
    sqlite3_stmt *s = NULL;
    char pdf[HASH_TEXT], xlsx[HASH_TEXT], made[HASH_TEXT];
    status hashed =
        hash_made(add->offer, hash_of(&add->offer->pdf, pdf), hash_of(&add->offer->xlsx, xlsx), made, why);
    if (hashed != OK) return hashed;
    int code =
        sqlite3_prepare_v2(st->db,
                           "INSERT INTO offer (kind, \"on\", at, \"by\", program_version, inputs, "
                           "options, facts, head_seq, head_hash, pdf, pdf_hash, xlsx, xlsx_hash, made_hash)"
                           " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                           -1, &s, NULL);
    if (code == SQLITE_OK) code = bind_offer(s, add->offer, made);
    if (code == SQLITE_OK) code = sqlite3_step(s);
    status done = code == SQLITE_DONE ? OK : store_fault(st, code, "saved", why);
    sqlite3_finalize(s);
    if (done == OK) *add->number = sqlite3_last_insert_rowid(st->db);
    return done;
}

status store_add_offer(store *st, const store_offer *offer, long long *number, fault *why) {
    const adding add = {offer, number};
    *number = 0;
    if (offer->pdf.length > DOCUMENT_LIMIT || offer->xlsx.length > DOCUMENT_LIMIT)
        return fault_set(why, E_INPUT, "a document has %zu bytes; at most %zu are kept",
                         offer->pdf.length > offer->xlsx.length ? offer->pdf.length : offer->xlsx.length,
                         DOCUMENT_LIMIT);
    return store_transaction(st, insert_offer, &add, why);
}

status store_next_offer(store *st, long long *number, fault *why) {
    sqlite3_stmt *s = NULL;
    long long last = 0;
    int code = sqlite3_prepare_v2(st->db,
                                  "SELECT max(coalesce((SELECT max(number) FROM offer), 0),"
                                  " coalesce((SELECT seq FROM sqlite_sequence WHERE name = 'offer'), 0), 0)",
                                  -1, &s, NULL);
    if (code == SQLITE_OK) code = sqlite3_step(s);
    if (code == SQLITE_ROW) last = sqlite3_column_int64(s, 0);
    status done = code == SQLITE_ROW ? OK : store_fault(st, code, "read", why);
    sqlite3_finalize(s);
    if (done == OK && last == LLONG_MAX)
        done = fault_set(why, E_FORMAT, "%s: is damaged: no number is left for a document", st->path);
    *number = done == OK ? last + 1 : 0;
    return done;
}

/* ---- reading ---- */

/* What both readers ask for, in this order. */
#define ABOUT                                                                                                \
    "number, kind, \"on\", at, \"by\", program_version, options, facts, head_seq, head_hash, pdf_hash, "     \
    "xlsx_hash"
enum { PDF_HASH = 10, XLSX_HASH, INPUTS, PDF, XLSX, MADE_HASH };

static bool take(sqlite3_stmt *s, int column, arena *memory, const char **out) {
    *out = arena_copy(memory, (const char *)sqlite3_column_text(s, column));
    return *out != NULL;
}

static void take_hash(sqlite3_stmt *s, int column, char into[HASH_TEXT]) {
    const char *hash = (const char *)sqlite3_column_text(s, column);
    if (hash && strlen(hash) < HASH_TEXT) memcpy(into, hash, strlen(hash) + 1);
}

static bool take_about(sqlite3_stmt *s, arena *memory, store_offer *o) {
    *o = (store_offer){.number = sqlite3_column_int64(s, 0), .head_seq = sqlite3_column_int64(s, 8)};
    take_hash(s, PDF_HASH, o->pdf.hash);
    take_hash(s, XLSX_HASH, o->xlsx.hash);
    return take(s, 1, memory, &o->kind) && take(s, 2, memory, &o->on) && take(s, 3, memory, &o->at) &&
           take(s, 4, memory, &o->by) && take(s, 5, memory, &o->program_version) &&
           take(s, 6, memory, &o->options) && take(s, 7, memory, &o->facts) &&
           take(s, 9, memory, &o->head_hash);
}

status store_list_offers(store *st, const char *kind, arena *memory, store_offer **out, size_t *n,
                         fault *why) {
    sqlite3_stmt *s = NULL;
    *out = NULL;
    *n = 0;
    int code = sqlite3_prepare_v2(
        st->db, "SELECT " ABOUT " FROM offer WHERE ?1 IS NULL OR kind = ?1 ORDER BY number", -1, &s, NULL);
    if (code == SQLITE_OK) code = sqlite3_bind_text(s, 1, kind, -1, SQLITE_STATIC);
    if (code == SQLITE_OK) code = sqlite3_step(s);
    for (; code == SQLITE_ROW; code = sqlite3_step(s)) {
        store_offer offer, *more;
        more = take_about(s, memory, &offer) ? arena_push(memory, *out, n, sizeof *more) : NULL;
        if (!more) {
            code = SQLITE_NOMEM;
            break;
        }
        *out = more;
        more[*n - 1] = offer;
    }
    status done = code == SQLITE_DONE ? OK : store_fault(st, code, "read", why);
    sqlite3_finalize(s);
    return done;
}

static status damaged(store *st, sqlite3_stmt *s, int column, const char *found, const char *kept,
                      fault *why) {
    return fault_set(
        why, E_FORMAT, "%s: document %lld is damaged: its %s has the SHA-256 %.16s..., but %.16s... was kept",
        st->path, (long long)sqlite3_column_int64(s, 0), column == PDF ? "PDF" : "spreadsheet", found, kept);
}

/* The bytes, and whether they are those that were kept. */
static status take_document(store *st, sqlite3_stmt *s, int column, arena *memory, store_document *out,
                            fault *why) {
    const void *bytes = sqlite3_column_blob(s, column);
    size_t length = (size_t)sqlite3_column_bytes(s, column);
    char found[HASH_TEXT];
    if (length == 0 && column == XLSX && !*out->hash) return OK;
    if (!bytes)
        return length > 0 ? fault_memory(why)
                          : damaged(st, s, column, hash_text("", 0, found), out->hash, why);
    if (strcmp(hash_text(bytes, length, found), out->hash) != 0)
        return damaged(st, s, column, found, out->hash, why);
    void *copy = arena_get(memory, length, 1);
    if (!copy) return fault_memory(why);
    memcpy(copy, bytes, length);
    out->bytes = copy;
    out->length = length;
    return OK;
}

/* Is what the documents were made from what was kept with them? */
static status check_made(store *st, sqlite3_stmt *s, const store_offer *o, fault *why) {
    char kept[HASH_TEXT] = "", found[HASH_TEXT];
    take_hash(s, MADE_HASH, kept);
    status code = hash_made(o, o->pdf.hash, o->xlsx.hash, found, why);
    if (code != OK || strcmp(kept, found) == 0) return code;
    return fault_set(why, E_FORMAT,
                     "%s: document %lld is damaged: what it was made from, or who made it when, has the "
                     "SHA-256 %.16s..., but "
                     "%.16s... was kept",
                     st->path, o->number, found, kept);
}

static status take_whole(store *st, sqlite3_stmt *s, arena *memory, store_offer *out, fault *why) {
    if (!take_about(s, memory, out) || !take(s, INPUTS, memory, &out->inputs)) return fault_memory(why);
    status code = take_document(st, s, PDF, memory, &out->pdf, why);
    if (code == OK) code = take_document(st, s, XLSX, memory, &out->xlsx, why);
    return code == OK ? check_made(st, s, out, why) : code;
}

status store_load_offer(store *st, long long number, arena *memory, store_offer *out, bool *found,
                        fault *why) {
    sqlite3_stmt *s = NULL;
    status done = OK;
    *found = false;
    *out = (store_offer){0};
    int code = sqlite3_prepare_v2(
        st->db, "SELECT " ABOUT ", inputs, pdf, xlsx, made_hash FROM offer WHERE number = ?", -1, &s, NULL);
    if (code == SQLITE_OK) code = sqlite3_bind_int64(s, 1, number);
    if (code == SQLITE_OK) code = sqlite3_step(s);
    if (code == SQLITE_ROW) {
        done = take_whole(st, s, memory, out, why);
        *found = done == OK;
    } else if (code != SQLITE_DONE)
        done = store_fault(st, code, "read", why);
    sqlite3_finalize(s);
    if (done != OK) *out = (store_offer){0};
    return done;
}
