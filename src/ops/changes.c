#include "ops/changes.h"

#include "core/json_out.h"
#include "ops/facts.h"

#include <math.h>
#include <string.h>

#define TELL_COST 0.01 /* a leak whose cost alone moves by less than this part is not told (our choice) */

enum { STAGES = 4 };      /* results of a leak */
enum { JOB_TAKEOFF = 1 }; /* behind those: findings, takeoff, price of the job */

typedef struct {
    store *kept;
    const store_result *rows;
    ops_job *job;
    fault *why;
    bool had_marks; /* the last plan left its list of marks */
    json_t *last;   /* what it left; NULL: nothing */
} comparing;

static status add(comparing *c, const char *mark, const char *label, const char *before, const char *after) {
    ops_change *longer =
        arena_push(c->job->plan->memory, c->job->changes, &c->job->n_changes, sizeof *longer);
    if (!longer || !mark || !label || !before || !after) return fault_memory(c->why);
    longer[c->job->n_changes - 1] = (ops_change){mark, label, before, after};
    c->job->changes = longer;
    return OK;
}

/* Every leak has its part of the packs, so one leak that changes moves the cost of all. */
static bool is_share_of_packs(const comparing *c, size_t first, const fact *was, const fact *now) {
    return c->job->n_changes == first && strcmp(now->label, "cost") == 0 && was &&
           fabs(now->number - was->number) < TELL_COST * was->number;
}

/* Labels of the new plan in its order, then those that only the old one has. */
static status compare(comparing *c, const char *mark, const facts *before, const facts *after) {
    size_t first = c->job->n_changes;
    status code = OK;
    for (size_t i = 0; code == OK && i < after->n; i++) {
        const fact *now = &after->list[i], *was = facts_of_label(before, now->label);
        const char *value = was ? was->value : FACTS_NONE;
        if (strcmp(value, now->value) == 0 || is_share_of_packs(c, first, was, now)) continue;
        code = add(c, mark, now->label, value, now->value);
    }
    for (size_t i = 0; code == OK && i < before->n; i++)
        if (!facts_of_label(after, before->list[i].label))
            code = add(c, mark, before->list[i].label, before->list[i].value, FACTS_NONE);
    return code;
}

/* The bodies that the job keeps beside n new rows; *all: every one is there. *same: and not one letter differs. */
static status load_old(comparing *c, const store_result *rows, size_t n, const char **old, bool *all,
                       bool *same) {
    *all = *same = true;
    for (size_t k = 0; k < n; k++) {
        store_result result;
        bool found;
        status code = store_load_result(c->kept, rows[k].stage, rows[k].mark, c->job->plan->memory, &result,
                                        &found, c->why);
        if (code != OK) return code;
        old[k] = found ? result.body : NULL;
        *all = *all && found;
        *same = *same && found && strcmp(result.body, rows[k].body) == 0;
    }
    return OK;
}

static bool was_planned(const comparing *c, const char *mark) {
    const json_t *marks = json_object_get(c->last, "marks");
    for (size_t i = 0; i < json_array_size(marks); i++) {
        const char *other = json_string_value(json_array_get(marks, i));
        if (other && strcmp(other, mark) == 0) return true;
    }
    return false;
}

static status compare_leak(comparing *c, size_t leak) {
    const plan *p = c->job->plan;
    const store_result *rows = &c->rows[STAGES * leak];
    const char *mark = p->leaks[leak].defect->mark, *old[STAGES], *now[STAGES];
    bool all, same;
    facts before, after;
    if (c->had_marks && !was_planned(c, mark)) return add(c, mark, "leak", FACTS_NONE, "new");
    status code = load_old(c, rows, STAGES, old, &all, &same);
    if (code != OK || !all || same) return code;
    for (size_t k = 0; k < STAGES; k++) now[k] = rows[k].body;
    code = facts_of_leak(p, old, &before, c->why);
    if (code == OK) code = facts_of_leak(p, now, &after, c->why);
    return code == OK ? compare(c, mark, &before, &after) : code;
}

static status compare_job(comparing *c) {
    const plan *p = c->job->plan;
    const store_result *rows = &c->rows[STAGES * p->n_leaks + JOB_TAKEOFF];
    const char *old[2], *now[2] = {rows[0].body, rows[1].body};
    bool all, same;
    facts before, after;
    status code = load_old(c, rows, 2, old, &all, &same);
    if (code != OK || !all || same) return code;
    code = facts_of_job(p, old, &before, c->why);
    if (code == OK) code = facts_of_job(p, now, &after, c->why);
    return code == OK ? compare(c, "", &before, &after) : code;
}

