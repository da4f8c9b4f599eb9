#include "store/schema.h"

#include "store/store_internal.h"

#include <stdio.h>

/* Version 1. All values are SI, as in survey.h; a column's name ends in its unit. Words are the
 * words of the files. `place` and `seq` number the rows from 0 in the order of the survey. NULL: not given.
 * Every table but `result` is rewritten by a save; nothing else refers to their numbers. */
static const char *const version_1[] = {
    /* The job: exactly one row. Levels are elevations of the water behind the faces. */
    "CREATE TABLE site ("
    " one INTEGER PRIMARY KEY CHECK (one = 1),"
    " name TEXT, place TEXT, client_note TEXT,"
    " units TEXT NOT NULL CHECK (units IN ('metric', 'us'))," /* shown and exported in; stored values are SI
                                                               */
    " currency TEXT NOT NULL CHECK (length(currency) = 3),"   /* ISO 4217 */
    " letter_paper INTEGER NOT NULL CHECK (letter_paper IN (0, 1)),"
    " enclosed INTEGER NOT NULL CHECK (enclosed IN (0, 1)),"
    " drinking_water INTEGER NOT NULL CHECK (drinking_water IN (0, 1)),"
    " hazardous_liquid INTEGER NOT NULL CHECK (hazardous_liquid IN (0, 1)),"
    " materials_approved INTEGER NOT NULL CHECK (materials_approved IN (0, 1)),"
    " retained_top_m REAL, air_c REAL, wall_c REAL, leak_water_c REAL, mix_c REAL,"
    " crew REAL NOT NULL CHECK (crew > 0), shift_h REAL NOT NULL CHECK (shift_h > 0), days_to_start REAL,"
    " today_level_m REAL, today_known TEXT CHECK (today_known IN ('measured', 'told', 'assumed')), today_on "
    "TEXT,"
    " design_level_m REAL, design_known TEXT CHECK (design_known IN ('measured', 'told', 'assumed')), "
    "design_on TEXT"
    ") STRICT",

    /* A flat face and, where they differ from the site's, its own water levels. */
    "CREATE TABLE face ("
    " place INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE CHECK (id <> ''), name TEXT,"
    " lie TEXT NOT NULL CHECK (lie IN ('wall', 'floor', 'soffit')),"
    " behind TEXT NOT NULL CHECK (behind IN ('ground', 'tank')),"
    " thickness_m REAL NOT NULL CHECK (thickness_m > 0), elevation_m REAL NOT NULL,"
    " today_level_m REAL, today_known TEXT CHECK (today_known IN ('measured', 'told', 'assumed')), today_on "
    "TEXT,"
    " design_level_m REAL, design_known TEXT CHECK (design_known IN ('measured', 'told', 'assumed')), "
    "design_on TEXT"
    ") STRICT",

    /* Corners of a face: ring 0 is the outline, 1 and on are the openings; not closed. */
    "CREATE TABLE face_point ("
    " face INTEGER NOT NULL REFERENCES face(place), ring INTEGER NOT NULL, seq INTEGER NOT NULL,"
    " u_m REAL NOT NULL, v_m REAL NOT NULL, PRIMARY KEY (face, ring, seq)"
    ") STRICT, WITHOUT ROWID",

    /* Two edges that are one line in space: a0 is b0, a1 is b1. */
    "CREATE TABLE fold ("
    " place INTEGER PRIMARY KEY,"
    " face_a TEXT NOT NULL REFERENCES face(id), face_b TEXT NOT NULL REFERENCES face(id),"
    " a0_u_m REAL NOT NULL, a0_v_m REAL NOT NULL, a1_u_m REAL NOT NULL, a1_v_m REAL NOT NULL,"
    " b0_u_m REAL NOT NULL, b0_v_m REAL NOT NULL, b1_u_m REAL NOT NULL, b1_v_m REAL NOT NULL"
    ") STRICT",

    /* A defect by its chalk mark. */
    "CREATE TABLE defect ("
    " place INTEGER PRIMARY KEY, mark TEXT NOT NULL UNIQUE CHECK (mark <> ''),"
    " kind TEXT NOT NULL CHECK (kind IN ('crack', 'joint', 'tie_hole', 'penetration', 'honeycomb')),"
    " diameter_m REAL CHECK (diameter_m > 0), slot_faces TEXT NOT NULL CHECK (slot_faces IN ('sawn', "
    "'chipped')),"
    " tried TEXT"
    ") STRICT",

    /* Signs that send a leak to a person. seq only keeps them apart. */
    "CREATE TABLE sign ("
    " defect INTEGER NOT NULL REFERENCES defect(place), seq INTEGER NOT NULL,"
    " sign TEXT NOT NULL CHECK (sign IN ('growing', 'offset', 'bulging', 'prestress', 'soil', 'bar_cut', "
    "'drainage',"
    "  'rust', 'cause_unknown', 'moving', 'settled')),"
    " PRIMARY KEY (defect, seq)"
    ") STRICT, WITHOUT ROWID",

    /* The stretches of a trace, one a face, one after another; and their points. */
    "CREATE TABLE part ("
    " defect INTEGER NOT NULL REFERENCES defect(place), seq INTEGER NOT NULL,"
    " face TEXT NOT NULL REFERENCES face(id), PRIMARY KEY (defect, seq)"
    ") STRICT, WITHOUT ROWID",
    "CREATE TABLE part_point ("
    " defect INTEGER NOT NULL, part INTEGER NOT NULL, seq INTEGER NOT NULL, u_m REAL NOT NULL, v_m REAL NOT "
    "NULL,"
    " PRIMARY KEY (defect, part, seq), FOREIGN KEY (defect, part) REFERENCES part(defect, seq)"
    ") STRICT, WITHOUT ROWID",

    /* What was seen along the trace. cover: from the dry face. */
    "CREATE TABLE station ("
    " defect INTEGER NOT NULL REFERENCES defect(place), seq INTEGER NOT NULL,"
    " chainage_m REAL NOT NULL CHECK (chainage_m >= 0), width_m REAL CHECK (width_m >= 0),"
    " wetness TEXT NOT NULL CHECK (wetness IN ('dry', 'damp', 'seep', 'drip', 'run', 'jet')),"
    " bar TEXT NOT NULL CHECK (bar IN ('not_scanned', 'none', 'crossing', 'along')),"
    " cover_m REAL CHECK (cover_m >= 0), bar_diameter_m REAL CHECK (bar_diameter_m > 0),"
    " PRIMARY KEY (defect, seq)"
    ") STRICT, WITHOUT ROWID",

    /* Water collected over a stretch, or drips counted (a rank, never litres). */
    "CREATE TABLE flow ("
    " defect INTEGER NOT NULL REFERENCES defect(place), seq INTEGER NOT NULL,"
    " from_m REAL NOT NULL, to_m REAL NOT NULL, volume_m3 REAL CHECK (volume_m3 >= 0), time_s REAL CHECK "
    "(time_s > 0),"
    " drips_per_min REAL CHECK (drips_per_min >= 0), state TEXT NOT NULL CHECK (state IN ('uncut', 'cut')), "
    "\"on\" TEXT,"
    " PRIMARY KEY (defect, seq)"
    ") STRICT, WITHOUT ROWID",
    "CREATE TABLE note ("
    " defect INTEGER NOT NULL REFERENCES defect(place), seq INTEGER NOT NULL, note TEXT NOT NULL,"
    " PRIMARY KEY (defect, seq)"
    ") STRICT, WITHOUT ROWID",

    /* Photos stay files, beside the job file. */
    "CREATE TABLE photo ("
    " defect INTEGER NOT NULL REFERENCES defect(place), seq INTEGER NOT NULL, file TEXT NOT NULL, caption "
    "TEXT,"
    " PRIMARY KEY (defect, seq)"
    ") STRICT, WITHOUT ROWID",

    /* Materials by role; working times at 20 C. A pack is sized by mass or by volume. */
    "CREATE TABLE material ("
    " place INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE CHECK (id <> ''), name TEXT, data_note TEXT,"
    " role TEXT NOT NULL CHECK (role IN ('plug', 'slurry', 'pack', 'resin', 'sealant')),"
    " bulk_kg_m3 REAL, particle_kg_m3 REAL, parts_powder REAL, parts_water REAL, density_kg_m3 REAL,"
    " pot_life_s REAL, set_time_s REAL, coverage_kg_m2 REAL, coverage_last_kg_m2 REAL, lowest_c REAL, "
    "highest_c REAL"
    ") STRICT",
    "CREATE TABLE pack ("
    " material INTEGER NOT NULL REFERENCES material(place), seq INTEGER NOT NULL,"
    " size_kg REAL NOT NULL, size_m3 REAL, price REAL NOT NULL CHECK (price >= 0), shelf_life_days REAL,"
    " PRIMARY KEY (material, seq)"
    ") STRICT, WITHOUT ROWID",

    /* Rates in the unit they name, with what they rest on; prices in the site's currency. */
    "CREATE TABLE rate ("
    " place INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE CHECK (id <> ''), label TEXT, unit TEXT,"
    " value REAL NOT NULL, basis TEXT NOT NULL CHECK (basis IN ('published', 'default', 'own')), source TEXT"
    ") STRICT",
    "CREATE TABLE price ("
    " place INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE CHECK (id <> ''), label TEXT, unit TEXT, price REAL "
    "NOT NULL"
    ") STRICT",

    /* What named people decided about findings; mark 'site' for the whole job. */
    "CREATE TABLE answer ("
    " place INTEGER PRIMARY KEY, mark TEXT NOT NULL, finding TEXT NOT NULL, \"by\" TEXT NOT NULL, \"on\" "
    "TEXT NOT NULL,"
    " what TEXT NOT NULL"
    ") STRICT",

    /* What a stage made of its inputs. It is out of date when the hash of its inputs has changed. */
    "CREATE TABLE result ("
    " stage TEXT NOT NULL CHECK (stage <> ''), mark TEXT NOT NULL," /* mark '': the whole job */
    " inputs_hash TEXT NOT NULL, program_version TEXT NOT NULL, seed INTEGER NOT NULL,"
    " body TEXT NOT NULL CHECK (body <> ''), PRIMARY KEY (stage, mark)"
    ") STRICT, WITHOUT ROWID",
    NULL,
};

