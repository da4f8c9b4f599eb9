/* Edits of single objects: all or nothing, nobody's work overwritten, every change logged. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "core/file.h"
#include "ops/edit.h"
#include "store/log.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char folder[40] = "/dev/shm/stanch-edit-XXXXXX"; /* memory: every edit is synced */
static char job[64];

static const ops_actor someone = {"N. N.", "2026-03-01T09:30:00Z", "page"};

static int set_up(void **state) {
    (void)state;
    fault why = {OK, ""};
    if (access("/dev/shm", W_OK) != 0) memcpy(folder, "/tmp/stanch-edit-XXXXXX", 24);
    if (store_use_memory_hooks(&why) != OK || !mkdtemp(folder)) return -1;
    snprintf(job, sizeof job, "%s/a.stanch", folder);
    return 0;
}

static int clean(void **state) {
    (void)state;
    static const char *const endings[] = {"", "-wal", "-shm", "-journal"};
    char name[128];
    for (int i = 0; i < 4; i++) {
        snprintf(name, sizeof name, "%s%s", job, endings[i]);
        unlink(name);
    }
    return 0;
}

static int tear_down(void **state) {
    clean(state);
    return rmdir(folder);
}

static void must(status code, const fault *why) {
    if (code != OK) fail_msg("%s", why->text);
}

static void make_job(const char *example) {
    fault why = {OK, ""};
    const ops_new_request new = {.name = "test"};
    const char *files[] = {example};
    const ops_import_request import = {.files = files, .n = 1};
    ops_import_result brought;
    fault_list *faults = fault_list_new();
    must(ops_new(job, &new, &someone, &why), &why);
    if (example) must(ops_import(job, &import, &someone, faults, &brought, &why), &why);
    fault_list_free(faults);
}

static void pump_house(void) {
    make_job(EXAMPLES "/pump-house.json");
}

/* ---- what the page sees ---- */

static json_t *look(void) {
    fault why = {OK, ""};
    text json = {0};
    long long revision = 0;
    must(ops_survey_json(job, &revision, &json, &why), &why);
    json_t *seen = json_loadb(json.bytes, json.length, JSON_REJECT_DUPLICATES, NULL);
    assert_non_null(seen);
    assert_int_equal(json_integer_value(json_object_get(seen, "revision")), revision);
    text_free(&json);
    return seen;
}

static const char *list_of(const char *what) {
    static const char *const words[][2] = {
        {"face", "faces"},   {"defect", "defects"}, {"material", "materials"}, {"rate", "rates"},
        {"price", "prices"}, {"site", "site"},      {"folds", "folds"},        {"tank", "tanks"}};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strcmp(words[i][0], what) == 0) return words[i][1];
    fail_msg("%s", what);
    return "";
}

/* Borrowed; NULL when it is not there. */
static json_t *object_of(json_t *seen, const char *what, const char *key) {
    json_t *list = json_object_get(json_object_get(seen, "survey"), list_of(what));
    if (!*key) return list;
    const char *name = strcmp(what, "defect") == 0 ? "mark" : "id";
    for (size_t i = 0; i < json_array_size(list); i++) {
        json_t *one = json_array_get(list, i);
        if (strcmp(json_string_value(json_object_get(one, name)), key) == 0) return one;
    }
    return NULL;
}

static json_t *hash_of(json_t *seen, const char *what, const char *key) {
    json_t *hashes = json_object_get(json_object_get(seen, "hashes"), list_of(what));
    return *key ? json_object_get(hashes, key) : hashes;
}

/* ---- edits ---- */

typedef struct {
    status code;
    fault why;
    ops_edit_result result;
    fault_list *faults;
} outcome;

static outcome send_text(const char *json) {
    outcome o = {.faults = fault_list_new()};
    const ops_edit_request request = {json, strlen(json)};
    o.code = ops_edit(job, &request, &someone, &o.result, o.faults, &o.why);
    return o;
}

static void done(outcome *o) {
    ops_edit_result_free(&o->result);
    fault_list_free(o->faults);
}

/* {"changes": [...]}; takes the list. */
static outcome send(json_t *changes) {
    json_t *root = json_pack("{s:o}", "changes", changes);
    char *json = json_dumps(root, 0);
    outcome o = send_text(json);
    free(json);
    json_decref(root);
    return o;
}

/* One change as the page makes it: the hash that was seen, and the object (taken; NULL removes). */
static json_t *change(json_t *seen, const char *what, const char *key, json_t *after) {
    json_t *before = hash_of(seen, what, key);
    return json_pack("{s:s, s:s, s:O?, s:o}", "what", what, "key", key, "before", before, "after",
                     after ? after : json_null());
}