static status list_removed(comparing *c) {
    const json_t *marks = json_object_get(c->last, "marks");
    status code = OK;
    for (size_t i = 0; code == OK && i < json_array_size(marks); i++) {
        const char *mark = json_string_value(json_array_get(marks, i));
        if (!mark || survey_find_defect(c->job->survey, mark)) continue;
        code = add(c, arena_copy(c->job->plan->memory, mark), "leak", "planned", "removed");
    }
    return code;
}

/* The list that the last plan left, as it is. */
static status take_last(comparing *c) {
    const json_t *list = json_object_get(c->last, "changes");
    arena *memory = c->job->plan->memory;
    status code = OK;
    for (size_t i = 0; code == OK && i < json_array_size(list); i++) {
        const json_t *one = json_array_get(list, i);
        const char *texts[4];
        static const char *const names[4] = {"mark", "label", "before", "after"};
        bool good = true;
        for (int k = 0; k < 4; k++) {
            const char *words = json_string_value(json_object_get(one, names[k]));
            good = good && words;
            texts[k] = words ? arena_copy(memory, words) : "";
        }
        if (good) code = add(c, texts[0], texts[1], texts[2], texts[3]);
    }
    return code;
}

static void write_changes(json_out *o, const ops_job *job) {
    json_out_open(o, "changes", '[');
    for (size_t i = 0; i < job->n_changes; i++) {
        const ops_change *change = &job->changes[i];
        json_out_open(o, NULL, '{');
        json_out_text(o, "mark", change->mark);
        json_out_text(o, "label", change->label);
        json_out_text(o, "before", change->before);
        json_out_text(o, "after", change->after);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

static status write_row(const comparing *c, store_result *row) {
    const plan *p = c->job->plan;
    text bytes = {0};
    json_out o = {.to = &bytes};
    json_out_open(&o, NULL, '{');
    json_out_bool(&o, "planes", p->planes_on);
    json_out_open(&o, "marks", '[');
    for (size_t i = 0; i < p->n_leaks; i++) json_out_text(&o, NULL, p->leaks[i].defect->mark);
    json_out_close(&o, ']');
    write_changes(&o, c->job);
    json_out_close(&o, '}');
    const char *body = bytes.failed ? NULL : arena_copy(p->memory, text_get(&bytes));
    text_free(&bytes);
    *row = (store_result){"changes", "", p->price_hash, STANCH_VERSION, 0, body};
    return body ? OK : fault_memory(c->why);
}

static status compare_all(comparing *c) {
    status code = OK;
    for (size_t i = 0; code == OK && i < c->job->plan->n_leaks; i++) code = compare_leak(c, i);
    if (code == OK) code = list_removed(c);
    return code == OK ? compare_job(c) : code;
}

/* The same inputs, planned in the same way, give the same, and need no reading; what the last plan told stays. Planned with
 * and without the crack planes they may differ. */
static status find_all(comparing *c, const char *last_inputs) {
    const plan *p = c->job->plan;
    bool inputs = last_inputs && strcmp(last_inputs, p->price_hash) == 0;
    bool planes = json_is_true(json_object_get(c->last, "planes")) == p->planes_on;
    if (inputs && planes && c->had_marks) return take_last(c);
    status code = compare_all(c);
    return code == OK && inputs && c->job->n_changes == 0 ? take_last(c) : code;
}

status changes_find(store *kept, const store_result *rows, ops_job *job, store_result *row, fault *why) {
    comparing c = {.kept = kept, .rows = rows, .job = job, .why = why};
    store_result last;
    bool found;
    job->changes = NULL;
    job->n_changes = 0;
    status code = store_load_result(kept, "changes", "", job->plan->memory, &last, &found, why);
    if (code != OK) return code;
    if (found) c.last = json_loads(last.body, JSON_REJECT_DUPLICATES, NULL);
    c.had_marks = json_is_array(json_object_get(c.last, "marks"));
    code = find_all(&c, found ? last.inputs_hash : NULL);
    json_decref(c.last);
    return code == OK ? write_row(&c, row) : code;
}
