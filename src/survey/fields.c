#include "survey/fields.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { ID_BYTES = SURVEY_NAME_BYTES, LINE_BYTES = 200, PATH_BYTES = 400 };

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))
#define TABLE(array)                                                                                         \
    { array, COUNT_OF(array) }
#define WORDS(list, count) .words = (list), .n_words = (size_t)(count)
#define AT(type, member) .offset = offsetof(type, member)
#define RANGE(from, to) .range = {from, to, false, false}
#define ABOVE(from, to) .range = {from, to, true, false}
#define WEATHER RANGE(SURVEY_COLDEST_C, SURVEY_WARMEST_C)
#define LEVEL RANGE(-SURVEY_COORDINATE_MOST_M, SURVEY_COORDINATE_MOST_M)

static const char *const system_words[] = {"metric", "us"};

static const survey_field level_list[] = {
    {"level", FIELD_MAYBE, true, AT(survey_level, level_m), UNITS_LENGTH, LEVEL},
    {"known", FIELD_WORD, true, AT(survey_level, known), WORDS(survey_known_words, KNOWN_COUNT)},
    {"on", FIELD_DATE, false, AT(survey_level, on)},
};

static const survey_field site_list[] = {
    {"name", FIELD_TEXT, false, AT(survey_site, name), .limit = LINE_BYTES},
    {"place", FIELD_TEXT, false, AT(survey_site, place), .limit = LINE_BYTES},
    {"client_note", FIELD_TEXT, false, AT(survey_site, client_note), .limit = SURVEY_NOTE_BYTES},
    {"units", FIELD_WORD, true, AT(survey_site, system), WORDS(system_words, 2)},
    {"currency", FIELD_CURRENCY, true, AT(survey_site, currency)},
    {"letter_paper", FIELD_BOOL, false, AT(survey_site, letter_paper)},
    {"enclosed", FIELD_BOOL, false, AT(survey_site, enclosed)},
    {"drinking_water", FIELD_BOOL, false, AT(survey_site, drinking_water)},
    {"hazardous_liquid", FIELD_BOOL, false, AT(survey_site, hazardous_liquid)},
    {"materials_approved", FIELD_BOOL, false, AT(survey_site, materials_approved)},
    {"retained_top", FIELD_MAYBE, false, AT(survey_site, retained_top_m), UNITS_LENGTH, LEVEL},
    {"air", FIELD_MAYBE, false, AT(survey_site, air_c), UNITS_TEMPERATURE, RANGE(-50, 60)},
    {"wall", FIELD_MAYBE, false, AT(survey_site, wall_c), UNITS_TEMPERATURE, RANGE(-50, 60)},
    {"leak_water", FIELD_MAYBE, false, AT(survey_site, leak_water_c), UNITS_TEMPERATURE, RANGE(0, 60)},
    {"mix", FIELD_MAYBE, false, AT(survey_site, mix_c), UNITS_TEMPERATURE, RANGE(0, 60)},
    {"crew", FIELD_NUMBER, true, AT(survey_site, crew), UNITS_PLAIN, RANGE(1, 100)},
    {"shift_h", FIELD_NUMBER, true, AT(survey_site, shift_h), UNITS_PLAIN, ABOVE(0, 24)},
    {"days_to_start", FIELD_MAYBE, false, AT(survey_site, days_to_start), UNITS_PLAIN, RANGE(0, 36500)},
    {"healing", FIELD_WORD, false, AT(survey_site, healing), WORDS(survey_healing_words, HEALING_RULES)},
    {"tightness", FIELD_WORD, false, AT(survey_site, tightness), WORDS(survey_tightness_words, TIGHT_COUNT)},
    {"coldest", FIELD_MAYBE, false, AT(survey_site, coldest_c), UNITS_TEMPERATURE, WEATHER},
    {"warmest", FIELD_MAYBE, false, AT(survey_site, warmest_c), UNITS_TEMPERATURE, WEATHER},
    {"still_air", FIELD_BOOL, false, AT(survey_site, still_air)},
    {"humidity_percent", FIELD_MAYBE, false, AT(survey_site, humidity_percent), UNITS_PLAIN, RANGE(0, 100)},
    {"high_water_on", FIELD_DATE, false, AT(survey_site, high_water_on)},
    {"warranty", FIELD_TEXT, false, AT(survey_site, warranty), .limit = SURVEY_NOTE_BYTES},
};