/* json_pack leaves a NULL of "O?" out as null; that is what we want. */
static json_t *with(json_t *seen, const char *what, const char *key, const char *member, json_t *value) {
    json_t *copy = json_deep_copy(object_of(seen, what, key));
    assert_non_null(copy);
    json_object_set_new(copy, member, value);
    return copy;
}

/* A value that lies outside the range of the catalogue goes without one. */
static json_t *without_range(json_t *copy) {
    json_object_set_new(copy, "low", json_null());
    json_object_set_new(copy, "high", json_null());
    return copy;
}

static void good(outcome o) {
    if (o.code != OK) fail_msg("%s", o.why.text);
    done(&o);
}

static void refused(outcome o, status code, const char *sentence) {
    bool found = strstr(o.why.text, sentence) != NULL;
    for (size_t i = 0; i < fault_list_kept(o.faults); i++)
        found = found || strstr(fault_list_text(o.faults, i), sentence) != NULL;
    if (o.code != code || !found) fail_msg("expected \"%s\", got %d: %s", sentence, (int)o.code, o.why.text);
    done(&o);
}

static void newest_line(char *into, size_t size) {
    fault why = {OK, ""};
    store *st = NULL;
    store_change *list = NULL;
    size_t n = 0;
    arena *memory = arena_new();
    must(store_open(job, true, &st, &why), &why);
    must(store_load_log(st, 0, 1, memory, &list, &n, &why), &why);
    assert_int_equal(n, 1);
    assert_string_equal(list[0].by, someone.by);
    assert_string_equal(list[0].through, "page");
    snprintf(into, size, "%s", list[0].what);
    store_close(st);
    arena_free(memory);
}

static void expect_line(const char *line) {
    char newest[600];
    newest_line(newest, sizeof newest);
    assert_string_equal(newest, line);
}

/* What was sent stands there, under the hash that the edit gave, in the next revision. */
static void put(const char *what, const char *key, const char *member, json_t *value, const char *line) {
    json_t *seen = look(), *list = json_array();
    json_array_append_new(list, change(seen, what, key, with(seen, what, key, member, json_incref(value))));
    outcome o = send(list);
    if (o.code != OK) fail_msg("%s", o.why.text);
    json_t *now = look(), *hashes = json_loads(o.result.hashes.bytes, 0, NULL);
    json_t *given = json_object_get(hashes, list_of(what));
    if (*key) given = json_object_get(given, key);
    assert_int_equal(json_object_size(hashes), 1);
    assert_true(json_equal(given, hash_of(now, what, key)));
    assert_false(json_equal(given, hash_of(seen, what, key)));
    assert_true(json_equal(json_object_get(object_of(now, what, key), member), value));
    assert_int_equal(o.result.revision, json_integer_value(json_object_get(seen, "revision")) + 1);
    assert_int_equal(o.result.revision, json_integer_value(json_object_get(now, "revision")));
    expect_line(line);
    done(&o);
    json_decref(value);
    json_decref(hashes);
    json_decref(seen);
    json_decref(now);
}

static void test_every_kind(void **state) {
    (void)state;
    pump_house();
    put("site", "", "air_c", json_real(7.5), "edit: site");
    put("face", "N", "name", json_string("wall by the road"), "edit: face N");
    put("defect", "N3", "tried", json_string("mortar, twice"), "edit: defect N3");
    put("rate", "wash_h_m2", "value", json_real(0.0625), "edit: rate wash_h_m2"); /* within its range */
    put("price", "labour_h", "price", json_real(52.5), "edit: price labour_h");
    json_t *seen = look();
    const char *id = json_string_value(json_object_get(
        json_array_get(json_object_get(json_object_get(seen, "survey"), "materials"), 0), "id"));
    char line[100], key[60];
    snprintf(key, sizeof key, "%s", id);
    snprintf(line, sizeof line, "edit: material %s", key);
    json_decref(seen);
    put("material", key, "name", json_string("our own"), line);
}

