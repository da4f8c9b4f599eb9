/* The job as built: sums of its leaks, materials, people, weather, days, photos, open conflicts. */
#include "accept/built_parts.h"

#include "core/date.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- sums ---- */

/* What can be added up: neither sizes nor steps. */
static bool is_sum(const built_line *line) {
    return line->q != UNITS_SIZE && !(line->unit && strcmp(line->unit, "step") == 0);
}

static void add_maybe(maybe *sum, maybe more) {
    if (!more.known) return;
    sum->v = (sum->known ? sum->v : 0) + more.v;
    sum->known = true;
}

static status add_to_totals(building *b, const built_leak *leak) {
    built_job *out = b->out;
    for (size_t i = 0; i < leak->n_lines; i++) {
        const built_line *line = &leak->lines[i];
        if (!is_sum(line)) continue;
        built_line *sum = NULL;
        for (size_t k = 0; !sum && k < out->n_totals; k++)
            if (out->totals[k].q == line->q && strcmp(out->totals[k].label, line->label) == 0)
                sum = &out->totals[k];
        if (!sum) {
            built_line *longer = arena_push(b->memory, out->totals, &out->n_totals, sizeof *longer);
            if (!longer) return fault_memory(b->why);
            out->totals = longer;
            sum = &longer[out->n_totals - 1];
            *sum = (built_line){.mark = "", .label = line->label, .q = line->q, .unit = line->unit};
        }
        add_maybe(&sum->planned, line->planned);
        add_maybe(&sum->actual, line->actual);
        sum->in_part = sum->in_part || (line->planned.known && line->planned.v > 0 && !line->actual.known);
    }
    return OK;
}

static status sum_materials(building *b) {
    built_job *out = b->out;
    for (size_t i = 0; i < b->p->survey->n_materials; i++) {
        const built_stuff *all = &b->all[i];
        if (!all->planned && !all->used) continue;
        built_material *list = arena_push(b->memory, out->materials, &out->n_materials, sizeof *list);
        if (!list) return fault_memory(b->why);
        out->materials = list;
        list[out->n_materials - 1] = (built_material){.material = b->p->survey->materials[i].id,
                                                      .planned_kg = all->planned_kg,
                                                      .used_kg = all->kg,
                                                      .planned_m3 = all->planned_m3,
                                                      .used_m3 = all->m3,
                                                      .packs = all->packs,
                                                      .net_kg = {b->net_known[i], b->net_kg[i]},
                                                      .measured_kg = b->measured_kg[i]};
    }
    return OK;
}

/* ---- days ---- */

static int by_day(const void *left, const void *right) {
    const long long *a = left, *b = right;
    return (*a > *b) - (*a < *b);
}

static size_t each_once(long long *days, size_t n) {
    size_t kept = 0;
    if (n > 1) qsort(days, n, sizeof *days, by_day);
    for (size_t i = 0; i < n; i++)
        if (kept == 0 || days[kept - 1] != days[i]) days[kept++] = days[i];
    return kept;
}

static bool is_work(const record *r) {
    return r->what <= RECORD_USED && !(r->step && strcmp(r->step, "prove") == 0);
}

static bool shuts(const char *step) {
    static const char *const these[] = {"plug", "close_relief", "stopped", "inject"};
    for (size_t i = 0; step && i < sizeof these / sizeof *these; i++)
        if (strcmp(step, these[i]) == 0) return true;
    return false;
}

static const char *day_text(building *b, long long day) {
    calendar_day at = date_of_days(day);
    return arena_print(b->memory, "%04d-%02d-%02d", at.year, at.month, at.day);
}

static status find_days(building *b) {
    b->days = arena_get(b->memory, b->n_filed, sizeof *b->days);
    b->proof_days = arena_get(b->memory, b->n_filed, sizeof *b->proof_days);
    if (!b->days || !b->proof_days) return fault_memory(b->why);
    for (size_t i = 0; i < b->n_filed; i++) {
        const record *r = b->filed[i].r;
        long long day = built_day(b, b->filed[i].seconds);
        if (is_work(r)) b->days[b->n_days++] = day;
        if (r->what == RECORD_PROOF) b->proof_days[b->n_proof_days++] = day;
        if (is_work(r) && shuts(r->step) && (!b->shut || day > b->shut_day)) {
            b->shut = true;
            b->shut_day = day;
        }
    }
    b->n_days = each_once(b->days, b->n_days);
    b->n_proof_days = each_once(b->proof_days, b->n_proof_days);
    if (b->n_days == 0) return OK;
    b->out->first = day_text(b, b->days[0]);
    b->out->last = day_text(b, b->days[b->n_days - 1]);
    return b->out->first && b->out->last ? OK : fault_memory(b->why);
}

