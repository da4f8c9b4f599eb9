#include "ops/job.h"
#include "ops/wall.h"

#include "survey/check.h"
#include "survey/names.h"
#include "survey/trace.h"

#include <string.h>

/* No water stands so far above all levels and faces of the survey (our default). */
static const double WATER_ABOVE_M = 100;

const char *const ops_record_state_words[OPS_RECORD_STATES] = {"kept", "already", "refused"};

typedef struct {
    store *job;
    const survey *s;
    const ops_actor *actor;
    arena *memory;
    names *marks, *ids; /* marks of the job; ids of its records, NULL until one is asked for */
    const char **of;    /* the mark of each id */
    size_t n_of;
    fault *why;
} taking;

/* ---- the request ---- */

static json_t *find_list(json_in *in, json_t *document) {
    static const char *const known[] = {"records"};
    if (!document || !json_in_is_object(in, NULL, document)) return NULL;
    json_in_only(in, NULL, document, known, 1);
    json_t *list = json_in_array(in, NULL, document, "records", true);
    if (list && json_array_size(list) > OPS_RECORDS_MOST)
        json_in_fault(in, NULL, "records", "has %zu records; it must have at most %d", json_array_size(list),
                      OPS_RECORDS_MOST);
    return list;
}

/* The document, to be released by the caller, and the list in it. */
static status parse(const char *json, arena *memory, json_t **document, json_t **list, fault *why) {
    json_in in = {.source = "", .faults = fault_list_new(), .memory = memory};
    *document = *list = NULL;
    if (!in.faults) return fault_memory(why);
    *document = json_in_parse(&in, json, strlen(json));
    *list = find_list(&in, *document);
    status code = fault_list_status(in.faults, why);
    fault_list_free(in.faults);
    return code;
}

/* ---- one record ---- */

static status remember_marks(taking *t) {
    t->marks = names_new();
    bool good = t->marks && names_put(t->marks, "site", 0);
    for (size_t i = 0; good && i < t->s->n_defects; i++) good = names_put(t->marks, t->s->defects[i].mark, i);
    return good ? OK : fault_memory(t->why);
}

static bool add_id(taking *t, const char *id, const char *mark) {
    const char **of = arena_push(t->memory, t->of, &t->n_of, sizeof *of);
    if (!of || !id || !mark) return false;
    t->of = of;
    of[t->n_of - 1] = mark;
    return names_put(t->ids, id, t->n_of - 1);
}

/* Only a correction and a settled ask which records there are. */
static status remember_ids(taking *t) {
    store_record *list;
    size_t n;
    if (t->ids) return OK;
    status code = store_load_records(t->job, 0, 0, t->memory, &list, &n, t->why);
    if (code != OK) return code;
    t->ids = names_new();
    bool good = t->ids != NULL;
    for (size_t i = 0; good && i < n; i++) good = add_id(t, list[i].id, list[i].mark);
    return good ? OK : fault_memory(t->why);
}

static void check_mark(taking *t, json_in *in, const record *r) {
    if (names_find(t->marks, r->mark) != NAMES_NONE) return;
    const char **marks = arena_get(t->memory, t->s->n_defects, sizeof *marks);
    if (!marks) {
        fault_list_memory(in->faults);
        return;
    }
    for (size_t i = 0; i < t->s->n_defects; i++) marks[i] = t->s->defects[i].mark;
    int near = text_nearest(r->mark, marks, t->s->n_defects);
    if (near >= 0)
        json_in_fault(in, NULL, "mark", "no leak is marked %s; the nearest mark is %s", r->mark, marks[near]);
    else
        json_in_fault(in, NULL, "mark", "no leak is marked %s", r->mark);
}

/* The nearest by name; where none is near, what there is. */
static void tell_unknown(json_in *in, const char *what, const char *id, const char **ids, size_t n) {
    text there = {0};
    int near = text_nearest(id, ids, n);
    if (near >= 0) text_print(&there, "; the nearest is %s", ids[near]);
    for (size_t i = 0; near < 0 && i < n; i++) text_print(&there, "%s%s", i ? ", " : "; it has ", ids[i]);
    json_in_fault(in, NULL, what, "the job has no %s %s%s", what, id, text_get(&there));
    if (there.failed) fault_list_memory(in->faults);
    text_free(&there);
}