/* Version 2: the waterstop of a joint (trade rule 6), how deep it stands from the dry face, and where along the
 * trace it lets water through. Of the joints in older files nobody said. */
static const char *const version_2[] = {
    "ALTER TABLE defect ADD COLUMN waterstop TEXT NOT NULL DEFAULT 'unknown'"
    " CHECK (waterstop IN ('unknown', 'none', 'there'))",
    "ALTER TABLE defect ADD COLUMN cutoff_m REAL CHECK (cutoff_m > 0)",
    "CREATE TABLE open_place ("
    " defect INTEGER NOT NULL REFERENCES defect(place), seq INTEGER NOT NULL,"
    " from_m REAL NOT NULL CHECK (from_m >= 0), to_m REAL NOT NULL CHECK (to_m > from_m),"
    " PRIMARY KEY (defect, seq)"
    ") STRICT, WITHOUT ROWID",
    NULL,
};

/* Version 3: who changed what and when; records from the wall; the leaks of a day; pictures laid under faces. None of
 * these is part of the survey: a save leaves them alone. What is only ever added is guarded by triggers. */
static const char *const version_3[] = {
    /* One row a change of the job. The largest seq is the revision of the job. */
    "CREATE TABLE change ("
    " seq INTEGER PRIMARY KEY AUTOINCREMENT, at TEXT NOT NULL, \"by\" TEXT NOT NULL,"
    " through TEXT NOT NULL CHECK (through IN ('command', 'page')), what TEXT NOT NULL CHECK (what <> '')"
    ") STRICT",

    /* What was done at the wall: one row a record, never changed; a correction is a new record. id is made by the
     * device, so that a record sent twice is one. body: JSON in metric units (record/record.h). received: when and by
     * whose hand it came in. */
    "CREATE TABLE record ("
    " seq INTEGER PRIMARY KEY AUTOINCREMENT, id TEXT NOT NULL UNIQUE CHECK (length(id) = 36),"
    " mark TEXT NOT NULL CHECK (mark <> ''), body TEXT NOT NULL CHECK (body <> ''),"
    " received_at TEXT NOT NULL, received_by TEXT NOT NULL"
    ") STRICT",
    "CREATE INDEX record_of_mark ON record(mark, seq)",
    "CREATE TRIGGER record_is_kept BEFORE UPDATE ON record BEGIN SELECT RAISE(ABORT, 'a record is never "
    "changed'); END",
    "CREATE TRIGGER record_stays BEFORE DELETE ON record BEGIN SELECT RAISE(ABORT, 'a record is never "
    "removed'); END",
    "CREATE TRIGGER change_is_kept BEFORE UPDATE ON change BEGIN SELECT RAISE(ABORT, 'the log is never "
    "changed'); END",
    "CREATE TRIGGER change_stays BEFORE DELETE ON change BEGIN SELECT RAISE(ABORT, 'the log is never cut'); "
    "END",

    /* The leaks of a day, in their order. */
    "CREATE TABLE day ("
    " date TEXT NOT NULL, seq INTEGER NOT NULL, mark TEXT NOT NULL, PRIMARY KEY (date, seq)"
    ") STRICT, WITHOUT ROWID",

    /* A picture under a face: four points of it and where they lie on the face, as lists of 8 numbers in JSON:
     * x, y as parts of width and height from the top left; u, v in m. file: below the job's folder of photos. */
    "CREATE TABLE underlay ("
    " face TEXT NOT NULL PRIMARY KEY, file TEXT NOT NULL, corners TEXT NOT NULL CHECK (corners <> ''),"
    " onto_m TEXT NOT NULL CHECK (onto_m <> '')"
    ") STRICT, WITHOUT ROWID",
    NULL,
};

