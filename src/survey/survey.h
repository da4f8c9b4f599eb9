/* survey.h - the job as seen at the wall, and what the firm brings to it: the input of every stage.
 *
 * One `survey` is one job: site and water, faces with their folds, defects by chalk mark with stations and
 * readings, materials, rates and prices, and the answers that named people gave to findings. It is plain
 * data: survey_check says whether it hangs together, store/ keeps it, import and export carry it. All of it,
 * texts too, lives in `memory`.
 *
 * Geometry  A face is flat. (u, v) are metres on it, seen from the dry side: u to the right; v up on a wall,
 * away from the reader on a floor or soffit. Elevation of a wall point = elevation_m + v; of a floor or
 * soffit = elevation_m. `elevation` is always that of the dry face (trade rule 3). Units  SI inside (m, m3,
 * s, kg, Pa), degrees Celsius; money in the job's currency. A value that was not measured is `maybe` with
 * known = false. A text that was not given is NULL. Threads  no shared state. */
#ifndef STANCH_SURVEY_SURVEY_H
#define STANCH_SURVEY_SURVEY_H

#include "core/json_in.h" /* maybe, arena */
#include "geom/face.h"

typedef enum { LIE_WALL, LIE_FLOOR, LIE_SOFFIT, LIE_COUNT } survey_lie;
typedef enum { BEHIND_GROUND, BEHIND_TANK, BEHIND_COUNT } survey_behind;
typedef enum { KNOWN_MEASURED, KNOWN_TOLD, KNOWN_ASSUMED, KNOWN_COUNT } survey_known;
typedef enum {
    KIND_CRACK,
    KIND_JOINT,       /* construction joint */
    KIND_TIE_HOLE,    /* point */
    KIND_PENETRATION, /* pipe through the concrete: point with a diameter */
    KIND_HONEYCOMB,   /* area */
    KIND_COUNT
} survey_kind;
typedef enum { WET_DRY, WET_DAMP, WET_SEEP, WET_DRIP, WET_RUN, WET_JET, WET_COUNT } survey_wetness;
typedef enum { BAR_NOT_SCANNED, BAR_NONE, BAR_CROSSING, BAR_ALONG, BAR_COUNT } survey_bar;
typedef enum { SLOT_SAWN, SLOT_CHIPPED, SLOT_FACES_COUNT } survey_slot_faces;
typedef enum { ROLE_PLUG, ROLE_SLURRY, ROLE_PACK, ROLE_RESIN, ROLE_SEALANT, ROLE_COUNT } survey_role;
typedef enum { BASIS_PUBLISHED, BASIS_DEFAULT, BASIS_OWN, BASIS_COUNT } survey_basis;
typedef enum { STATE_UNCUT, STATE_CUT, STATE_COUNT } survey_state;
typedef enum { STOP_UNKNOWN, STOP_NONE, STOP_THERE, STOP_COUNT } survey_waterstop; /* of a joint */
typedef enum {
    FAR_UNKNOWN,
    FAR_CLOSED,
    FAR_OPEN,
    FAR_COUNT
} survey_far_side; /* can the wet side be reached? */
typedef enum {
    RESIN_NONE, /* not for injection */
    RESIN_CEMENT,
    RESIN_EPOXY,
    RESIN_POLYURETHANE,
    RESIN_ACRYLATE,
    RESIN_COUNT
} survey_resin;

/* Ways to treat a leak. */
typedef enum {
    METHOD_SLOT_PLUG, /* slot, plug, coat, pack, coat */
    METHOD_SLOT_PACK, /* slot, coat, pack, coat: no running water */
    METHOD_COAT,      /* coat only */
    METHOD_HOLE,      /* tie hole: drilled clean, plugged, packed, coated */
    METHOD_RING,      /* ring slot round a pipe */
    METHOD_CUT_BACK,  /* honeycomb cut back to sound concrete, packed, coated */
    METHOD_INJECT_CEMENT,
    METHOD_INJECT_EPOXY,
    METHOD_INJECT_POLYURETHANE,
    METHOD_INJECT_ACRYLATE,
    METHOD_FLEXIBLE, /* rout and flexible seal */
    METHOD_DRAIN,    /* channel that collects the water and leads it away */
    METHOD_WATCH,    /* leave and watch */
    METHOD_ENGINEER, /* no design until a named person has answered */
    METHOD_COUNT
} survey_method;
#define METHOD_BIT(method) (1u << (method))