static void check_tank(taking *t, json_in *in, const record *r) {
    const survey *s = t->s;
    bool counts = r->what == RECORD_LEVEL || r->what == RECORD_CORRECTION; /* what it says goes before */
    if (!counts || !r->tank || survey_find_tank(s, r->tank)) return;
    const char **ids = arena_get(t->memory, s->n_tanks, sizeof *ids);
    for (size_t i = 0; ids && i < s->n_tanks; i++) ids[i] = s->tanks[i].id;
    if (ids)
        tell_unknown(in, "tank", r->tank, ids, s->n_tanks);
    else
        fault_list_memory(in->faults);
}

/* What is used of a material that the job does not know would stand in no sum and on no bill. */
static void check_material(taking *t, json_in *in, const record *r) {
    const survey *s = t->s;
    if (!r->material) return;
    const char **ids = arena_get(t->memory, s->n_materials, sizeof *ids);
    for (size_t i = 0; ids && i < s->n_materials; i++) {
        ids[i] = s->materials[i].id;
        if (strcmp(ids[i], r->material) == 0) return;
    }
    if (ids)
        tell_unknown(in, "material", r->material, ids, s->n_materials);
    else
        fault_list_memory(in->faults);
}

static double higher(double than, maybe level) {
    return level.known && level.v > than ? level.v : than;
}

/* Millimetres typed as metres would prove every leak dry: a level must be one that this job can have. */
static void check_water(taking *t, json_in *in, const record *r) {
    const survey *s = t->s;
    char given[UNITS_SHOWN], most[UNITS_SHOWN];
    if (!r->water_level_m.known) return;
    double top = higher(higher(0, s->site.today.level_m), s->site.design.level_m);
    for (size_t i = 0; i < s->n_faces; i++) {
        const survey_face *f = &s->faces[i];
        top = higher(higher(higher(top, (maybe){true, f->elevation_m}), f->today.level_m), f->design.level_m);
    }
    if (r->water_level_m.v <= top + WATER_ABOVE_M) return;
    json_in_fault(in, NULL, "water_level", "is %s; at this job it must lie below %s",
                  units_show(UNITS_LENGTH, in->system, r->water_level_m.v, 0, given),
                  units_show(UNITS_LENGTH, in->system, top + WATER_ABOVE_M, 0, most));
}

/* What a test proves is counted in metres of the leak: they lie on it. */
static void check_stretch(taking *t, json_in *in, const record *r) {
    char end[UNITS_SHOWN], length[UNITS_SHOWN];
    size_t at = names_find(t->marks, r->mark);
    bool counts = r->what == RECORD_PROOF || r->what == RECORD_CORRECTION;
    if (!counts || !r->to_m.known || at == NAMES_NONE) return;
    if (strcmp(r->mark, "site") == 0) {
        json_in_fault(in, NULL, "from", "and to are a stretch of a leak; the site has none");
        return;
    }
    double length_m = trace_length_m(&t->s->defects[at]);
    if (r->to_m.v <= length_m + CHECK_BEYOND_M) return;
    json_in_fault(in, NULL, "to", "is %s; %s is %s long",
                  units_show(UNITS_LENGTH, in->system, r->to_m.v, 3, end), r->mark,
                  units_show(UNITS_LENGTH, in->system, length_m, 3, length));
}

static status check_about(taking *t, json_in *in, const char *field, const char *id, const record *r) {
    if (!id) return OK;
    status code = remember_ids(t);
    if (code != OK) return code;
    size_t at = names_find(t->ids, id);
    if (at == NAMES_NONE)
        json_in_fault(in, NULL, field, "no record of the job is %s", id);
    else if (strcmp(t->of[at], r->mark) != 0)
        json_in_fault(in, NULL, field, "record %s is of %s, not of %s", id, t->of[at], r->mark);
    return OK;
}

/* All that is wrong with a record, so that it is mended once. */
static status tell(const fault_list *faults, fault *said) {
    text all = {0};
    status code = fault_list_status(faults, said);
    if (code != E_INPUT) return code;
    for (size_t i = 0; i < fault_list_kept(faults); i++)
        text_print(&all, "%s%s", i ? "; " : "", fault_list_text(faults, i));
    code = all.failed ? E_MEMORY : fault_set(said, E_INPUT, "%s", text_get(&all));
    text_free(&all);
    return code;
}