/* A tank comes, changes and goes; it bears on no leak, even where a leak is marked like it. */
static void test_a_tank(void **state) {
    (void)state;
    pump_house();
    json_t *seen = look();
    json_t *tank = json_pack("{s:s, s:i, s:i, s:i, s:s}", "id", "N3", "capacity_l", 200000, "plan_area_m2",
                             50, "depth_m", 4, "criterion", "bs8007");
    good(send(json_pack("[o]", change(seen, "tank", "N3", json_deep_copy(tank)))));
    expect_line("edit: new tank N3");
    refused(
        send(json_pack("[o]", change(seen, "tank", "N3",
                                     json_pack("{s:s, s:i, s:i, s:i, s:s}", "id", "N3", "capacity_l", 210000,
                                               "plan_area_m2", 50, "depth_m", 4, "criterion", "bs8007")))),
        E_STATE, "tank N3 has been added meanwhile");
    json_decref(seen);
    put("tank", "N3", "pan", json_string("covered"), "edit: tank N3");
    seen = look();
    json_t *wrong = with(seen, "tank", "N3", "capacity_l", json_real(200));
    refused(send(json_pack("[o]", change(seen, "tank", "N3", wrong))), E_INPUT,
            "see whether litres or units were mixed up");
    good(send(json_pack("[o]", change(seen, "tank", "N3", NULL))));
    expect_line("edit: removed tank N3");
    json_decref(seen);
    json_decref(tank);
}

static void test_folds_are_one_list(void **state) {
    (void)state;
    pump_house();
    json_t *seen = look(), *folds = object_of(seen, "folds", "");
    size_t n = json_array_size(folds);
    json_t *fewer = json_deep_copy(folds);
    json_array_remove(fewer, n - 1);
    outcome o = send(json_pack("[o]", change(seen, "folds", "", fewer)));
    must(o.code, &o.why);
    done(&o);
    expect_line("edit: folds");
    json_t *now = look();
    assert_int_equal(json_array_size(object_of(now, "folds", "")), n - 1);
    refused(send(json_pack("[o]", change(seen, "folds", "", json_deep_copy(folds)))), E_STATE,
            "folds has been changed meanwhile");
    good(send(json_pack("[o]", change(now, "folds", "", json_deep_copy(folds)))));
    json_decref(now);
    now = look();
    assert_true(json_equal(object_of(now, "folds", ""), folds));
    assert_true(json_equal(hash_of(now, "folds", ""), hash_of(seen, "folds", "")));
    json_decref(now);
    json_decref(seen);
}

/* With no folds a page may have seen an empty list, or nothing. */
static void test_first_fold(void **state) {
    (void)state;
    make_job(NULL);
    json_t *seen = look(), *list = json_array();
    json_t *n = json_pack("{s:s,s:s,s:f,s:f,s:[[i,i],[i,i],[i,i],[i,i]]}", "id", "N", "lie", "wall",
                          "thickness_m", 0.3, "elevation_m", 0.0, "outline", 0, 0, 4, 0, 4, 2, 0, 2);
    json_t *e = json_deep_copy(n);
    json_object_set_new(e, "id", json_string("E"));
    json_array_append_new(list, change(seen, "face", "N", n));
    json_array_append_new(list, change(seen, "face", "E", e));
    json_t *fold =
        json_pack("{s:[s,[[i,i],[i,i]]],s:[s,[[i,i],[i,i]]]}", "a", "N", 4, 0, 4, 2, "b", "E", 0, 0, 0, 2);
    json_array_append_new(
        list, json_pack("{s:s,s:s,s:n,s:[o]}", "what", "folds", "key", "", "before", "after", fold));
    good(send(list));
    expect_line("edit: new face N, new face E, folds");
    json_t *now = look();
    assert_int_equal(json_array_size(object_of(now, "folds", "")), 1);
    good(send(json_pack("[o]", change(now, "folds", "", NULL))));
    json_decref(now);
    now = look();
    assert_null(object_of(now, "folds", ""));
    assert_true(json_equal(hash_of(now, "folds", ""), hash_of(seen, "folds", "")));
    json_decref(now);
    json_decref(seen);
}

/* What the page reads is what an export gives. */
static void test_the_survey_is_the_exported_one(void **state) {
    (void)state;
    static const char *const examples[] = {EXAMPLES "/pump-house.json", EXAMPLES "/small-us.json", NULL};
    for (size_t i = 0; i < 3; i++) {
        fault why = {OK, ""};
        text exported = {0};
        clean(NULL);
        make_job(examples[i]);
        must(ops_export(job, EXPORT_JSON, &exported, &why), &why);
        json_t *seen = look(), *file = json_loadb(exported.bytes, exported.length, 0, NULL);
        assert_true(json_equal(json_object_get(seen, "survey"), file));
        json_decref(seen);
        json_decref(file);
        text_free(&exported);
    }
}

/* ---- two at once ---- */

