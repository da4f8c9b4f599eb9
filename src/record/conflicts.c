/* Conflicts between records. Each record is filed once for each thing that it says (leak, step, word, material or kind
 * of value); the cards are sorted, so that those which say the same stand together in order of seq. Within such a
 * stretch the card b is held against the earlier ones back to what its device had seen. Runs of the same device are
 * skipped at one step, so that almost every look finds a conflict. */
#include "record/rules.h"
#include "survey/names.h"

#include <stdlib.h>
#include <string.h>

enum { NO_KIND = -1 };

typedef struct {
    const record *r;
    size_t at;     /* of the record */
    size_t device; /* number of its device */
    int kind;      /* member of record_fields, or NO_KIND */
    uint64_t kinds;
    const char *step, *material; /* "" for none */
    size_t run;                  /* first card of the run of this device that ends here, within the stretch */
} card;

typedef struct {
    const record *records;
    size_t n;
    arena *memory;
    card *cards;
    size_t n_cards;
    long long *corrected;           /* for each record: seq of the last correction about it, or 0 */
    names *ids, *devices, *settled; /* settled: two ids to the last record that settles them */
    record_conflict_list *out;
} sorting;

static const char *or_empty(const char *t) {
    return t ? t : "";
}

/* What a record says that another may say too; 0 cards for a note, a photo, a text. */
static uint64_t kinds_of(const record *r) {
    bool values = (r->what == RECORD_FOUND || r->what == RECORD_USED) && !r->material;
    return values ? record_measured(r) | record_taken(r) : 0;
}

static size_t count_cards(const record *r) {
    size_t n = 0;
    if (r->what > RECORD_USED) return 0;
    if (r->what < RECORD_FOUND || r->material) return 1;
    for (uint64_t kinds = kinds_of(r); kinds; kinds &= kinds - 1) n++;
    return n;
}

static void file_record(sorting *s, size_t at) {
    const record *r = &s->records[at];
    card one = {.r = r, .at = at, .kind = NO_KIND, .step = or_empty(r->step), .material = ""};
    if (count_cards(r) == 0) return;
    one.device = names_find(s->devices, r->device);
    one.kinds = kinds_of(r);
    if (r->what >= RECORD_FOUND) one.material = or_empty(r->material);
    if (!one.kinds) {
        s->cards[s->n_cards++] = one;
        return;
    }
    for (int k = 0; k < (int)record_fields.n; k++) {
        if (!(one.kinds & (UINT64_C(1) << k))) continue;
        one.kind = k;
        s->cards[s->n_cards++] = one;
    }
}

/* Order of what is said, without the record. */
static int by_saying(const card *a, const card *b) {
    int order = strcmp(a->r->mark, b->r->mark);
    if (order == 0) order = strcmp(a->step, b->step);
    if (order == 0) order = (a->r->what > b->r->what) - (a->r->what < b->r->what);
    if (order == 0) order = (a->kind > b->kind) - (a->kind < b->kind);
    return order ? order : strcmp(a->material, b->material);
}

static int by_saying_and_seq(const void *left, const void *right) {
    const card *a = left, *b = right;
    int order = by_saying(a, b);
    return order ? order : (a->at > b->at) - (a->at < b->at);
}

static char *pair_text(arena *memory, const char *one, const char *two) {
    bool first = strcmp(one, two) < 0;
    return arena_print(memory, "%s %s", first ? one : two, first ? two : one);
}

static bool remember_settled(sorting *s, size_t at) {
    const record *r = &s->records[at];
    if (r->what != RECORD_SETTLED || !r->about || !r->other) return true;
    char *pair = pair_text(s->memory, r->about, r->other);
    return pair && names_put(s->settled, pair, at);
}

/* Ids, devices, what was corrected and settled, and the cards. False without memory. */
static bool file_all(sorting *s) {
    size_t cards = 0;
    bool good = true;
    for (size_t i = 0; i < s->n; i++) cards += count_cards(&s->records[i]);
    s->cards = arena_get(s->memory, cards, sizeof *s->cards);
    s->corrected = arena_get(s->memory, s->n, sizeof *s->corrected);
    good = s->cards && s->corrected;
    for (size_t i = 0; i < s->n && good; i++)
        good = names_put(s->ids, s->records[i].id, i) && names_put(s->devices, s->records[i].device, i);
    for (size_t i = s->n; i > 0 && good; i--) good = remember_settled(s, i - 1); /* the last one counts */
    for (size_t i = 0; i < s->n && good; i++) {
        const record *r = &s->records[i];
        size_t about = r->what == RECORD_CORRECTION && r->about ? names_find(s->ids, r->about) : NAMES_NONE;
        if (about != NAMES_NONE) s->corrected[about] = r->seq;
        file_record(s, i);
    }
    return good;
}