#define CLOCK(called, member)                                                                                \
    { called, FIELD_MAYBE, false, AT(survey_work, member), UNITS_PLAIN, RANGE(0, 24) }
static const survey_field work_list[] = {
    {"start_on", FIELD_DATE, false, AT(survey_work, start_on)},
    {"back_on", FIELD_DATE, false, AT(survey_work, back_on)},
    CLOCK("starts_h", starts_h),
    CLOCK("break_h", break_h),
    CLOCK("break_length_h", break_length_h),
    CLOCK("noise_from_h", noise_from_h),
    CLOCK("noise_to_h", noise_to_h),
};

/* In the order of survey_plant, by its words. */
#define PLANT(called, which)                                                                                 \
    {                                                                                                        \
        called, FIELD_MAYBE, false, .offset = offsetof(survey_work, plant) + (which) * sizeof(maybe),        \
                                    .q = UNITS_PLAIN, RANGE(0, 100)                                          \
    }
static const survey_field plant_list[] = {
    PLANT("cutter", PLANT_CUTTER), PLANT("drill", PLANT_DRILL),
    PLANT("mixer", PLANT_MIXER),   PLANT("compressor", PLANT_COMPRESSOR),
    PLANT("lift", PLANT_LIFT),     PLANT("vacuum", PLANT_VACUUM),
    PLANT("pump", PLANT_PUMP),
};

static const survey_field worker_list[] = {
    {"name", FIELD_NAME, true, AT(survey_worker, name), .limit = ID_BYTES},
    {"cuts", FIELD_BOOL, false, AT(survey_worker, cuts)},
    {"places", FIELD_BOOL, false, AT(survey_worker, places)},
    {"mixes", FIELD_BOOL, false, AT(survey_worker, mixes)},
};

static const survey_field weather_list[] = {
    {"air", FIELD_NUMBER, true, AT(survey_weather, air_c), UNITS_TEMPERATURE, WEATHER},
    {"humidity_percent", FIELD_NUMBER, true, AT(survey_weather, humidity_percent), UNITS_PLAIN,
     RANGE(0, 100)},
    {"wind", FIELD_NUMBER, true, AT(survey_weather, wind_km_h), UNITS_WIND, RANGE(0, SURVEY_WINDIEST_KM_H)},
};

static const survey_field forecast_list[] = {
    {"from", FIELD_HOUR, true, AT(survey_forecast, from)},
};

static const survey_field air_list[] = {
    {"on", FIELD_DATE, true, AT(survey_air, on)},
    {"air", FIELD_NUMBER, true, AT(survey_air, air_c), UNITS_TEMPERATURE, WEATHER},
};

static const survey_field face_list[] = {
    {"id", FIELD_NAME, true, AT(survey_face, id), .limit = ID_BYTES},
    {"name", FIELD_TEXT, false, AT(survey_face, name), .limit = LINE_BYTES},
    {"lie", FIELD_WORD, true, AT(survey_face, lie), WORDS(survey_lie_words, LIE_COUNT)},
    {"behind", FIELD_WORD, false, AT(survey_face, behind), WORDS(survey_behind_words, BEHIND_COUNT)},
    {"thickness", FIELD_NUMBER, true, AT(survey_face, thickness_m), UNITS_LENGTH, ABOVE(0, 20)},
    {"elevation", FIELD_NUMBER, true, AT(survey_face, elevation_m), UNITS_LENGTH, LEVEL},
    {"far_side", FIELD_WORD, false, AT(survey_face, far_side), WORDS(survey_far_words, FAR_COUNT)},
    {"access", FIELD_WORD, false, AT(survey_face, access), WORDS(survey_access_words, ACCESS_COUNT)},
    {"turn", FIELD_MAYBE, false, AT(survey_face, turn), UNITS_PLAIN, RANGE(1, 1000)},
};

