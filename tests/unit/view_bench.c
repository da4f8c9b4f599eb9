#include "view_bench.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char *read_file(const char *path) {
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    char *all = calloc(1, 1 << 20);
    assert_non_null(all);
    assert_true(fread(all, 1, (1 << 20) - 1, file) > 0);
    fclose(file);
    return all;
}

void plan_with(bench *b, survey *s, plan_planes planes) {
    fault why = {0};
    *b = (bench){.s = s, .view = {.job = "pit", .revision = 12, .current = true}};
    if (plan_make(b->s, &(plan_options){.planes = planes, .threads = 1}, &b->p, &why) != OK)
        fail_msg("%s", why.text);
}

void set_up(bench *b, const char *example, plan_planes planes) {
    char path[300];
    snprintf(path, sizeof path, EXAMPLES "/%s.json", example);
    char *json = read_file(path);
    survey *s = fixture_survey(json);
    s->site.system =
        strcmp(example, "small-us") == 0 ? UNITS_US : UNITS_METRIC; /* of the job, whatever its file was in */
    plan_with(b, s, planes);
    free(json);
}

void tear_down(bench *b) {
    plan_free(b->p);
    survey_free(b->s);
}

static json_t *parsed(text *out) {
    json_error_t error;
    json_t *root = json_loadb(text_get(out), out->length, JSON_REJECT_DUPLICATES, &error);
    if (!root) fail_msg("%s at %d of %s", error.text, error.position, text_get(out));
    text_free(out);
    return root;
}

json_t *plan_view(const bench *b) {
    text out = {0};
    fault why = {0};
    if (ops_plan_view_json(b->p, &b->view, &out, &why) != OK) fail_msg("%s", why.text);
    return parsed(&out);
}

json_t *leak_view(const bench *b, size_t i) {
    text out = {0};
    fault why = {0};
    if (ops_leak_view_json(b->p, b->s->defects[i].mark, &b->view, &out, &why) != OK) fail_msg("%s", why.text);
    return parsed(&out);
}

/* ---- members and their kinds ---- */

/* One letter a member: T text with something in it, t text, s text or null, N number, n number or null, B bool,
 * O object, o object or null, A list of objects, L list of texts. All of them and no others, in this order. */
typedef struct {
    const char *name, *kinds;
    const char *members[22];
} shape;