/* The methods that a person may choose or exclude: all but 'engineer'. */
#define METHOD_WORDS                                                                                         \
    "('slot_plug', 'slot_pack', 'coat', 'hole', 'ring', 'cut_back', 'inject_cement', 'inject_epoxy',"        \
    " 'inject_polyurethane', 'inject_acrylate', 'flexible', 'drain', 'watch')"

/* Version 4: what the choice of method looks at. Nobody said any of it of older files; the resins in them were for wet
 * cracks, so they are polyurethane. What their catalogue lacks is added when they are loaded (ops/job.c). */
static const char *const version_4[] = {
    /* The rule for widths that may heal, the watertightness agreed, and the coldest and warmest of the walls in the
     * coming year; can the wet side of a face be reached? */
    "ALTER TABLE site ADD COLUMN healing TEXT NOT NULL DEFAULT 'en1992_3' CHECK (healing IN ('en1992_3', "
    "'dafstb', "
    "'fib2020', 'fib2020_healing', 'aci224r', 'as3735', 'bs8007', 'bs8007_appearance', 'aci350', "
    "'aci350_severe', "
    "'hs2'))",
    "ALTER TABLE site ADD COLUMN tightness TEXT NOT NULL DEFAULT 'not_agreed' CHECK (tightness IN "
    "('not_agreed', "
    "'ztv_1', 'ztv_2', 'ztv_3', 'bs8102_1a', 'bs8102_1b', 'bs8102_2', 'bs8102_3', 'en1992_3_0', "
    "'en1992_3_1', "
    "'en1992_3_2', 'en1992_3_3', 'gb50108_1', 'gb50108_2', 'gb50108_3', 'gb50108_4'))",
    "ALTER TABLE site ADD COLUMN coldest_c REAL",
    "ALTER TABLE site ADD COLUMN warmest_c REAL",
    "ALTER TABLE face ADD COLUMN far_side TEXT NOT NULL DEFAULT 'unknown'"
    " CHECK (far_side IN ('unknown', 'closed', 'open'))",

    /* Must the crack carry force again; its movement in a year as told; how deep honeycomb goes; and a person's choice of
     * method against the table: all four columns or none. */
    "ALTER TABLE defect ADD COLUMN strength_wanted INTEGER NOT NULL DEFAULT 0 CHECK (strength_wanted IN (0, "
    "1))",
    "ALTER TABLE defect ADD COLUMN movement_m REAL CHECK (movement_m >= 0)",
    "ALTER TABLE defect ADD COLUMN depth_m REAL CHECK (depth_m > 0)",
    "ALTER TABLE defect ADD COLUMN overrule_method TEXT CHECK (overrule_method IN " METHOD_WORDS ")",
    "ALTER TABLE defect ADD COLUMN overrule_by TEXT CHECK ((overrule_by IS NULL) = (overrule_method IS "
    "NULL))",
    "ALTER TABLE defect ADD COLUMN overrule_on TEXT CHECK ((overrule_on IS NULL) = (overrule_method IS "
    "NULL))",
    "ALTER TABLE defect ADD COLUMN overrule_why TEXT CHECK ((overrule_why IS NULL) = (overrule_method IS "
    "NULL))",

    /* Methods that may not be used at a leak, and in the whole job. seq only keeps them apart. */
    "CREATE TABLE excluded ("
    " defect INTEGER NOT NULL REFERENCES defect(place), seq INTEGER NOT NULL,"
    " method TEXT NOT NULL CHECK (method IN " METHOD_WORDS "), PRIMARY KEY (defect, seq)"
    ") STRICT, WITHOUT ROWID",
    "CREATE TABLE site_excluded ("
    " seq INTEGER PRIMARY KEY, method TEXT NOT NULL UNIQUE CHECK (method IN " METHOD_WORDS ")"
    ") STRICT",

    /* Readings of gauges, by gauge and then by date. temperature_c: of the concrete. */
    "CREATE TABLE reading ("
    " defect INTEGER NOT NULL REFERENCES defect(place), seq INTEGER NOT NULL,"
    " gauge TEXT CHECK (gauge <> ''), \"on\" TEXT NOT NULL, width_m REAL NOT NULL, temperature_c REAL,"
    " PRIMARY KEY (defect, seq)"
    ") STRICT, WITHOUT ROWID",

    /* The air at the site, the mean of each day; and of a typical year, day 0 being 1 January. */
    "CREATE TABLE air (seq INTEGER PRIMARY KEY, \"on\" TEXT NOT NULL UNIQUE, air_c REAL NOT NULL) STRICT",
    "CREATE TABLE typical (day INTEGER PRIMARY KEY CHECK (day BETWEEN 0 AND 364), air_c REAL NOT NULL) "
    "STRICT",

    /* The family of a resin; the movement class of a sealant. */
    "ALTER TABLE material ADD COLUMN resin TEXT NOT NULL DEFAULT 'none'"
    " CHECK (resin IN ('none', 'cement', 'epoxy', 'polyurethane', 'acrylate'))",
    "ALTER TABLE material ADD COLUMN movement_percent REAL CHECK (movement_percent > 0)",
    "UPDATE material SET resin = 'polyurethane' WHERE role = 'resin'",
    NULL,
};