static const survey_field defect_list[] = {
    {"mark", FIELD_NAME, true, AT(survey_defect, mark), .limit = ID_BYTES},
    {"kind", FIELD_WORD, true, AT(survey_defect, kind), WORDS(survey_kind_words, KIND_COUNT)},
    {"diameter", FIELD_MAYBE, false, AT(survey_defect, diameter_m), UNITS_SIZE, ABOVE(0, 5)},
    {"slot_faces", FIELD_WORD, false, AT(survey_defect, slot_faces),
     WORDS(survey_slot_words, SLOT_FACES_COUNT)},
    {"waterstop", FIELD_WORD, false, AT(survey_defect, waterstop), WORDS(survey_waterstop_words, STOP_COUNT)},
    {"cutoff", FIELD_MAYBE, false, AT(survey_defect, cutoff_m), UNITS_SIZE,
     ABOVE(0, 20)}, /* as a thickness */
    {"tried", FIELD_TEXT, false, AT(survey_defect, tried), .limit = SURVEY_NOTE_BYTES},
    {"moved_from", FIELD_NAME, false, AT(survey_defect, moved_from), .limit = ID_BYTES},
    {"found_on", FIELD_DATE, false, AT(survey_defect, found_on)},
    {"strength_wanted", FIELD_BOOL, false, AT(survey_defect, strength_wanted)},
    {"movement", FIELD_MAYBE, false, AT(survey_defect, movement_m), UNITS_SIZE, RANGE(0, 0.05)},
    {"depth", FIELD_MAYBE, false, AT(survey_defect, depth_m), UNITS_SIZE, ABOVE(0, 20)},
};

/* A gauge may tell the width or a change of it, which can be negative. */
static const survey_field reading_list[] = {
    {"gauge", FIELD_NAME, false, AT(survey_reading, gauge), .limit = ID_BYTES},
    {"on", FIELD_DATE, true, AT(survey_reading, on)},
    {"width", FIELD_NUMBER, true, AT(survey_reading, width_m), UNITS_SIZE, RANGE(-0.05, 0.05)},
    {"temperature", FIELD_MAYBE, false, AT(survey_reading, temperature_c), UNITS_TEMPERATURE, WEATHER},
};

/* To call an engineer is no choice of method: it is the last of the words and left out. */
static const survey_field overrule_list[] = {
    {"method", FIELD_WORD, true, AT(survey_overrule, method), WORDS(survey_method_words, METHOD_ENGINEER)},
    {"by", FIELD_TEXT, true, AT(survey_overrule, by), .limit = LINE_BYTES},
    {"on", FIELD_DATE, true, AT(survey_overrule, on)},
    {"why", FIELD_TEXT, true, AT(survey_overrule, why), .limit = SURVEY_NOTE_BYTES},
};

static const survey_field point_list[] = {
    {"u", FIELD_NUMBER, true, AT(survey_point, u_m), UNITS_LENGTH, LEVEL},
    {"v", FIELD_NUMBER, true, AT(survey_point, v_m), UNITS_LENGTH, LEVEL},
};

static const survey_field station_list[] = {
    {"chainage", FIELD_NUMBER, true, AT(survey_station, chainage_m), UNITS_LENGTH,
     RANGE(0, SURVEY_COORDINATE_MOST_M)},
    {"width", FIELD_MAYBE, false, AT(survey_station, width_m), UNITS_SIZE, RANGE(0, 0.05)},
    {"wetness", FIELD_WORD, true, AT(survey_station, wetness), WORDS(survey_wetness_words, WET_COUNT)},
    {"bar", FIELD_WORD, false, AT(survey_station, bar), WORDS(survey_bar_words, BAR_COUNT)},
    {"cover", FIELD_MAYBE, false, AT(survey_station, cover_m), UNITS_SIZE, RANGE(0, 1)},
    {"bar_diameter", FIELD_MAYBE, false, AT(survey_station, bar_diameter_m), UNITS_SIZE, ABOVE(0, 0.1)},
};