/* How a face is reached; ACCESS_LIFT takes one of the site's lifts as long as somebody works there. */
typedef enum { ACCESS_GROUND, ACCESS_LADDER, ACCESS_LIFT, ACCESS_COUNT } survey_access;

/* Plant that is there in limited number. */
typedef enum {
    PLANT_CUTTER, /* saw or chipping hammer, with its water or shroud */
    PLANT_DRILL,
    PLANT_MIXER,
    PLANT_COMPRESSOR, /* feeds chipping hammers */
    PLANT_LIFT,
    PLANT_VACUUM, /* catches wash water, slurry and dust */
    PLANT_PUMP,   /* injects */
    PLANT_COUNT
} survey_plant;

enum { SURVEY_WEEK_DAYS = 7 };

/* Published rules for the width that may heal by itself or is permitted; diagnose/healing.h has them. */
typedef enum {
    HEALING_EN1992_3,
    HEALING_DAFSTB,
    HEALING_FIB2020,
    HEALING_FIB2020_HEALING,
    HEALING_ACI224R,
    HEALING_AS3735,
    HEALING_BS8007,
    HEALING_BS8007_APPEARANCE,
    HEALING_ACI350,
    HEALING_ACI350_SEVERE,
    HEALING_HS2,
    HEALING_RULES
} survey_healing;

/* Watertightness agreed for the job, by the name of its class; diagnose/tightness.h says what each asks. */
typedef enum {
    TIGHT_NOT_AGREED,
    TIGHT_ZTV_1,
    TIGHT_ZTV_2,
    TIGHT_ZTV_3,
    TIGHT_BS8102_1A,
    TIGHT_BS8102_1B,
    TIGHT_BS8102_2,
    TIGHT_BS8102_3,
    TIGHT_EN1992_3_0,
    TIGHT_EN1992_3_1,
    TIGHT_EN1992_3_2,
    TIGHT_EN1992_3_3,
    TIGHT_GB50108_1,
    TIGHT_GB50108_2,
    TIGHT_GB50108_3,
    TIGHT_GB50108_4,
    TIGHT_COUNT
} survey_tightness;

/* Published criteria of a tank test, by name; accept/watertest.h says what each allows. */
typedef enum {
    CRITERION_AWWA_D110,
    CRITERION_ACI_AWWA_1978,
    CRITERION_ACI350_NML,
    CRITERION_ACI350_025,
    CRITERION_ACI350_050,
    CRITERION_ACI350_075,
    CRITERION_ACI350_100,
    CRITERION_BS5337,
    CRITERION_BS8007,
    CRITERION_EN1610_PIPE,
    CRITERION_EN1610_PIPE_MANHOLE,
    CRITERION_EN1610_CHAMBER,
    CRITERION_PRECAST,
    CRITERION_COUNT
} survey_criterion;
typedef enum { PAN_UNKNOWN, PAN_OPEN, PAN_COVERED, PAN_COUNT } survey_pan; /* does rain fall into it? */

/* Words as they stand in files and on screens, indexed by the enums above. */
extern const char *const survey_lie_words[LIE_COUNT];         /* wall floor soffit */
extern const char *const survey_behind_words[BEHIND_COUNT];   /* ground tank */
extern const char *const survey_known_words[KNOWN_COUNT];     /* measured told assumed */
extern const char *const survey_kind_words[KIND_COUNT];       /* crack joint tie_hole penetration honeycomb */
extern const char *const survey_wetness_words[WET_COUNT];     /* dry damp seep drip run jet */
extern const char *const survey_bar_words[BAR_COUNT];         /* not_scanned none crossing along */
extern const char *const survey_slot_words[SLOT_FACES_COUNT]; /* sawn chipped */
extern const char *const survey_role_words[ROLE_COUNT];       /* plug slurry pack resin sealant */
extern const char *const survey_basis_words[BASIS_COUNT];     /* published default own */
extern const char *const survey_state_words[STATE_COUNT];     /* uncut cut */
extern const char *const survey_waterstop_words[STOP_COUNT];  /* unknown none there */
extern const char *const survey_far_words[FAR_COUNT];         /* unknown closed open */
extern const char *const survey_resin_words[RESIN_COUNT];     /* none cement epoxy polyurethane acrylate */
extern const char
    *const survey_method_words[METHOD_COUNT]; /* slot_plug slot_pack coat ... inject_cement ... engineer */