static void test_conflict(void **state) {
    (void)state;
    pump_house();
    json_t *seen = look();
    good(send(json_pack(
        "[o]", change(seen, "defect", "N3", with(seen, "defect", "N3", "tried", json_string("a"))))));
    json_t *between = look();
    json_t *list = json_array(); /* the first would be fine */
    json_array_append_new(
        list, change(seen, "defect", "N4", with(seen, "defect", "N4", "tried", json_string("c"))));
    json_array_append_new(
        list, change(seen, "defect", "N3", with(seen, "defect", "N3", "tried", json_string("b"))));
    outcome o = send(list);
    assert_int_equal(o.code, E_STATE);
    assert_true(o.result.conflict);
    assert_string_equal(o.why.text, "defect N3 has been changed meanwhile; nothing was changed");
    json_t *now = json_loads(o.result.now.bytes, 0, NULL), *after = look();
    assert_string_equal(json_string_value(json_object_get(now, "what")), "defect");
    assert_string_equal(json_string_value(json_object_get(now, "key")), "N3");
    assert_true(json_equal(json_object_get(now, "now"), object_of(between, "defect", "N3")));
    assert_true(json_equal(json_object_get(now, "hash"), hash_of(between, "defect", "N3")));
    assert_true(json_equal(between, after));
    done(&o);
    json_decref(now);
    json_decref(after);
    json_decref(between);
    json_decref(seen);
}

static void test_removed_and_added_meanwhile(void **state) {
    (void)state;
    pump_house();
    json_t *seen = look();
    good(send(json_pack("[o]", change(seen, "defect", "N3", NULL))));
    expect_line("edit: removed defect N3");
    outcome o = send(json_pack(
        "[o]", change(seen, "defect", "N3", with(seen, "defect", "N3", "tried", json_string("b")))));
    assert_true(o.result.conflict);
    assert_non_null(strstr(o.result.now.bytes, "\"now\": null, \"hash\": null"));
    refused(o, E_STATE, "defect N3 has been removed meanwhile");
    json_t *without = look();
    good(send(json_pack(
        "[o]", change(without, "defect", "N3", with(seen, "defect", "N3", "tried", json_string("x"))))));
    expect_line("edit: new defect N3");
    refused(send(json_pack(
                "[o]", change(without, "defect", "N3", with(seen, "defect", "N3", "tried", json_null())))),
            E_STATE, "defect N3 has been added meanwhile");
    json_decref(without);
    json_decref(seen);
}

static void test_two_leaks_both_survive(void **state) {
    (void)state;
    pump_house();
    json_t *seen = look();
    good(send(json_pack(
        "[o]", change(seen, "defect", "N3", with(seen, "defect", "N3", "tried", json_string("a"))))));
    good(send(json_pack(
        "[o]", change(seen, "defect", "N4", with(seen, "defect", "N4", "tried", json_string("b"))))));
    json_t *now = look();
    assert_string_equal(json_string_value(json_object_get(object_of(now, "defect", "N3"), "tried")), "a");
    assert_string_equal(json_string_value(json_object_get(object_of(now, "defect", "N4"), "tried")), "b");
    json_decref(now);
    json_decref(seen);
}

/* An answer lost on its way: the edit comes again. */
static void test_the_same_edit_again(void **state) {
    (void)state;
    pump_house();
    json_t *seen = look();
    json_t *list = json_pack(
        "[o, o]", change(seen, "defect", "N3", with(seen, "defect", "N3", "tried", json_string("a"))),
        change(seen, "defect", "N4", NULL));
    outcome first = send(json_incref(list)), again = send(list);
    must(first.code, &first.why);
    must(again.code, &again.why);
    assert_true(first.result.revision == again.result.revision);
    assert_string_equal(first.result.hashes.bytes, again.result.hashes.bytes);
    assert_non_null(strstr(again.result.hashes.bytes, "\"N4\": null"));
    done(&first);
    done(&again);
    json_decref(seen);
}

/* ---- refusals ---- */

static void test_all_or_nothing(void **state) {
    (void)state;
    pump_house();
    json_t *seen = look();
    json_t *list = json_array();
    json_array_append_new(
        list, change(seen, "defect", "N3", with(seen, "defect", "N3", "tried", json_string("a"))));
    json_array_append_new(
        list, change(seen, "defect", "N4", with(seen, "defect", "N4", "diameter_mm", json_real(-1))));
    refused(send(list), E_INPUT, "defect N4: diameter_mm");
    json_t *now = look();
    assert_true(json_equal(now, seen));
    json_decref(now);
    json_decref(seen);
}