static const survey_field flow_list[] = {
    {"from", FIELD_NUMBER, false, AT(survey_flow, from_m), UNITS_LENGTH, RANGE(0, SURVEY_COORDINATE_MOST_M)},
    {"to", FIELD_NUMBER, false, AT(survey_flow, to_m), UNITS_LENGTH, RANGE(0, SURVEY_COORDINATE_MOST_M)},
    {"volume", FIELD_MAYBE, false, AT(survey_flow, volume_m3), UNITS_VOLUME, RANGE(0, 1000)},
    {"time", FIELD_MAYBE, false, AT(survey_flow, time_s), UNITS_SECONDS, ABOVE(0, 2592000)}, /* 30 days */
    {"drips_per_min", FIELD_MAYBE, false, AT(survey_flow, drips_per_min), UNITS_PLAIN, RANGE(0, 1000)},
    {"state", FIELD_WORD, false, AT(survey_flow, state), WORDS(survey_state_words, STATE_COUNT)},
    {"on", FIELD_DATE, false, AT(survey_flow, on)},
};

static const survey_field open_list[] = {
    {"from", FIELD_NUMBER, true, AT(survey_open, from_m), UNITS_LENGTH, RANGE(0, SURVEY_COORDINATE_MOST_M)},
    {"to", FIELD_NUMBER, true, AT(survey_open, to_m), UNITS_LENGTH, RANGE(0, SURVEY_COORDINATE_MOST_M)},
};

static const survey_field photo_list[] = {
    {"file", FIELD_PATH, true, AT(survey_photo, file), .limit = PATH_BYTES},
    {"caption", FIELD_TEXT, false, AT(survey_photo, caption), .limit = SURVEY_NOTE_BYTES},
};

static const survey_field material_list[] = {
    {"id", FIELD_NAME, true, AT(survey_material, id), .limit = ID_BYTES},
    {"name", FIELD_TEXT, false, AT(survey_material, name), .limit = LINE_BYTES},
    {"data_note", FIELD_TEXT, false, AT(survey_material, data_note), .limit = SURVEY_NOTE_BYTES},
    {"role", FIELD_WORD, true, AT(survey_material, role), WORDS(survey_role_words, ROLE_COUNT)},
    {"resin", FIELD_WORD, false, AT(survey_material, resin), WORDS(survey_resin_words, RESIN_COUNT)},
    {"movement_percent", FIELD_MAYBE, false, AT(survey_material, movement_percent), UNITS_PLAIN,
     ABOVE(0, 200)},
    {"bulk", FIELD_MAYBE, false, AT(survey_material, bulk_kg_m3), UNITS_DENSITY, RANGE(100, 5000)},
    {"particle", FIELD_MAYBE, false, AT(survey_material, particle_kg_m3), UNITS_DENSITY, RANGE(500, 10000)},
    {"parts_powder", FIELD_MAYBE, false, AT(survey_material, parts_powder), UNITS_PLAIN, ABOVE(0, 1000)},
    {"parts_water", FIELD_MAYBE, false, AT(survey_material, parts_water), UNITS_PLAIN, ABOVE(0, 1000)},
    {"density", FIELD_MAYBE, false, AT(survey_material, density_kg_m3), UNITS_DENSITY, RANGE(100, 5000)},
    {"pot_life", FIELD_MAYBE, false, AT(survey_material, pot_life_s), UNITS_MINUTES,
     ABOVE(0, 604800)}, /* a week */
    {"set_time", FIELD_MAYBE, false, AT(survey_material, set_time_s), UNITS_MINUTES, ABOVE(0, 2592000)},
    {"coverage", FIELD_MAYBE, false, AT(survey_material, coverage_kg_m2), UNITS_COVERAGE, ABOVE(0, 100)},
    {"coverage_last", FIELD_MAYBE, false, AT(survey_material, coverage_last_kg_m2), UNITS_COVERAGE,
     ABOVE(0, 100)},
    {"lowest", FIELD_MAYBE, false, AT(survey_material, lowest_c), UNITS_TEMPERATURE, RANGE(-50, 60)},
    {"highest", FIELD_MAYBE, false, AT(survey_material, highest_c), UNITS_TEMPERATURE, RANGE(-50, 60)},
};