/* Version 5: what a plan of work looks at. Of older files nobody said any of it: faces are reached from the ground. */
static const char *const version_5[] = {
    /* How a face is reached, and its turn among the faces. */
    ("ALTER TABLE face ADD COLUMN access TEXT NOT NULL DEFAULT 'ground'"
     " CHECK (access IN ('ground', 'ladder', 'lift'))"),
    "ALTER TABLE face ADD COLUMN turn REAL CHECK (turn >= 1)",

    /* Does air_c stand all the time, without wind; and how damp is the air? */
    "ALTER TABLE site ADD COLUMN still_air INTEGER NOT NULL DEFAULT 0 CHECK (still_air IN (0, 1))",
    "ALTER TABLE site ADD COLUMN humidity_percent REAL CHECK (humidity_percent BETWEEN 0 AND 100)",

    /* First day of work, day of being back in service; hours of the day, local time of the site. */
    "ALTER TABLE site ADD COLUMN work_start_on TEXT",
    "ALTER TABLE site ADD COLUMN work_back_on TEXT",
    "ALTER TABLE site ADD COLUMN work_starts_h REAL CHECK (work_starts_h BETWEEN 0 AND 24)",
    "ALTER TABLE site ADD COLUMN work_break_h REAL CHECK (work_break_h BETWEEN 0 AND 24)",
    "ALTER TABLE site ADD COLUMN work_break_length_h REAL CHECK (work_break_length_h BETWEEN 0 AND 24)",
    "ALTER TABLE site ADD COLUMN work_noise_from_h REAL CHECK (work_noise_from_h BETWEEN 0 AND 24)",
    "ALTER TABLE site ADD COLUMN work_noise_to_h REAL CHECK (work_noise_to_h BETWEEN 0 AND 24)",

    /* Plant that is there, how many of each. */
    "ALTER TABLE site ADD COLUMN plant_cutter REAL CHECK (plant_cutter BETWEEN 0 AND 100)",
    "ALTER TABLE site ADD COLUMN plant_drill REAL CHECK (plant_drill BETWEEN 0 AND 100)",
    "ALTER TABLE site ADD COLUMN plant_mixer REAL CHECK (plant_mixer BETWEEN 0 AND 100)",
    "ALTER TABLE site ADD COLUMN plant_compressor REAL CHECK (plant_compressor BETWEEN 0 AND 100)",
    "ALTER TABLE site ADD COLUMN plant_lift REAL CHECK (plant_lift BETWEEN 0 AND 100)",
    "ALTER TABLE site ADD COLUMN plant_vacuum REAL CHECK (plant_vacuum BETWEEN 0 AND 100)",
    "ALTER TABLE site ADD COLUMN plant_pump REAL CHECK (plant_pump BETWEEN 0 AND 100)",

    /* Days of the week that are worked (none: Monday to Friday), days that are not, and who is there. */
    ("CREATE TABLE work_day ("
     " seq INTEGER PRIMARY KEY,"
     " day TEXT NOT NULL UNIQUE CHECK (day IN ('mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'))"
     ") STRICT"),
    "CREATE TABLE holiday (seq INTEGER PRIMARY KEY, \"on\" TEXT NOT NULL UNIQUE) STRICT",
    ("CREATE TABLE worker ("
     " seq INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE CHECK (name <> ''),"
     " cuts INTEGER NOT NULL CHECK (cuts IN (0, 1)), places INTEGER NOT NULL CHECK (places IN (0, 1)),"
     " mixes INTEGER NOT NULL CHECK (mixes IN (0, 1))"
     ") STRICT"),

    /* A forecast, hour by hour from the hour `forecast_from`, YYYY-MM-DDTHH:00. Wind 10 m above the ground. */
    "ALTER TABLE site ADD COLUMN forecast_from TEXT",
    ("CREATE TABLE forecast_hour ("
     " hour INTEGER PRIMARY KEY CHECK (hour >= 0), air_c REAL NOT NULL,"
     " humidity_percent REAL NOT NULL CHECK (humidity_percent BETWEEN 0 AND 100),"
     " wind_km_h REAL NOT NULL CHECK (wind_km_h >= 0)"
     ") STRICT"),

    /* The hours of a typical year from 1 January 0 h, in one value, which a save of the same year leaves alone: three
     * doubles an hour, air in C, humidity in %, wind in km/h, each of 8 bytes (IEEE 754, the lowest first). */
    ("CREATE TABLE typical_hours ("
     " one INTEGER PRIMARY KEY CHECK (one = 1), hours BLOB NOT NULL CHECK (length(hours) = 8760 * 3 * 8)"
     ") STRICT"),
    NULL,
};