extern const char *const survey_access_words[ACCESS_COUNT]; /* ground ladder lift */
extern const char *const survey_plant_words[PLANT_COUNT]; /* cutter drill mixer compressor lift vacuum pump */
extern const char *const survey_day_words[SURVEY_WEEK_DAYS];  /* mon tue wed thu fri sat sun */
extern const char *const survey_healing_words[HEALING_RULES]; /* en1992_3 dafstb ... hs2 */
extern const char
    *const survey_tightness_words[TIGHT_COUNT]; /* not_agreed ztv_1 ... bs8102_1a ... gb50108_4 */

extern const char *const survey_criterion_words[CRITERION_COUNT]; /* awwa_d110 ... precast */
extern const char *const survey_pan_words[PAN_COUNT];             /* unknown open covered */

/* Signs that send a leak to a person (trade rules 14, 15). STOP signs come first. */
typedef enum {
    SIGN_GROWING,
    SIGN_OFFSET,    /* the two faces of the crack stand apart */
    SIGN_BULGING,   /* bulging or leaning */
    SIGN_PRESTRESS, /* prestressed or post-tensioned member */
    SIGN_SOIL,      /* soil carried by the water */
    SIGN_BAR_CUT,   /* a bar cut or with section lost */
    SIGN_DRAINAGE,  /* sealing takes drainage from a part not known to bear full head or uplift */
    SIGN_STOP_COUNT,
    SIGN_RUST = SIGN_STOP_COUNT, /* rust stain without loss of section */
    SIGN_CAUSE_UNKNOWN,
    SIGN_MOVING,  /* opens and closes with season or load, told by a person */
    SIGN_SETTLED, /* cause known and ended */
    SIGN_COUNT
} survey_sign;
extern const char *const survey_sign_words[SIGN_COUNT];
#define SIGN_BIT(sign) (1u << (sign))

typedef face_point survey_point; /* u_m, v_m */

typedef struct {
    survey_point *points;
    size_t n_points;
} survey_ring; /* closed without repeating the first point */

typedef struct {
    maybe level_m; /* elevation of the water behind the face */
    survey_known known;
    const char *on; /* date, YYYY-MM-DD, or NULL */
} survey_level;

typedef struct {
    const char *id, *name;
    survey_lie lie;
    survey_behind behind;
    double thickness_m, elevation_m;
    survey_ring outline;
    survey_ring *openings;
    size_t n_openings;
    survey_far_side far_side;
    survey_access access;
    maybe
        turn; /* faces are treated in rising turn, those of one turn side by side; not known: after the others, any order */
    survey_level today, design; /* where they differ from the site's */
    const char *origin;         /* where this came from, for faults ("walls.json: faces[2]"); not kept */
} survey_face;

/* Two edges that are one line in space: point a[0] is b[0], a[1] is b[1]. */
typedef struct {
    const char *face_a, *face_b;
    survey_point a[2], b[2];
    const char *origin;
} survey_fold;

typedef struct {
    double chainage_m; /* along the trace from its first point, rising from station to station */
    maybe width_m;
    survey_wetness wetness;
    survey_bar bar;
    maybe cover_m, bar_diameter_m; /* cover: with BAR_CROSSING or BAR_ALONG, from the dry face */
} survey_station;

/* Collected volume over a time, or a count of drips (a rank, never litres). */
typedef struct {
    double from_m, to_m; /* stretch of the trace; 0, 0 at a point or area */
    maybe volume_m3, time_s, drips_per_min;
    survey_state state;
    const char *on;
} survey_flow;

typedef struct {
    double from_m, to_m; /* stretch of the trace where the waterstop lets water through */
} survey_open;

typedef struct {
    const char *file, *caption; /* path beside the job file */
} survey_photo;

/* One reading of a gauge set across a crack. Readings of one gauge rise in date. */
typedef struct {
    const char *gauge; /* its name; NULL: the leak has one */
    const char *on;
    double width_m;      /* as read; a gauge that tells a change may stand below 0 */
    maybe temperature_c; /* of the concrete; not known: the air log of the site */
} survey_reading;

/* A person's choice of method against the table. */
typedef struct {
    bool given;
    survey_method method; /* never METHOD_ENGINEER */
    const char *by, *on, *why;
} survey_overrule;