/* ---- people, weather, photos ---- */

static status name_people(building *b) {
    names *seen = names_new();
    status code = seen ? OK : fault_memory(b->why);
    for (size_t i = 0; code == OK && i < b->in->n; i++) {
        const record *r = &b->in->records[i];
        if (!r->by || r->what == RECORD_SETTLED || r->what == RECORD_CORRECTION) continue;
        if (names_find(seen, r->by) != NAMES_NONE) continue;
        const char **list = arena_push(b->memory, b->out->people, &b->out->n_people, sizeof *list);
        if (!list || !names_put(seen, r->by, i)) {
            code = fault_memory(b->why);
            continue;
        }
        list[b->out->n_people - 1] = r->by;
        b->out->people = list;
    }
    names_free(seen);
    return code;
}

static void widen(maybe *low, maybe *high, maybe value) {
    if (!value.known) return;
    if (!low->known || value.v < low->v) *low = value;
    if (!high->known || value.v > high->v) *high = value;
}

static status look_round(building *b) {
    built_job *out = b->out;
    for (size_t i = 0; i < b->n_filed; i++) {
        const record *r = b->filed[i].r;
        widen(&out->air_low_c, &out->air_high_c, r->air_c);
        widen(&out->wall_low_c, &out->wall_high_c, r->wall_c);
        widen(&out->humidity_low, &out->humidity_high, r->humidity_percent);
        if (r->what != RECORD_PHOTO || !r->photo) continue;
        built_photo *list = arena_push(b->memory, out->photos, &out->n_photos, sizeof *list);
        if (!list) return fault_memory(b->why);
        out->photos = list;
        list[out->n_photos - 1] = (built_photo){r->mark, r->photo, r->text, r->at, r->by, r->seq};
    }
    return OK;
}

/* ---- conflicts, strangers ---- */

static built_leak *leak_of(const building *b, const char *mark) {
    size_t at = names_find(b->marks, mark);
    return at == NAMES_NONE ? &b->out->site : &b->out->leaks[at];
}

static status tell_conflicts(building *b) {
    record_conflict_list open;
    status code = record_conflicts(b->in->records, b->in->n, b->memory, &open, b->why);
    for (size_t i = 0; code == OK && i < open.n; i++)
        code =
            built_note(b, leak_of(b, open.items[i].b->mark), open.items[i].b,
                       arena_print(b->memory, "not settled, both are counted: %s", open.items[i].sentence));
    return code;
}

static status tell_strangers(building *b) {
    const record *first = NULL;
    size_t n = 0;
    for (size_t i = 0; i < b->n_filed; i++) {
        const record *r = b->filed[i].r;
        if (b->filed[i].leak < b->p->n_leaks || !r->mark || strcmp(r->mark, "site") == 0) continue;
        if (!first) first = r;
        n++;
    }
    if (!first) return OK;
    return built_note(b, &b->out->site, first,
                      arena_print(b->memory,
                                  "%zu record%s of marks that the survey does not have, such as %s: "
                                  "counted for the site",
                                  n, n == 1 ? "" : "s", first->mark));
}

status built_sum(building *b) {
    status code = OK;
    for (size_t i = 0; code == OK && i < b->out->n_leaks; i++) code = add_to_totals(b, &b->out->leaks[i]);
    if (code == OK) code = add_to_totals(b, &b->out->site);
    if (code == OK) code = sum_materials(b);
    if (code == OK) code = find_days(b);
    if (code == OK) code = name_people(b);
    if (code == OK) code = look_round(b);
    if (code == OK) code = tell_conflicts(b);
    return code == OK ? tell_strangers(b) : code;
}