static void test_every_fault_is_listed(void **state) {
    (void)state;
    pump_house();
    json_t *seen = look(), *list = json_array();
    json_array_append_new(
        list, change(seen, "defect", "N3", with(seen, "defect", "N3", "kind", json_string("crak"))));
    json_array_append_new(list,
                          change(seen, "face", "N", with(seen, "face", "N", "thickness_m", json_real(-1))));
    json_array_append_new(
        list, change(seen, "rate", "wash_h_m2", with(seen, "rate", "wash_h_m2", "colour", json_null())));
    json_array_append_new(list, change(seen, "site", "", NULL));
    json_array_append_new(
        list, json_pack("{s:s, s:s, s:n, s:n, s:i}", "what", "leak", "key", "x", "before", "after", "x", 1));
    json_array_append_new(list, json_integer(3));
    json_array_append_new(
        list, change(seen, "defect", "N5", with(seen, "defect", "N5", "mark", json_string("N6"))));
    outcome o = send(list);
    static const char *const expected[] = {
        "defect N3: kind",  "face N: thickness_m",
        "rate wash_h_m2: ", "site: cannot be removed",
        "changes[4].what",  "changes[4].x",
        "changes[5]",       "defect N5: the object is named \"N6\"; a new name is a removal"};
    assert_int_equal(o.code, E_INPUT);
    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++) {
        bool found = false;
        for (size_t k = 0; k < fault_list_kept(o.faults); k++)
            found = found || strstr(fault_list_text(o.faults, k), expected[i]);
        if (!found) fail_msg("no fault %s", expected[i]);
    }
    done(&o);
    json_decref(seen);
}

static void test_no_request_of_ours(void **state) {
    (void)state;
    static const char *const cases[][2] = {
        {"", "not valid JSON"},
        {"[]", "object"},
        {"{}", "changes: is missing"},
        {"{\"changes\": []}", "changes: has 0 entries; it must have 1 to 10000"},
        {"{\"changes\": {}}", "changes"},
        {"{\"changes\": [], \"job\": 1}", "job"},
        {"{\"changes\": [{\"what\": \"face\", \"key\": \"N\", \"after\": null}]}",
         "changes[0].before: is missing"},
        {"{\"changes\": [{\"what\": \"face\", \"key\": \"N\", \"before\": null}]}",
         "changes[0].after: is missing"},
        {"{\"changes\": [{\"what\": \"face\", \"key\": \"\", \"before\": null, \"after\": null}]}",
         "changes[0].key: is empty; a face has a name"},
        {"{\"changes\": [{\"what\": \"site\", \"key\": \"N\", \"before\": null, \"after\": {}}]}",
         "changes[0].key: is \"N\"; it must be \"\" for site"},
        {"{\"changes\": [{\"what\": \"face\", \"key\": \"N\", \"before\": 3, \"after\": null}]}", "before"},
        {"{\"changes\": [{\"what\": \"face\", \"key\": \"Q\", \"before\": null, \"after\": null},"
         "{\"what\": \"face\", \"key\": \"Q\", \"before\": null, \"after\": null}]}",
         "face Q stands twice in this edit"},
        {"{\"changes\": [{\"what\": \"face\", \"key\": \"Q\", \"before\": null, \"after\": []}]}", "face Q"},
    };
    pump_house();
    json_t *seen = look();
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        refused(send_text(cases[i][0]), E_INPUT, cases[i][1]);
    json_t *now = look();
    assert_true(json_equal(now, seen));
    json_decref(now);
    json_decref(seen);
}

static void test_a_face_in_use_stays(void **state) {
    (void)state;
    pump_house();
    json_t *seen = look();
    outcome o = send(json_pack("[o]", change(seen, "face", "N", NULL)));
    for (size_t i = 0; i < fault_list_kept(o.faults); i++)
        assert_null(strstr(fault_list_text(o.faults, i), "job:"));
    assert_true(fault_list_count(o.faults) > 3);
    refused(o, E_INPUT, "names the face \"N\", which is not in the job");
    json_decref(seen);
}

static void test_the_job_stays_plannable(void **state) {
    (void)state;
    pump_house();
    json_t *seen = look();
    refused(send(json_pack("[o]", change(seen, "rate", "wash_h_m2", NULL))), E_INPUT,
            "rate wash_h_m2 cannot be removed: every job has it; change its values instead");
    refused(send(json_pack("[o]", change(seen, "price", "labour_h", NULL))), E_INPUT,
            "price labour_h cannot be removed");
    refused(send(json_pack(
                "[o]", change(seen, "rate", "waste_percent",
                              without_range(with(seen, "rate", "waste_percent", "value", json_real(1e9)))))),
            E_INPUT, "the job could not be planned any more: ");
    /* One's own may go. */
    json_t *own = json_pack("{s:s, s:f, s:s}", "id", "own_h", "value", 1.0, "basis", "own");
    good(send(json_pack("[o]", change(seen, "rate", "own_h", own))));
    json_t *now = look();
    good(send(json_pack("[o]", change(now, "rate", "own_h", NULL))));
    expect_line("edit: removed rate own_h");
    json_decref(now);
    json_decref(seen);
}