static const shape SHAPES[] = {
    {"finding", "TTTTBsss", {"level", "mark", "finding", "sentence", "open", "by", "on", "what"}},
    {"plan",
     "TNBBTTTNNAAAAOALLL",
     {"state", "revision", "current", "planes", "inputs_hash", "job", "currency", "open_stops", "open_asks",
      "findings", "leaks", "quantities", "orders", "price", "changes", "assumptions", "cautions", "sources"}},
    {"leaks",
     "TTTTttTTttBBnnNBN",
     {"mark", "kind", "face", "seen", "flow", "flow_basis", "head", "method", "slot", "depth", "holds",
      "scan_first", "hours", "cost", "changed", "stop", "asks"}},
    {"quantities", "TT", {"label", "value"}},
    {"orders", "TTttNt", {"material", "need", "packs", "left", "cost", "problem"}},
    {"price", "AANNNN", {"groups", "lines", "hours", "crew_days", "subtotal", "total"}},
    {"groups", "TN", {"group", "amount"}},
    {"lines", "TTNTNNT", {"group", "label", "quantity", "unit", "rate", "amount", "basis"}},
    {"job changes", "tTtt", {"mark", "label", "before", "after"}},
    {"leak",
     "TTTTBAOOOAOAoAAnnoA",
     {"mark", "kind", "face", "place", "current", "findings", "method", "diagnosis", "steel", "rows", "card",
      "mixes", "fill", "parts", "hours", "hours_total", "cost", "plane", "changes"}},
    {"method",
     "TTNTTTtAAToA",
     {"name", "word", "row", "reason", "basis", "runner_up", "tip", "tips", "passed", "by_table", "overruled",
      "choices"}},
    {"tips", "TT", {"change", "to"}},
    {"passed", "TT", {"method", "why"}},
    {"choices", "TT", {"word", "name"}},
    {"overruled", "TTTTs", {"method", "by", "on", "why", "objection"}},
    {"diagnosis", "OooA", {"movement", "healing", "tightness", "causes"}},
    {"movement", "TTTtA", {"verdict", "basis", "reason", "total", "gauges"}},
    {"gauges",
     "tNTTTTnttttsLL",
     {"gauge", "readings", "first", "last", "verdict", "rule", "months_more", "drift", "per_kelvin", "widest",
      "narrowest", "year_basis", "set_aside", "warnings"}},
    {"healing", "TTtTBT", {"rule", "width", "limit", "gradient", "heals", "source"}},
    {"tightness", "TTT", {"class", "asks", "verdict"}},
    {"causes", "TLL", {"cause", "for", "against"}},
    {"steel", "AA", {"stretches", "advice"}},
    {"stretches", "TTTt", {"from", "to", "bar", "allowed"}},
    {"advice", "TBT", {"remedy", "enough", "saying"}},
    {"rows", "TTTttt", {"group", "label", "value", "equation", "inputs", "source"}},
    {"card", "AL", {"steps", "cautions"}},
    {"mixes",
     "TTTTTNTTTNN",
     {"step", "material", "material_id", "powder", "water", "batches", "batch_powder", "batch_water",
      "usable", "usable_s", "set_s"}},
    {"work", "TN", {"work", "hours"}},
    {"plane", "sLTBAAL", {"why_not", "leaks", "uncut", "search", "orders", "steps", "warnings"}},
    {"plane orders", "TBBTTN", {"name", "best", "drawn", "peak", "met", "over"}},
    {"plane steps", "TTTTTTTB", {"mark", "from", "to", "met", "total", "behind", "fresh", "relief"}},
    {"changes", "Ttt", {"label", "before", "after"}},
    {"works",
     "TNBsTttBttBAAAALL",
     {"state", "revision", "current", "start_on", "when", "out", "deadline", "late", "bound", "absent",
      "begun", "days", "tasks", "visits", "exposures", "warnings", "moved"}},
    {"works days", "NsTtLNNB", {"day", "date", "label", "hours", "marks", "tasks", "visits", "over"}},
    {"works tasks",
     "TtTTTNTLLBBN",
     {"id", "mark", "face", "title", "step", "day", "when", "workers", "plant", "done", "begun", "batches"}},
    {"works visits", "NsTTTLB", {"day", "date", "at", "where", "title", "workers", "done"}},
    {"works exposures", "NTTtt", {"day", "label", "worker", "over", "saying"}},
    {"day",
     "TBNsTtTTnnAAAAttAAA",
     {"job", "current", "day", "date", "title", "site", "hours", "people", "before", "after", "crew", "tasks",
      "batches", "holds", "tub", "visits", "exposures", "controls", "cautions"}},
    {"day crew", "TA", {"who", "tasks"}},
    {"day turns", "TTBTB", {"hours", "where", "leak", "task", "done"}},
    {"day tasks", "TTTtt", {"hours", "where", "task", "people", "plant"}},
    {"day batches", "TTTTt", {"what", "mixed", "use_by", "take", "measure"}},
    {"day holds", "TT", {"where", "title"}},
    {"day exposures", "TTTTTt", {"who", "vibration", "noise", "silica", "respirator", "saying"}},
    {"day controls", "Tt", {"tool", "control"}},
    {"day cautions", "tT", {"marks", "caution"}},
    {"at", "TTsAAL", {"state", "at", "problem", "rows", "batches", "warnings"}},
    {"at rows", "TTt", {"label", "now", "at"}},
    {"at batches", "TTOOt", {"step", "material", "now", "at", "saying"}},
    {"mixed", "ttttt", {"batches", "size", "usable", "set", "waste"}},
};

static bool is_kind(const json_t *value, char kind) {
    size_t i;
    const json_t *item;
    switch (kind) {
    case 'T': return json_string_length(value) > 0;
    case 't': return json_is_string(value);
    case 's': return json_is_null(value) || json_string_length(value) > 0;
    case 'N': return json_is_number(value);
    case 'n': return json_is_null(value) || json_is_number(value);
    case 'B': return json_is_boolean(value);
    case 'O': return json_is_object(value);
    case 'o': return json_is_null(value) || json_is_object(value);
    default: break;
    }
    json_array_foreach(value, i, item) {
        if (kind == 'A' ? !json_is_object(item) : json_string_length(item) == 0) return false;
    }
    return json_is_array(value);
}

void expect_shape(const json_t *object, const char *name) {
    size_t k = 0;
    while (strcmp(SHAPES[k].name, name) != 0) assert_true(++k < sizeof SHAPES / sizeof *SHAPES);
    const shape *want = &SHAPES[k];
    size_t n = strlen(want->kinds), i = 0;
    const char *key;
    json_t *value;
    json_object_foreach((json_t *)(uintptr_t)object, key, value) {
        if (i >= n || strcmp(key, want->members[i]) != 0)
            fail_msg("%s: %s where %s belongs", name, key, i < n ? want->members[i] : "nothing");
        if (!is_kind(value, want->kinds[i])) fail_msg("%s: %s is not of kind %c", name, key, want->kinds[i]);
        i++;
    }
    if (i != n) fail_msg("%s: %s is missing", name, want->members[i]);
}