/* Read and check; *said is a sentence when it is refused. */
static status read_record(taking *t, json_t *object, record *r, fault *said) {
    json_in in = {.source = "", .faults = fault_list_new(), .system = t->s->site.system, .memory = t->memory};
    status code = OK;
    *said = (fault){0};
    if (!in.faults) return fault_memory(t->why);
    if (record_read(&in, NULL, object, t->actor->at, r)) {
        check_mark(t, &in, r);
        check_tank(t, &in, r);
        check_material(t, &in, r);
        check_water(t, &in, r);
        check_stretch(t, &in, r);
        code = check_about(t, &in, "about", r->about, r);
        if (code == OK) code = check_about(t, &in, "other", r->other, r);
    }
    if (code == OK && tell(in.faults, said) == E_MEMORY) code = fault_memory(t->why);
    fault_list_free(in.faults);
    return code;
}

/* E_INPUT and E_STATE of *said are this record's; any other fails the call. */
static status keep(taking *t, const record *r, ops_record_result *out, fault *said) {
    text body = {0};
    bool already = false;
    record_write_body(r, &body);
    status code = E_MEMORY;
    if (body.failed)
        fault_memory(said);
    else {
        const store_record row = {.id = r->id,
                                  .mark = r->mark,
                                  .body = text_get(&body),
                                  .received_at = t->actor->at,
                                  .received_by = t->actor->by};
        code = store_add_record(t->job, &row, &out->seq, &already, said);
    }
    text_free(&body);
    out->state = already ? OPS_RECORD_ALREADY : OPS_RECORD_KEPT;
    if (code == OK && t->ids && !already && !add_id(t, r->id, r->mark)) return fault_memory(t->why);
    if (code == OK || code == E_INPUT || code == E_STATE) return OK;
    return fault_set(t->why, code, "%s", said->text);
}

static status take(taking *t, json_t *object, ops_record_result *out) {
    record r;
    fault said;
    const char *id = json_string_value(json_object_get(object, "id"));
    *out = (ops_record_result){0};
    if (id && !(out->id = arena_copy(t->memory, id))) return fault_memory(t->why);
    status code = read_record(t, object, &r, &said);
    if (code == OK && said.code == OK) code = keep(t, &r, out, &said);
    if (code != OK || said.code == OK) return code;
    *out = (ops_record_result){
        .id = out->id, .state = OPS_RECORD_REFUSED, .fault = arena_copy(t->memory, said.text)};
    return out->fault ? OK : fault_memory(t->why);
}

/* ---- the call ---- */

static status find_last(taking *t, ops_record_results *out) {
    store_record *list;
    size_t n;
    for (size_t i = 0; i < out->n; i++)
        if (out->items[i].seq > out->last) out->last = out->items[i].seq;
    status code = store_load_records(t->job, out->last, 0, t->memory, &list, &n, t->why);
    if (code == OK && n > 0) out->last = list[n - 1].seq;
    return code;
}

static status take_all(taking *t, json_t *list, ops_record_results *out) {
    survey *s = NULL;
    status code = store_load(t->job, &s, t->why);
    if (code != OK) return code;
    t->s = s;
    out->items = arena_get(t->memory, json_array_size(list), sizeof *out->items);
    code = out->items ? remember_marks(t) : fault_memory(t->why);
    for (size_t i = 0; code == OK && i < json_array_size(list); i++)
        code = take(t, json_array_get(list, i), &out->items[out->n++]);
    if (code == OK) code = find_last(t, out);
    names_free(t->marks);
    names_free(t->ids);
    survey_free(s);
    return code;
}

status ops_record(const char *path, const char *json, const ops_actor *actor, arena *memory,
                  ops_record_results *out, fault *why) {
    taking t = {.actor = actor, .memory = memory, .why = why};
    json_t *document, *list;
    long long clock;
    *out = (ops_record_results){0};
    if (!record_time(actor->at, &clock))
        return fault_set(why, E_INPUT, "the clock says %.40s; set it first", actor->at);
    status code = parse(json, memory, &document, &list, why);
    if (code == OK) code = store_open(path, false, &t.job, why);
    if (code == OK) code = store_begin(t.job, why);
    if (code == OK) code = take_all(&t, list, out);
    if (code == OK) code = store_commit(t.job, why);
    store_close(t.job);
    json_decref(document);
    if (code != OK) *out = (ops_record_results){0};
    return code;
}