static const survey_field pack_list[] = {
    {"size", FIELD_NUMBER, false, AT(survey_pack, size_kg), UNITS_MASS, ABOVE(0, 100000)},
    {"size", FIELD_MAYBE, false, AT(survey_pack, size_m3), UNITS_VOLUME, ABOVE(0, 100)},
    {"price", FIELD_NUMBER, true, AT(survey_pack, price), UNITS_PLAIN, RANGE(0, 1e9)},
    {"shelf_life_days", FIELD_MAYBE, false, AT(survey_pack, shelf_life_days), UNITS_PLAIN, ABOVE(0, 36500)},
};

static const survey_field rate_list[] = {
    {"id", FIELD_NAME, true, AT(survey_rate, id), .limit = ID_BYTES},
    {"label", FIELD_TEXT, false, AT(survey_rate, label), .limit = LINE_BYTES},
    {"unit", FIELD_TEXT, false, AT(survey_rate, unit), .limit = ID_BYTES},
    {"value", FIELD_NUMBER, true, AT(survey_rate, value), UNITS_PLAIN, RANGE(0, 1e9)},
    {"low", FIELD_MAYBE, false, AT(survey_rate, low), UNITS_PLAIN, RANGE(0, 1e9)},
    {"high", FIELD_MAYBE, false, AT(survey_rate, high), UNITS_PLAIN, RANGE(0, 1e9)},
    {"basis", FIELD_WORD, true, AT(survey_rate, basis), WORDS(survey_basis_words, BASIS_COUNT)},
    {"source", FIELD_TEXT, false, AT(survey_rate, source), .limit = SURVEY_NOTE_BYTES},
};

static const survey_field price_list[] = {
    {"id", FIELD_NAME, true, AT(survey_price, id), .limit = ID_BYTES},
    {"label", FIELD_TEXT, false, AT(survey_price, label), .limit = LINE_BYTES},
    {"unit", FIELD_TEXT, false, AT(survey_price, unit), .limit = ID_BYTES},
    {"price", FIELD_NUMBER, true, AT(survey_price, price), UNITS_PLAIN, RANGE(0, 1e9)},
    {"low", FIELD_MAYBE, false, AT(survey_price, low), UNITS_PLAIN, RANGE(0, 1e9)},
    {"high", FIELD_MAYBE, false, AT(survey_price, high), UNITS_PLAIN, RANGE(0, 1e9)},
};

static const survey_field tank_list[] = {
    {"id", FIELD_NAME, true, AT(survey_tank, id), .limit = ID_BYTES},
    {"name", FIELD_TEXT, false, AT(survey_tank, name), .limit = LINE_BYTES},
    {"capacity", FIELD_NUMBER, true, AT(survey_tank, capacity_m3), UNITS_VOLUME, ABOVE(0, 1e6)},
    {"plan_area", FIELD_NUMBER, true, AT(survey_tank, plan_area_m2), UNITS_AREA, ABOVE(0, 1e6)},
    {"depth", FIELD_NUMBER, true, AT(survey_tank, depth_m), UNITS_LENGTH, ABOVE(0, 100)},
    {"wetted_area", FIELD_MAYBE, false, AT(survey_tank, wetted_area_m2), UNITS_AREA, ABOVE(0, 1e6)},
    {"criterion", FIELD_WORD, true, AT(survey_tank, criterion),
     WORDS(survey_criterion_words, CRITERION_COUNT)},
    {"pan_factor", FIELD_MAYBE, false, AT(survey_tank, pan_factor), UNITS_PLAIN, ABOVE(0, 2)},
    {"pan", FIELD_WORD, false, AT(survey_tank, pan), WORDS(survey_pan_words, PAN_COUNT)},
    {"filled_on", FIELD_DATE, false, AT(survey_tank, filled_on)},
};