json_t *member(const json_t *object, const char *name) {
    json_t *value = json_object_get(object, name);
    if (!value) fail_msg("no member %s", name);
    return value;
}

const char *word(const json_t *object, const char *name) {
    const char *value = json_string_value(member(object, name));
    if (!value) fail_msg("%s is no text", name);
    return value;
}

double number(const json_t *object, const char *name) {
    return json_number_value(member(object, name));
}

bool yes(const json_t *object, const char *name) {
    return json_is_true(member(object, name));
}

void expect_each(const json_t *object, const char *list, const char *name) {
    size_t i;
    const json_t *item;
    json_array_foreach(member(object, list), i, item) expect_shape(item, name);
}

void expect_plan_shape(const json_t *root) {
    const json_t *price = member(root, "price");
    expect_shape(root, "plan");
    expect_each(root, "findings", "finding");
    expect_each(root, "leaks", "leaks");
    expect_each(root, "quantities", "quantities");
    expect_each(root, "orders", "orders");
    expect_shape(price, "price");
    expect_each(price, "groups", "groups");
    expect_each(price, "lines", "lines");
    expect_each(root, "changes", "job changes");
}

/* A member that may be null. */
static void expect_or_null(const json_t *object, const char *name) {
    const json_t *value = member(object, name);
    if (!json_is_null(value)) expect_shape(value, name);
}

static void expect_why_shape(const json_t *root) {
    const json_t *method = member(root, "method"), *why = member(root, "diagnosis"),
                 *steel = member(root, "steel");
    expect_shape(method, "method");
    expect_each(method, "tips", "tips");
    expect_each(method, "passed", "passed");
    expect_each(method, "choices", "choices");
    expect_or_null(method, "overruled");
    expect_shape(why, "diagnosis");
    expect_or_null(why, "healing");
    expect_or_null(why, "tightness");
    expect_each(why, "causes", "causes");
    expect_shape(member(why, "movement"), "movement");
    expect_each(member(why, "movement"), "gauges", "gauges");
    expect_shape(steel, "steel");
    expect_each(steel, "stretches", "stretches");
    expect_each(steel, "advice", "advice");
}

void expect_leak_shape(const json_t *root) {
    const json_t *plane = member(root, "plane");
    expect_shape(root, "leak");
    expect_each(root, "findings", "finding");
    expect_why_shape(root);
    expect_each(root, "rows", "rows");
    expect_shape(member(root, "card"), "card");
    expect_each(root, "mixes", "mixes");
    expect_each(root, "hours", "work");
    expect_each(root, "changes", "changes");
    if (json_is_null(plane)) return;
    expect_shape(plane, "plane");
    expect_each(plane, "orders", "plane orders");
    expect_each(plane, "steps", "plane steps");
}

/* ---- units ---- */

/* "3.0 m", "20 kPa": a number and a metric unit behind it. */
bool is_metric(const char *words) {
    static const char *const units[] = {"mm", "m", "m2", "m3", "l", "kg", "kPa", "MPa", "C", "\u00b0C"};
    for (const char *c = strchr(words, ' '); c; c = strchr(c + 1, ' ')) {
        if (c == words || !isdigit((unsigned char)c[-1])) continue;
        size_t length = strcspn(c + 1, " ,;:.)/");
        for (size_t k = 0; k < sizeof units / sizeof *units; k++)
            if (length == strlen(units[k]) && strncmp(c + 1, units[k], length) == 0) return true;
    }
    return false;
}

/* Sentences, equations and sources speak of common practice in its own units, grades of leaks and the practice beside a
 * seal have their limits in their names, and price lines are counted in the unit of the price. */
static bool is_prose(const char *name, const json_t *object) {
    static const char *const names[] = {"sentence", "equation", "inputs",   "source",      "basis",
                                        "reason",   "tip",      "cautions", "assumptions", "sources",
                                        "unit",     "body",     "warnings", "findings"};
    for (size_t k = 0; k < sizeof names / sizeof *names; k++)
        if (strcmp(name, names[k]) == 0) return true;
    static const char *const labels[] = {"STOP", "ASK", "Note", "Grade of leak",
                                         "Seal past the last wet mark"};
    const char *label = json_string_value(json_object_get(object, "label"));
    for (size_t k = 0; label && k < sizeof labels / sizeof *labels; k++)
        if (strcmp(label, labels[k]) == 0) return true;
    return false;
}

void expect_us(json_t *value) {
    size_t i;
    const char *key;
    json_t *inner;
    if (json_is_string(value) && is_metric(json_string_value(value)))
        fail_msg("metric on a US job: %s", json_string_value(value));
    json_array_foreach(value, i, inner) expect_us(inner);
    json_object_foreach(value, key, inner) {
        if (!is_prose(key, value)) expect_us(inner);
    }
}