/* Though no leak needs it yet: the next one may. */
static void test_every_role_keeps_a_material(void **state) {
    (void)state;
    make_job(NULL);
    json_t *seen = look();
    json_t *materials = json_object_get(json_object_get(seen, "survey"), "materials"), *list = json_array();
    for (size_t i = 0; i < json_array_size(materials); i++) {
        json_t *m = json_array_get(materials, i);
        const char *id = json_string_value(json_object_get(m, "id"));
        if (strcmp(json_string_value(json_object_get(m, "role")), "plug") == 0)
            json_array_append_new(
                list, change(seen, "material", id, with(seen, "material", id, "role", json_string("pack"))));
    }
    refused(send(list), E_INPUT, "materials: none has the role plug");
    json_decref(seen);
}

/* ---- names, answers, units ---- */

static size_t place_of(json_t *seen, const char *mark) {
    json_t *list = json_object_get(json_object_get(seen, "survey"), "defects");
    size_t i = 0;
    while (i < json_array_size(list) &&
           strcmp(json_string_value(json_object_get(json_array_get(list, i), "mark")), mark) != 0)
        i++;
    return i;
}

static void test_a_new_name(void **state) {
    (void)state;
    pump_house();
    json_t *seen = look();
    json_t *list =
        json_pack("[o, o]", change(seen, "defect", "N3", NULL),
                  change(seen, "defect", "N3b", with(seen, "defect", "N3", "mark", json_string("N3b"))));
    outcome o = send(list);
    must(o.code, &o.why);
    assert_non_null(strstr(o.result.hashes.bytes, "{\"defects\": {\"N3\": null, \"N3b\": \""));
    done(&o);
    expect_line("edit: removed defect N3, new defect N3b");
    json_t *now = look();
    assert_null(object_of(now, "defect", "N3"));
    assert_int_equal(place_of(now, "N3b"), place_of(seen, "N3"));
    json_decref(now);
    json_decref(seen);
}

static void test_answers_go_with_their_leak(void **state) {
    (void)state;
    fault why = {OK, ""};
    pump_house();
    const char *files[] = {NULL};
    char path[80];
    snprintf(path, sizeof path, "%s/more.json", folder);
    static const char more[] =
        "{\"stanch_survey\": 1, \"units\": \"metric\", \"answers\": [{\"mark\": \"S1\", \"finding\": "
        "\"offset\", \"by\": \"A. Sample\", \"on\": \"2026-02-01\", \"what\": \"pinned\"}]}";
    must(file_write(path, more, sizeof more - 1, &why), &why);
    files[0] = path;
    ops_import_result brought;
    fault_list *faults = fault_list_new();
    must(ops_import(job, &(ops_import_request){.files = files, .n = 1}, &someone, faults, &brought, &why),
         &why);
    fault_list_free(faults);
    unlink(path);
    json_t *seen = look();
    good(send(json_pack("[o]", change(seen, "defect", "S1", NULL))));
    expect_line("edit: removed defect S1 with the answer offset by A. Sample");
    json_t *now = look();
    json_t *answers = json_object_get(json_object_get(now, "survey"), "answers");
    for (size_t i = 0; i < json_array_size(answers); i++)
        assert_string_not_equal(json_string_value(json_object_get(json_array_get(answers, i), "mark")), "S1");
    good(
        send(json_pack("[o]", change(now, "defect", "S1", json_deep_copy(object_of(seen, "defect", "S1"))))));
    json_decref(now);
    json_decref(seen);
}

static void test_other_units(void **state) {
    (void)state;
    make_job(EXAMPLES "/small-us.json");
    json_t *seen = look();
    const char *now_in = json_string_value(json_object_get(object_of(seen, "site", ""), "units"));
    assert_non_null(now_in);
    bool us = strcmp(now_in, "us") == 0;
    outcome o = send(json_pack(
        "[o]", change(seen, "site", "", with(seen, "site", "", "units", json_string(us ? "metric" : "us")))));
    must(o.code, &o.why);
    json_t *hashes = json_loads(o.result.hashes.bytes, 0, NULL), *now = look();
    assert_true(json_equal(hashes, json_object_get(now, "hashes"))); /* all of them */
    assert_false(json_equal(json_object_get(hashes, "defects"),
                            json_object_get(json_object_get(seen, "hashes"), "defects")));
    done(&o);
    json_decref(hashes);
    good(send(json_pack(
        "[o]", change(now, "site", "", with(now, "site", "", "units", json_string(us ? "us" : "metric"))))));
    json_decref(now);
    now = look();
    json_object_set_new(now, "revision", json_integer(0));
    json_object_set_new(seen, "revision", json_integer(0));
    assert_true(json_equal(now, seen)); /* quantities come back to the bit */
    json_decref(now);
    json_decref(seen);
}