/* Version 6: what proof, handover and risk look at. */
static const char *const version_6[] = {
    /* What a rate or a price may come out as. */
    "ALTER TABLE rate ADD COLUMN low REAL CHECK (low >= 0)",
    "ALTER TABLE rate ADD COLUMN high REAL CHECK (high >= low)",
    "ALTER TABLE price ADD COLUMN low REAL CHECK (low >= 0)",
    "ALTER TABLE price ADD COLUMN high REAL CHECK (high >= low)",

    /* Next high water as told, and the basis of the warranty in the user's words. */
    "ALTER TABLE site ADD COLUMN high_water_on TEXT",
    "ALTER TABLE site ADD COLUMN warranty TEXT",

    /* A leak that a repair elsewhere sent here, and when it was found where that was after the survey. */
    "ALTER TABLE defect ADD COLUMN moved_from TEXT",
    "ALTER TABLE defect ADD COLUMN found_on TEXT",

    /* Tanks that are tested by filling them; their readings are records. */
    ("CREATE TABLE tank ("
     " place INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE CHECK (id <> ''), name TEXT,"
     " capacity_m3 REAL NOT NULL CHECK (capacity_m3 > 0), plan_area_m2 REAL NOT NULL CHECK (plan_area_m2 > "
     "0),"
     " depth_m REAL NOT NULL CHECK (depth_m > 0), wetted_area_m2 REAL CHECK (wetted_area_m2 > 0),"
     " criterion TEXT NOT NULL CHECK (criterion IN ('awwa_d110', 'aci_awwa_1978', 'aci350_nml', 'aci350_025',"
     " 'aci350_050', 'aci350_075', 'aci350_100', 'bs5337', 'bs8007', 'en1610_pipe', 'en1610_pipe_manhole',"
     " 'en1610_chamber', 'precast')),"
     " pan_factor REAL CHECK (pan_factor > 0),"
     " pan TEXT NOT NULL CHECK (pan IN ('unknown', 'open', 'covered')), filled_on TEXT"
     ") STRICT"),

    /* Each record carries the hash of the one before it (record/chain.h); store_chain_fill gives the old ones theirs. */
    "ALTER TABLE record ADD COLUMN hash TEXT CHECK (length(hash) = 64)",

    /* Documents that left the house, as the bytes that were printed, with all they were made from (store/offers.h). */
    ("CREATE TABLE offer ("
     " number INTEGER PRIMARY KEY AUTOINCREMENT, kind TEXT NOT NULL CHECK (kind IN ('offer', 'handover')),"
     " \"on\" TEXT NOT NULL, at TEXT NOT NULL, \"by\" TEXT NOT NULL, program_version TEXT NOT NULL,"
     " inputs TEXT NOT NULL CHECK (inputs <> ''), options TEXT NOT NULL CHECK (options <> ''),"
     " facts TEXT NOT NULL CHECK (facts <> ''),"
     " head_seq INTEGER NOT NULL CHECK (head_seq >= 0),"
     " head_hash TEXT NOT NULL CHECK (length(head_hash) = 64)," /* of the last record then */
     " pdf BLOB NOT NULL CHECK (length(pdf) > 0), pdf_hash TEXT NOT NULL CHECK (length(pdf_hash) = 64),"
     " xlsx BLOB CHECK (length(xlsx) > 0), xlsx_hash TEXT CHECK (length(xlsx_hash) = 64),"
     " made_hash TEXT NOT NULL CHECK (length(made_hash) = 64)," /* of all the rest of the row but its number */
     " CHECK ((xlsx IS NULL) = (xlsx_hash IS NULL))"
     ") STRICT"),
    ("CREATE TRIGGER offer_is_kept BEFORE UPDATE ON offer"
     " BEGIN SELECT RAISE(ABORT, 'a document that was kept is never changed'); END"),
    ("CREATE TRIGGER offer_stays BEFORE DELETE ON offer"
     " BEGIN SELECT RAISE(ABORT, 'a document that was kept is never removed'); END"),
    NULL,
};