static const survey_field answer_list[] = {
    {"mark", FIELD_NAME, true, AT(survey_answer, mark), .limit = ID_BYTES},
    {"finding", FIELD_NAME, true, AT(survey_answer, finding), .limit = ID_BYTES},
    {"by", FIELD_TEXT, true, AT(survey_answer, by), .limit = LINE_BYTES},
    {"on", FIELD_DATE, true, AT(survey_answer, on)},
    {"what", FIELD_TEXT, true, AT(survey_answer, what), .limit = SURVEY_NOTE_BYTES},
};

const survey_fields survey_site_fields = TABLE(site_list), survey_level_fields = TABLE(level_list),
                    survey_face_fields = TABLE(face_list), survey_defect_fields = TABLE(defect_list),
                    survey_point_fields = TABLE(point_list), survey_station_fields = TABLE(station_list),
                    survey_flow_fields = TABLE(flow_list), survey_open_fields = TABLE(open_list),
                    survey_photo_fields = TABLE(photo_list), survey_material_fields = TABLE(material_list),
                    survey_pack_fields = TABLE(pack_list), survey_rate_fields = TABLE(rate_list),
                    survey_price_fields = TABLE(price_list), survey_answer_fields = TABLE(answer_list),
                    survey_reading_fields = TABLE(reading_list),
                    survey_overrule_fields = TABLE(overrule_list), survey_air_fields = TABLE(air_list),
                    survey_work_fields = TABLE(work_list), survey_plant_fields = TABLE(plant_list),
                    survey_worker_fields = TABLE(worker_list), survey_weather_fields = TABLE(weather_list),
                    survey_forecast_fields = TABLE(forecast_list), survey_tank_fields = TABLE(tank_list);

_Static_assert(METHOD_ENGINEER == METHOD_COUNT - 1, "overrule_list leaves out the last word");
_Static_assert(COUNT_OF(plant_list) == PLANT_COUNT, "plant_list has every kind of plant");

static bool is_number(const survey_field *f) {
    return f->kind == FIELD_NUMBER || f->kind == FIELD_MAYBE;
}

char *survey_field_name(const survey_field *f, units_system system, char into[FIELD_NAME_SIZE]) {
    const char *suffix = is_number(f) ? units_suffix(f->q, system) : "";
    snprintf(into, FIELD_NAME_SIZE, "%s%s%s", f->name, *suffix ? "_" : "", suffix);
    return into;
}

static const char *si_suffix(units_quantity q) {
    static const char *const suffixes[UNITS_QUANTITIES] = {
        [UNITS_LENGTH] = "_m",    [UNITS_SIZE] = "_m",        [UNITS_AREA] = "_m2",
        [UNITS_VOLUME] = "_m3",   [UNITS_FLOW] = "_m3_s",     [UNITS_FLOW_LENGTH] = "_m2_s",
        [UNITS_MASS] = "_kg",     [UNITS_DENSITY] = "_kg_m3", [UNITS_COVERAGE] = "_kg_m2",
        [UNITS_PRESSURE] = "_pa", [UNITS_STRESS] = "_pa",     [UNITS_TEMPERATURE] = "_c",
        [UNITS_SPEED] = "_m_s",   [UNITS_WIND] = "_km_h",     [UNITS_MINUTES] = "_s",
        [UNITS_SECONDS] = "_s",   [UNITS_HOURS] = "_s",       [UNITS_PLAIN] = "",
    };
    return suffixes[q];
}

char *survey_field_column(const survey_field *f, char into[FIELD_NAME_SIZE]) {
    snprintf(into, FIELD_NAME_SIZE, "%s%s", f->name, is_number(f) ? si_suffix(f->q) : "");
    return into;
}

bool survey_text_equal(const char *a, const char *b) {
    if (!a || !b) return a == b;
    return strcmp(a, b) == 0;
}