/* A site sent whole: what is left out is not given any more. */
static void test_the_site_is_whole(void **state) {
    (void)state;
    pump_house();
    json_t *seen = look(), *site = json_deep_copy(object_of(seen, "site", ""));
    json_object_del(site, "air_c");
    json_object_del(site, "design");
    good(send(json_pack("[o]", change(seen, "site", "", site))));
    json_t *now = look();
    assert_null(json_object_get(object_of(now, "site", ""), "air_c"));
    assert_null(json_object_get(object_of(now, "site", ""), "design"));
    json_t *without = json_deep_copy(object_of(now, "site", ""));
    json_object_del(without, "crew");
    refused(send(json_pack("[o]", change(now, "site", "", without))), E_INPUT, "site: crew: is missing");
    json_decref(now);
    json_decref(seen);
}

/* ---- random edits and back ---- */

static unsigned long long draw(unsigned long long *state) {
    *state = *state * 6364136223846793005ULL + 1442695040888963407ULL; /* Knuth, MMIX */
    return *state >> 33;
}

/* A random change of one object: its text, its removal, a copy under another name. */
static json_t *random_change(json_t *seen, unsigned long long *rng) {
    static const char *const kinds[] = {"defect", "defect", "defect", "face",
                                        "rate",   "price",  "site",   "folds"};
    const char *what = kinds[draw(rng) % 8];
    if (strcmp(what, "site") == 0)
        return change(seen, what, "",
                      with(seen, what, "", "crew", json_integer((json_int_t)(1 + draw(rng) % 9))));
    json_t *list = json_object_get(json_object_get(seen, "survey"), list_of(what));
    if (strcmp(what, "folds") == 0) {
        json_t *fewer = json_deep_copy(list);
        json_array_remove(fewer, draw(rng) % (json_array_size(fewer) + 1));
        return change(seen, what, "", fewer ? fewer : json_array());
    }
    json_t *one = json_array_get(list, draw(rng) % json_array_size(list));
    const char *name = strcmp(what, "defect") == 0 ? "mark" : "id";
    const char *key = json_string_value(json_object_get(one, name));
    if (*name == 'm' && draw(rng) % 4 == 0) return change(seen, what, key, NULL);
    if (*name == 'm' && draw(rng) % 4 == 0) {
        char fresh[40];
        snprintf(fresh, sizeof fresh, "R%llu", draw(rng));
        return change(seen, what, fresh, with(seen, what, key, name, json_string(fresh)));
    }
    const char *member = *name == 'm' ? "tried" : strcmp(what, "face") == 0 ? "name" : "label";
    return change(seen, what, key, with(seen, what, key, member, json_sprintf("text %llu", draw(rng))));
}

/* The change that takes another back, by what was seen before it. */
static json_t *undo_of(json_t *before, json_t *after, json_t *one) {
    const char *what = json_string_value(json_object_get(one, "what"));
    const char *key = json_string_value(json_object_get(one, "key"));
    json_t *was = object_of(before, what, key);
    return change(after, what, key, was ? json_deep_copy(was) : NULL);
}

static int by_name(const void *a, const void *b) {
    json_t *const *x = a, *const *y = b;
    json_t *left = json_object_get(*x, "mark"), *right = json_object_get(*y, "mark");
    return strcmp(json_string_value(left), json_string_value(right));
}

/* A leak that comes back stands at the end: the order of the list apart. */
static void sort_defects(json_t *seen) {
    json_t *list = json_object_get(json_object_get(seen, "survey"), "defects");
    size_t n = json_array_size(list);
    json_t **items = calloc(n + 1, sizeof(json_t *)), *sorted = json_array();
    for (size_t i = 0; i < n; i++) items[i] = json_array_get(list, i);
    qsort(items, n, sizeof(json_t *), by_name);
    for (size_t i = 0; i < n; i++) json_array_append(sorted, items[i]);
    json_object_set_new(json_object_get(seen, "survey"), "defects", sorted);
    json_object_del(seen, "revision");
    free(items);
}

