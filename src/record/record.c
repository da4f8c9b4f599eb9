#include "record/record.h"

#include "record/rules.h"
#include "record/scan.h"

#include <float.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ID_BYTES = 40, UUID_BYTES = 36, TIME_BYTES = 20, LINE_BYTES = 200, PATH_BYTES = 400 };

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))
#define AT(member) .offset = offsetof(record, member)
#define RANGE(from, to) .range = {from, to, false, false}
#define ABOVE(from, to) .range = {from, to, true, false}

const char *const record_what_words[RECORD_WHATS] = {"start",   "finish", "hold",  "found",
                                                     "used",    "photo",  "note",  "correction",
                                                     "settled", "level",  "proof", "deviation"};
const char *const record_hand_words[RECORD_HANDS] = {"dry", "damp", "wet"};
const char *const record_blotter_words[RECORD_BLOTTERS] = {"clean", "marked"};
const char *const record_step_words[RECORD_STEPS] = {
    "answer",       "gauge",   "watch",      "scan",   "ports",     "surface_seal", "flush",
    "inject",       "strip",   "channel",    "outlet", "rout",      "cut",          "measure",
    "wash",         "soak",    "prime",      "backer", "seal",      "relief",       "plug",
    "close_relief", "stopped", "first_coat", "pack",   "last_coat", "cure",         "prove"};

/* Ranges as in survey/fields.c; those that stand only here are our default: wide, yet narrow enough to catch a wrong
 * unit. */
static const survey_field list[] = {
    {"id", FIELD_NAME, true, AT(id), .limit = UUID_BYTES},
    {"mark", FIELD_NAME, true, AT(mark), .limit = ID_BYTES},
    {"what", FIELD_WORD, true, AT(what), .words = record_what_words, .n_words = RECORD_WHATS},
    {"step", FIELD_NAME, false, AT(step), .limit = ID_BYTES},
    {"at", FIELD_NAME, true, AT(at), .limit = TIME_BYTES},
    {"by", FIELD_TEXT, false, AT(by), .limit = LINE_BYTES},
    {"device", FIELD_NAME, true, AT(device), .limit = UUID_BYTES},
    {"seen", FIELD_NUMBER, true, AT(seen), UNITS_PLAIN, RANGE(0, 9007199254740992.0)}, /* 2^53 */
    {"about", FIELD_NAME, false, AT(about), .limit = UUID_BYTES},
    {"other", FIELD_NAME, false, AT(other), .limit = UUID_BYTES},
    {"length", FIELD_MAYBE, false, AT(length_m), UNITS_LENGTH, RANGE(0, SURVEY_COORDINATE_MOST_M)},
    {"width", FIELD_MAYBE, false, AT(width_m), UNITS_SIZE, RANGE(0, 1)},
    {"depth", FIELD_MAYBE, false, AT(depth_m), UNITS_SIZE, RANGE(0, 20)}, /* as a thickness */
    {"cover", FIELD_MAYBE, false, AT(cover_m), UNITS_SIZE, RANGE(0, 1)},
    {"volume", FIELD_MAYBE, false, AT(volume_m3), UNITS_VOLUME, RANGE(0, 1000)},
    {"time", FIELD_MAYBE, false, AT(time_s), UNITS_SECONDS, ABOVE(0, 2592000)}, /* 30 days */
    {"material", FIELD_NAME, false, AT(material), .limit = ID_BYTES},
    {"powder", FIELD_MAYBE, false, AT(powder_kg), UNITS_MASS, RANGE(0, 100000)},
    {"water", FIELD_MAYBE, false, AT(water_m3), UNITS_VOLUME, RANGE(0, 100)},
    {"packs", FIELD_MAYBE, false, AT(packs), UNITS_PLAIN, RANGE(0, 100000)},
    {"people", FIELD_MAYBE, false, AT(people), UNITS_PLAIN, RANGE(0, 1000)},
    {"hours", FIELD_MAYBE, false, AT(hours), UNITS_PLAIN, RANGE(0, 1000)},
    {"air", FIELD_MAYBE, false, AT(air_c), UNITS_TEMPERATURE, RANGE(-50, 60)},
    {"wall", FIELD_MAYBE, false, AT(wall_c), UNITS_TEMPERATURE, RANGE(-50, 60)},
    {"leak_water", FIELD_MAYBE, false, AT(leak_water_c), UNITS_TEMPERATURE, RANGE(0, 60)},
    {"humidity_percent", FIELD_MAYBE, false, AT(humidity_percent), UNITS_PLAIN, RANGE(0, 100)},
    {"photo", FIELD_PATH, false, AT(photo), .limit = PATH_BYTES},
    {"text", FIELD_TEXT, false, AT(text), .limit = SURVEY_NOTE_BYTES},
    {"wetness", FIELD_NAME, false, AT(wetness), .limit = ID_BYTES},
    {"from", FIELD_MAYBE, false, AT(from_m), UNITS_LENGTH, RANGE(0, SURVEY_COORDINATE_MOST_M)},
    {"to", FIELD_MAYBE, false, AT(to_m), UNITS_LENGTH, RANGE(0, SURVEY_COORDINATE_MOST_M)},
    {"hand", FIELD_NAME, false, AT(hand), .limit = ID_BYTES},
    {"blotter", FIELD_NAME, false, AT(blotter), .limit = ID_BYTES},
    {"drips_per_min", FIELD_MAYBE, false, AT(drips_per_min), UNITS_PLAIN, RANGE(0, 100000)},
    {"water_level", FIELD_MAYBE, false, AT(water_level_m), UNITS_LENGTH,
     RANGE(-SURVEY_COORDINATE_MOST_M, SURVEY_COORDINATE_MOST_M)},
    {"tank", FIELD_NAME, false, AT(tank), .limit = ID_BYTES},
    {"level", FIELD_MAYBE, false, AT(level_m), UNITS_SIZE, RANGE(-100, 100)},
    {"pan_level", FIELD_MAYBE, false, AT(pan_level_m), UNITS_SIZE, RANGE(-10, 10)},
    {"rain", FIELD_MAYBE, false, AT(rain_m), UNITS_SIZE, RANGE(0, 2)},
    {"tank_water", FIELD_MAYBE, false, AT(tank_water_c), UNITS_TEMPERATURE, RANGE(0, 60)},
};
const survey_fields record_fields = {list, COUNT_OF(list)};