/* A person has said something about the pair after both were there. */
static bool is_closed(const sorting *s, const card *a, const card *b, bool *lost) {
    long long later = b->r->seq;
    if (s->corrected[a->at] > later || s->corrected[b->at] > later) return true;
    char *pair = pair_text(s->memory, a->r->id, b->r->id);
    *lost = !pair;
    size_t at = pair ? names_find(s->settled, pair) : NAMES_NONE;
    return at != NAMES_NONE && s->records[at].seq > later;
}

/* A pair that shares several kinds of value is one conflict: that of the first. */
static bool is_told(const card *a, const card *b) {
    return a->kind != NO_KIND && (a->kinds & b->kinds & ((UINT64_C(1) << a->kind) - 1)) != 0;
}

static const char *sentence(arena *memory, const card *a, const card *b) {
    const char *subject = a->kind != NO_KIND ? record_fields.fields[a->kind].name : a->material;
    return arena_print(
        memory,
        "%s%s%s: %s and %s both recorded %s%s%s, at %.10s %.5s and %.10s %.5s UTC; neither had "
        "seen the other's record",
        a->r->mark, *a->step ? ", " : "", a->step, a->r->by ? a->r->by : "somebody",
        b->r->by ? b->r->by : "somebody", record_what_words[a->r->what], *subject ? " " : "", subject,
        a->r->at, a->r->at + 11, b->r->at, b->r->at + 11);
}

static bool add_conflict(sorting *s, const card *a, const card *b) {
    record_conflict_list *out = s->out;
    if (out->n >= RECORD_CONFLICTS_MOST) {
        out->more = true;
        return true;
    }
    record_conflict *items = arena_push(s->memory, out->items, &out->n, sizeof *items);
    if (!items) return false;
    out->items = items;
    items[out->n - 1] = (record_conflict){a->r, b->r, sentence(s->memory, a, b)};
    return items[out->n - 1].sentence != NULL;
}

/* The card at `b` against the earlier ones of its stretch, which begins at `from`. */
static bool compare_back(sorting *s, size_t from, size_t b) {
    const card *later = &s->cards[b];
    if (s->corrected[later->at] > later->r->seq) return true;
    for (size_t a = b; a > from && !s->out->more;) {
        const card *earlier = &s->cards[--a];
        if (!((double)earlier->r->seq > later->r->seen)) break;
        if (earlier->device == later->device) {
            a = earlier->run;
            continue;
        }
        bool lost = false;
        if (is_told(earlier, later) || is_closed(s, earlier, later, &lost)) continue;
        if (lost || !add_conflict(s, earlier, later)) return false;
    }
    return true;
}

static bool compare_all(sorting *s) {
    size_t from = 0;
    for (size_t i = 0; i < s->n_cards && !s->out->more; i++) {
        card *one = &s->cards[i];
        if (i > 0 && by_saying(&s->cards[i - 1], one) != 0) from = i;
        one->run = i > from && s->cards[i - 1].device == one->device ? s->cards[i - 1].run : i;
        if (!compare_back(s, from, i)) return false;
    }
    return true;
}

static int by_seq(const void *left, const void *right) {
    const record_conflict *x = left, *y = right;
    int order = (x->b->seq > y->b->seq) - (x->b->seq < y->b->seq);
    return order ? order : (x->a->seq > y->a->seq) - (x->a->seq < y->a->seq);
}

status record_conflicts(const record *records, size_t n, arena *memory, record_conflict_list *out,
                        fault *why) {
    sorting s = {.records = records, .n = n, .memory = memory, .out = out};
    *out = (record_conflict_list){0};
    s.ids = names_new();
    s.devices = names_new();
    s.settled = names_new();
    bool good = s.ids && s.devices && s.settled && file_all(&s);
    if (good && s.n_cards > 1) qsort(s.cards, s.n_cards, sizeof *s.cards, by_saying_and_seq);
    good = good && compare_all(&s);
    if (good && out->n > 1) qsort(out->items, out->n, sizeof *out->items, by_seq);
    names_free(s.ids);
    names_free(s.devices);
    names_free(s.settled);
    if (good) return OK;
    *out = (record_conflict_list){0};
    return fault_memory(why);
}