typedef struct {
    const char *on;
    double air_c; /* mean of the day */
} survey_air;

/* A stretch of a trace on one face. A crack that crosses a fold has one after another. */
typedef struct {
    const char *face;
    survey_point *points;
    size_t n_points;
} survey_part;

typedef struct {
    const char *mark;
    survey_kind kind;
    survey_part *parts; /* lines: one or more; tie hole, penetration: one point; honeycomb: one ring */
    size_t n_parts;
    maybe diameter_m; /* tie hole, penetration */
    survey_station *stations;
    size_t n_stations;
    survey_flow *flows;
    size_t n_flows;
    survey_reading *readings; /* by gauge, then by date */
    size_t n_readings;
    unsigned signs;       /* SIGN_BIT set */
    bool strength_wanted; /* the crack must carry force again */
    maybe
        movement_m; /* widest less narrowest in a year, told; a gauge that was read long enough comes first */
    maybe depth_m;  /* honeycomb: how deep it was found to go */
    unsigned excluded;        /* METHOD_BIT set: ways that may not be used here */
    survey_overrule overrule; /* given = false: the table decides */
    survey_slot_faces slot_faces;
    survey_waterstop waterstop; /* joint (trade rule 6); what follows: only where the stop is there */
    maybe cutoff_m;             /* depth of the stop from the dry face */
    survey_open *opens;         /* none given: not known */
    size_t n_opens;
    const char *tried;      /* what was tried before */
    const char *moved_from; /* mark of the repair that sent the water here; NULL: none known */
    const char *found_on;   /* date; NULL: with the survey */
    const char **notes;
    size_t n_notes;
    survey_photo *photos;
    size_t n_photos;
    const char *origin;
} survey_defect;

typedef struct {
    double size_kg, price; /* mass or, for resin and sealant, size_m3 in litres below */
    maybe size_m3;
    maybe shelf_life_days;
} survey_pack;

typedef struct {
    const char *id, *name, *data_note; /* "replace by your maker's data sheet" */
    survey_role role;
    survey_resin resin;     /* ROLE_RESIN: its family */
    maybe movement_percent; /* ROLE_SEALANT: movement class, of the joint's width */
    maybe bulk_kg_m3, particle_kg_m3, parts_powder, parts_water; /* powders */
    maybe density_kg_m3;                                         /* resin, sealant */
    maybe pot_life_s, set_time_s;                                /* at 20 C */
    maybe coverage_kg_m2;                                        /* slurry: powder per coat, first coat */
    maybe coverage_last_kg_m2;
    maybe lowest_c, highest_c; /* placing limits */
    survey_pack *packs;
    size_t n_packs;
    const char *origin;
} survey_material;

typedef struct {
    const char *id, *label, *unit, *source;
    double value;
    survey_basis basis;
    maybe low, high; /* what it may come out as, for the risk of the price (risk/risk.h); both or none */
} survey_rate;

typedef struct {
    const char *id, *label, *unit;
    double price;
    maybe low, high; /* as of a rate */
} survey_price;

/* A tank or pit that is tested by filling it. Its readings are records (record/record.h, `level`). */
typedef struct {
    const char *id, *name;
    double capacity_m3, plan_area_m2, depth_m;
    maybe wetted_area_m2; /* for criteria that allow so much on each m2 of it */
    survey_criterion criterion;
    maybe pan_factor; /* not known: 1 */
    survey_pan pan;
    const char *filled_on; /* date; NULL: not told */
    const char *origin;
} survey_tank;

typedef struct {
    const char *mark;                     /* a defect, or "site" */
    const char *finding, *by, *on, *what; /* code of the finding, name, date, what was decided */
} survey_answer;

/* Somebody of the crew and what he is able to do; all can wash, carry and look. */
typedef struct {
    const char *name;
    bool cuts, places, mixes; /* places: plug, coats, pack, resin, sealant */
} survey_worker;

/* Weather of one hour, measured, forecast or of a typical year. Wind as weather stations and services tell it, 10 m above the
 * ground; evaporation wants that at half a metre: SURVEY_WIND_LOW of it. */
typedef struct {
    double air_c, humidity_percent, wind_km_h;
} survey_weather;
typedef struct {
    const char *from; /* YYYY-MM-DDTHH:00 of its first hour; NULL: none */
    survey_weather *hours;
    size_t n;
} survey_forecast;
enum { SURVEY_YEAR_HOURS = 8760 };