bool record_is_head(const char *name) {
    static const char *const head[] = {"id", "mark",   "what", "step",  "at",
                                       "by", "device", "seen", "about", "other"};
    for (size_t i = 0; i < sizeof head / sizeof *head; i++)
        if (strcmp(name, head[i]) == 0) return true;
    return false;
}

/* One member; true when it is a value. */
static bool lay_member(const survey_field *f, const record *from, record *to) {
    const char *source = (const char *)from + f->offset;
    char *into = (char *)to + f->offset;
    const char *word;
    maybe value;
    if (f->kind == FIELD_MAYBE) {
        memcpy(&value, source, sizeof value);
        if (value.known) memcpy(into, &value, sizeof value);
        return value.known;
    }
    if (f->kind != FIELD_NAME && f->kind != FIELD_TEXT && f->kind != FIELD_PATH) return false;
    memcpy(&word, source, sizeof word);
    if (word) memcpy(into, &word, sizeof word);
    return word && f->kind == FIELD_NAME;
}

bool record_lay_over(record *r, const record *by) {
    bool given = false;
    for (size_t i = 0; i < record_fields.n; i++)
        if (!record_is_head(record_fields.fields[i].name) && lay_member(&record_fields.fields[i], by, r))
            given = true;
    return given;
}

/* Apply `change` to every value that is known. */
static void change_values(record *r, double (*change)(const survey_field *, double)) {
    for (size_t i = 0; i < record_fields.n; i++) {
        const survey_field *f = &record_fields.fields[i];
        maybe value;
        if (f->kind != FIELD_MAYBE) continue;
        memcpy(&value, (char *)r + f->offset, sizeof value);
        if (!value.known) continue;
        value.v = change(f, value.v);
        memcpy((char *)r + f->offset, &value, sizeof value);
    }
}

static double as_stored(const survey_field *f, double si) {
    char shown[TEXT_NUMBER];
    return units_to_si(f->q, UNITS_METRIC, strtod(units_text(f->q, UNITS_METRIC, si, shown), NULL));
}

static double as_typed_us(const survey_field *f, double si) {
    char shown[TEXT_NUMBER];
    snprintf(shown, sizeof shown, "%.12g", units_from_si(f->q, UNITS_US, si));
    double near = units_to_si(f->q, UNITS_US, strtod(shown, NULL));
    return fabs(near - si) <= 4 * DBL_EPSILON * fabs(si) ? near
                                                         : si; /* stored and read: two roundings each way */
}

void record_as_typed(record *r, units_system system) {
    if (system == UNITS_US) change_values(r, as_typed_us);
}

bool record_read(json_in *in, const json_path *at, json_t *object, const char *now, record *out) {
    size_t before = fault_list_count(in->faults);
    *out = (record){0};
    if (!json_in_is_object(in, at, object)) return false;
    survey_fields_read(in, at, object, record_fields, NULL, 0, false, out);
    if (in->system != UNITS_METRIC) change_values(out, as_stored);
    if (fault_list_count(in->faults) == before) record_check(in, at, out, now);
    return fault_list_count(in->faults) == before;
}

void record_write(json_out *o, const record *r) {
    survey_fields_write(o, record_fields, false, r);
}

void record_write_body(const record *r, text *to) {
    json_out o = {.to = to, .system = UNITS_METRIC};
    json_out_open(&o, NULL, '{');
    record_write(&o, r);
    json_out_close(&o, '}');
}

static status read_slowly(const char *body, arena *memory, record *out, fault *why) {
    json_in in = {.source = "", .faults = fault_list_new(), .system = UNITS_METRIC, .memory = memory};
    *out = (record){0};
    if (!in.faults) return fault_memory(why);
    json_t *object = json_in_parse(&in, body, strlen(body));
    if (object && json_in_is_object(&in, NULL, object))
        survey_fields_read(&in, NULL, object, record_fields, NULL, 0, false, out);
    json_decref(object);
    fault said;
    status code = fault_list_status(in.faults, &said);
    fault_list_free(in.faults);
    if (code == OK) return OK;
    *out = (record){0};
    if (code == E_MEMORY) return fault_memory(why);
    return fault_set(why, E_FORMAT, "a record of the job is damaged: %.400s", said.text);
}

status record_read_body(const char *body, arena *memory, record *out, fault *why) {
    char *copy = arena_copy(memory, body);
    *out = (record){0};
    if (!copy) return fault_memory(why);
    return record_scan(copy, out) ? OK : read_slowly(body, memory, out, why);
}