const schema_migration schema_migrations[] = {
    {version_1, "first version", NULL},
    {version_2, "waterstops of joints", NULL},
    {version_3, "log, records, days and underlays", NULL},
    {version_4, "gauges, weather, exclusions, overrules", NULL},
    {version_5, "work, plant, people, hourly weather", NULL},
    {version_6, "ranges, proof, handover", store_chain_fill},
};
const int schema_version = sizeof schema_migrations / sizeof *schema_migrations;

int schema_pragma(sqlite3 *db, const char *sql, long long *out) {
    sqlite3_stmt *s = NULL;
    int code = sqlite3_prepare_v2(db, sql, -1, &s, NULL);
    if (code == SQLITE_OK) code = sqlite3_step(s);
    if (code == SQLITE_ROW) *out = sqlite3_column_int64(s, 0);
    sqlite3_finalize(s);
    return code == SQLITE_ROW ? SQLITE_OK : code == SQLITE_DONE ? SQLITE_CORRUPT : code;
}

static int run_all(sqlite3 *db, const schema_migration *list, int version, int wanted) {
    char pragma[64];
    int code = SQLITE_OK;
    for (int v = version; v < wanted && code == SQLITE_OK; v++) {
        for (const char *const *s = list[v].statements; *s && code == SQLITE_OK; s++)
            code = sqlite3_exec(db, *s, NULL, NULL, NULL);
        if (code == SQLITE_OK && list[v].step) code = list[v].step(db);
    }
    if (code != SQLITE_OK) return code;
    snprintf(pragma, sizeof pragma, "PRAGMA user_version = %d", wanted);
    return sqlite3_exec(db, pragma, NULL, NULL, NULL);
}

/* The version is read within the transaction: another process may have migrated while this one waited. */
int schema_migrate(sqlite3 *db, const schema_migration *list, int wanted) {
    long long version = 0;
    int code = sqlite3_exec(db, "BEGIN IMMEDIATE", NULL, NULL, NULL);
    if (code != SQLITE_OK) return code;
    code = schema_pragma(db, "PRAGMA user_version", &version);
    if (code == SQLITE_OK && version < wanted) code = run_all(db, list, (int)version, wanted);
    if (code == SQLITE_OK) code = sqlite3_exec(db, "COMMIT", NULL, NULL, NULL);
    if (code != SQLITE_OK) sqlite3_exec(db, "ROLLBACK", NULL, NULL, NULL);
    return code;
}