/* Wind at 0.5 m to that at 10 m: ln(67.8 z - 5.42) at both heights, the profile over short grass of FAO Irrigation and
 * Drainage Paper 56, equation 47 (read through pages that quote it), used below its 2 m: computed by us, 3.349 / 6.512. */
#define SURVEY_WIND_LOW 0.51

/* When work is done: local time of the site, hours of the day. The shift is site.shift_h of work and the break within it; what was
 * not told is in work.h. */
typedef struct {
    const char *start_on,
        *back_on;   /* first day of work; day by which the place must be back in service; NULL: not told */
    maybe starts_h; /* shift: site.shift_h of work from then on; not known: 7, our default */
    maybe break_h,
        break_length_h; /* begins, lasts; not known: after half the shift, half an hour (our defaults) */
    unsigned days;      /* bit 0 Monday to bit 6 Sunday; 0: Monday to Friday */
    maybe noise_from_h, noise_to_h; /* noisy work only between them */
    const char **holidays;          /* dates, rising */
    size_t n_holidays;
    maybe plant[PLANT_COUNT]; /* how many; not known: one (our default) */
    survey_worker *workers;   /* none: site.crew people who can do everything */
    size_t n_workers;
} survey_work;

typedef struct {
    const char *name, *place, *client_note;
    units_system system;
    char currency[4];            /* ISO 4217 */
    bool letter_paper, enclosed; /* enclosed: basement, pit, tank (silica table; confined space) */
    bool drinking_water, hazardous_liquid, materials_approved;
    survey_level today, design;
    maybe retained_top_m; /* elevation of the top of what the building holds back */
    maybe air_c, wall_c, leak_water_c, mix_c;
    double crew, shift_h;
    maybe days_to_start; /* from buying to first use, against shelf life */
    survey_work work;
    bool
        still_air; /* tunnel, basement: air_c, humidity and no wind all the time, whatever the weather outside */
    maybe humidity_percent;   /* of the air at the wall */
    survey_forecast forecast; /* typed or imported; before the typical year */
    survey_weather *year;     /* hours of a typical year from 1 January 0 h; NULL: none */
    size_t n_year;            /* 0 or SURVEY_YEAR_HOURS */
    survey_healing healing;
    survey_tightness tightness;
    unsigned excluded;          /* METHOD_BIT set: ways that may not be used in this job */
    maybe coldest_c, warmest_c; /* of the wall in the coming year; before the typical year */
    survey_air *air;            /* log of the air, one a day, rising */
    size_t n_air;
    const char *high_water_on; /* date of the next high water, as told; NULL: not known */
    const char *warranty;      /* its basis, in the user's words */
    double *typical_c; /* mean of the air on each of 365 days from 1 January, of a typical year; NULL: none */
    size_t n_typical;  /* 0 or SURVEY_YEAR_DAYS */
} survey_site;
enum { SURVEY_YEAR_DAYS = 365 };

typedef struct {
    arena *memory;
    survey_site site;
    survey_face *faces;
    size_t n_faces;
    survey_fold *folds;
    size_t n_folds;
    survey_defect *defects;
    size_t n_defects;
    survey_material *materials;
    size_t n_materials;
    survey_rate *rates;
    size_t n_rates;
    survey_price *prices;
    size_t n_prices;
    survey_answer *answers;
    size_t n_answers;
    survey_tank *tanks;
    size_t n_tanks;
} survey;

survey *survey_new(void);    /* empty, metric, EUR; NULL without memory */
void survey_free(survey *s); /* NULL is fine */

const survey_face *survey_find_face(const survey *s, const char *id);           /* NULL when absent */
const survey_defect *survey_find_defect(const survey *s, const char *mark);     /* exact mark */
const survey_tank *survey_find_tank(const survey *s, const char *id);           /* NULL when absent */
const survey_material *survey_find_role(const survey *s, survey_role role);     /* the first of that role */
const survey_material *survey_find_resin(const survey *s, survey_resin family); /* the first of that family */
bool survey_is_line(survey_kind kind);                                          /* crack, joint */

/* Is it known how a joint lets water through: no waterstop, or one with its depth and open places (trade rule 6)? */
bool survey_stop_known(const survey_defect *d);

#endif
