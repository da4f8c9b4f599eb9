#include "ops/job.h"
#include "ops/wall.h"

#include <string.h>

static status read_all(store *job, arena *memory, ops_records *out, fault *why) {
    store_record *list;
    size_t n;
    status code = store_load_records(job, 0, 0, memory, &list, &n, why);
    if (code != OK) return code;
    out->items = arena_get(memory, n, sizeof *out->items);
    out->bodies = arena_get(memory, n, sizeof *out->bodies);
    if (!out->items || !out->bodies) return fault_memory(why);
    for (; code == OK && out->n < n; out->n++) {
        out->bodies[out->n] = list[out->n].body;
        code = record_read_body(list[out->n].body, memory, &out->items[out->n], why);
        record_as_typed(&out->items[out->n], out->system);
        out->items[out->n].seq = list[out->n].seq;
    }
    return code;
}

status ops_records_load(const char *path, arena *memory, ops_records *out, fault *why) {
    store *job = NULL;
    survey *s = NULL;
    *out = (ops_records){0};
    status code = store_open(path, true, &job, why);
    if (code == OK) code = store_load(job, &s, why);
    if (code == OK) out->system = s->site.system;
    if (code == OK) code = read_all(job, memory, out, why);
    survey_free(s);
    store_close(job);
    if (code != OK) *out = (ops_records){0};
    return code;
}

static void write_conflicts(json_out *o, const record_conflict_list *list) {
    json_out_open(o, "conflicts", '[');
    for (size_t i = 0; i < list->n; i++) {
        const record_conflict *c = &list->items[i];
        json_out_open(o, NULL, '{');
        json_out_text(o, "mark", c->a->mark);
        json_out_text(o, "a", c->a->id);
        json_out_text(o, "b", c->b->id);
        json_out_text(o, "sentence", c->sentence);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

/* With its seq as the last member. A metric body is given as it is stored. */
static void write_record(json_out *o, const ops_records *all, size_t i) {
    text *to = o->to;
    size_t length = strlen(all->bodies[i]);
    if (all->system == UNITS_METRIC && all->bodies[i][length - 1] == '}') {
        text_add_bytes(to, all->bodies[i], length - 1);
    } else {
        json_out inner = {.to = to, .system = all->system};
        json_out_open(&inner, NULL, '{');
        record_write(&inner, &all->items[i]);
    }
    text_print(to, ", \"seq\": %lld}", all->items[i].seq);
}

/* The phone's `seen` follows from last: it never names a record that was not given. */
static void write_records(json_out *o, const ops_records *all, long long after) {
    long long last = 0;
    size_t given = 0;
    json_out_open(o, "records", '[');
    for (size_t i = 0; i < all->n && given < OPS_RECORDS_PAGE; i++) {
        last = all->items[i].seq;
        if (last <= after) continue;
        if (given++ > 0) text_add(o->to, ", ");
        write_record(o, all, i);
    }
    json_out_close(o, ']');
    json_out_whole(o, "last", last);
}

status ops_records_json(const char *path, long long after, text *out, fault *why) {
    ops_records all;
    record_conflict_list conflicts;
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    status code = ops_records_load(path, memory, &all, why);
    if (code == OK) code = record_conflicts(all.items, all.n, memory, &conflicts, why);
    if (code == OK) {
        json_out o = {.to = out, .system = all.system};
        json_out_open(&o, NULL, '{');
        write_records(&o, &all, after);
        write_conflicts(&o, &conflicts);
        json_out_close(&o, '}');
        if (out->failed) code = fault_memory(why);
    }
    arena_free(memory);
    return code;
}