static void test_random_edits_and_back(void **state) {
    (void)state;
    enum { STEPS = 25 };
    json_t *undo[STEPS], *states[STEPS + 1];
    unsigned long long rng = 20260301;
    pump_house();
    states[0] = look();
    for (size_t i = 0; i < STEPS; i++) {
        json_t *one = random_change(states[i], &rng);
        outcome o = send(json_pack("[O]", one));
        if (o.code != OK) fail_msg("step %zu: %s", i, o.why.text);
        done(&o);
        states[i + 1] = look();
        undo[i] = undo_of(states[i], states[i + 1], one);
        json_decref(one);
    }
    for (size_t i = STEPS; i-- > 0;) {
        good(send(json_pack("[o]", undo[i])));
        json_t *now = look(), *then = json_deep_copy(states[i]);
        sort_defects(now);
        sort_defects(then);
        if (!json_equal(now, then)) fail_msg("undo of step %zu", i);
        json_decref(now);
        json_decref(then);
    }
    for (size_t i = 0; i <= STEPS; i++) json_decref(states[i]);
}

/* ---- without memory ---- */

static void fail_each(int sticky, long step) {
    make_job(NULL);
    json_t *seen = look();
    json_t *wall = json_pack("{s:s,s:s,s:f,s:f,s:[[i,i],[i,i],[i,i],[i,i]]}", "id", "N", "lie", "wall",
                             "thickness_m", 0.3, "elevation_m", 0.0, "outline", 0, 0, 4, 0, 4, 2, 0, 2);
    json_t *list = json_pack("[o, o]", change(seen, "face", "N", wall),
                             change(seen, "price", "labour_h",
                                    without_range(with(seen, "price", "labour_h", "price", json_real(1.5)))));
    json_t *root = json_pack("{s:o}", "changes", list);
    char *json = json_dumps(root, 0);
    const ops_edit_request request = {json, strlen(json)};
    long n = 0, failures = 0;
    for (bool ended = false; !ended; n += step) {
        fault why = {OK, ""};
        ops_edit_result result;
        fault_list *faults = fault_list_new();
        long before = mem_count();
        mem_fail_at(n, sticky);
        status code = ops_edit(job, &request, &someone, &result, faults, &why);
        ended = mem_count() - before <= n;
        mem_fail_at(-1, 0);
        if (code != OK && code != E_MEMORY) fail_msg("allocation %ld: %s", n, why.text);
        failures += code != OK;
        if (code != OK && n % 997 == 0) {
            json_t *now = look();
            assert_true(json_equal(now, seen));
            json_decref(now);
        }
        ops_edit_result_free(&result);
        fault_list_free(faults);
        if (code != OK) continue; /* SQLite and the planner can do without some of it */
        clean(NULL);
        make_job(NULL);
    }
    print_message("%ld allocations, %ld told as a failure\n", n, failures);
    assert_true(failures > 100);
    free(json);
    json_decref(root);
    json_decref(seen);
}

static void test_allocations_fail_in_turn(void **state) {
    (void)state;
    fail_each(0, 5);
}

static void test_allocations_fail_from_one_on(void **state) {
    (void)state;
    fail_each(1, 17);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_teardown(test_every_kind, clean),
        cmocka_unit_test_teardown(test_a_tank, clean),
        cmocka_unit_test_teardown(test_folds_are_one_list, clean),
        cmocka_unit_test_teardown(test_first_fold, clean),
        cmocka_unit_test_teardown(test_the_survey_is_the_exported_one, clean),
        cmocka_unit_test_teardown(test_conflict, clean),
        cmocka_unit_test_teardown(test_removed_and_added_meanwhile, clean),
        cmocka_unit_test_teardown(test_two_leaks_both_survive, clean),
        cmocka_unit_test_teardown(test_the_same_edit_again, clean),
        cmocka_unit_test_teardown(test_all_or_nothing, clean),
        cmocka_unit_test_teardown(test_every_fault_is_listed, clean),
        cmocka_unit_test_teardown(test_no_request_of_ours, clean),
        cmocka_unit_test_teardown(test_a_face_in_use_stays, clean),
        cmocka_unit_test_teardown(test_the_job_stays_plannable, clean),
        cmocka_unit_test_teardown(test_every_role_keeps_a_material, clean),
        cmocka_unit_test_teardown(test_a_new_name, clean),
        cmocka_unit_test_teardown(test_answers_go_with_their_leak, clean),
        cmocka_unit_test_teardown(test_other_units, clean),
        cmocka_unit_test_teardown(test_the_site_is_whole, clean),
        cmocka_unit_test_teardown(test_random_edits_and_back, clean),
        cmocka_unit_test_teardown(test_allocations_fail_in_turn, clean),
        cmocka_unit_test_teardown(test_allocations_fail_from_one_on, clean),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
