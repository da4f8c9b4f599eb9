#include "diagnose/hints_parts.h"

#include <stdarg.h>
#include <stdio.h>

const char *const hints_cause_words[CAUSE_COUNT] = {"shrinkage", "settlement",  "thermal",  "joint",
                                                    "tie",       "penetration", "honeycomb"};

__attribute__((format(printf, 4, 0))) static void add(hints_book *b, const char ***list, size_t *n,
                                                      const char *format, va_list values) {
    char sentence[512]; /* the rules' own words and a few numbers */
    vsnprintf(sentence, sizeof sentence, format, values);
    const char *copy = arena_copy(b->v->say.memory, sentence);
    const char **grown = copy ? arena_push(b->v->say.memory, *list, n, sizeof *grown) : NULL;
    b->failed = b->failed || !grown;
    if (!grown) return;
    grown[*n - 1] = copy;
    *list = grown;
}

void hints_for(hints_book *b, hints_cause cause, const char *format, ...) {
    va_list values;
    va_start(values, format);
    add(b, &b->all[cause].evidence, &b->all[cause].n_evidence, format, values);
    va_end(values);
}

void hints_against(hints_book *b, hints_cause cause, const char *format, ...) {
    va_list values;
    va_start(values, format);
    add(b, &b->all[cause].against, &b->all[cause].n_against, format, values);
    va_end(values);
}

static int lead(const hint *h) {
    return (int)h->n_evidence - (int)h->n_against;
}

/* Insertion keeps equal ones in the order of the enum. */
static status put_in_order(hints_book *b, hint_list *out, fault *why) {
    out->items = arena_get(b->v->say.memory, CAUSE_COUNT, sizeof *out->items);
    if (!out->items || b->failed) return fault_memory(why);
    for (size_t cause = 0; cause < CAUSE_COUNT; cause++) {
        if (b->all[cause].n_evidence == 0) continue;
        size_t at = out->n++;
        for (; at > 0 && lead(&b->all[cause]) > lead(&out->items[at - 1]); at--)
            out->items[at] = out->items[at - 1];
        out->items[at] = b->all[cause];
        out->items[at].cause = (hints_cause)cause;
    }
    return OK;
}

status hints_find(const survey *s, const leak_water *leak, bool moves_known, const movement_result *fit,
                  arena *memory, hint_list *out, fault *why) {
    hints_view view;
    *out = (hint_list){0};
    status code = hints_look(s, leak, moves_known ? fit : NULL, memory, &view, why);
    if (code != OK) return code;
    hints_book book = {.v = &view};
    if (leak->defect->kind == KIND_CRACK) {
        hints_shrinkage(&book);
        hints_settlement(&book);
    }
    if (view.line) hints_thermal(&book);
    hints_joint(&book);
    hints_points(&book);
    return put_in_order(&book, out, why);
}
