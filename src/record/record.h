/* record.h - what was done at the wall: one record a thing done, found or used; never changed, only corrected by
 * another record.
 *
 * A record is a plain object described by one table (survey/fields.h): reading in the job's units, writing, and the
 * range of every value come from it. The device that makes a record gives it its id, so that sent twice it is one.
 * `seen` is the last `seq` that the device knew of.
 *
 * Conflict  two records of different devices that say the same about one leak and step, the later of which was made
 *   without having seen the earlier (its `seen` is below the other's seq). The same: start, finish and hold by their
 *   word; found and used by the material that they name, or, naming none, by a kind of value that both give. A
 *   conflict is open until a later correction about one of the two, or a later `settled` that names both.
 * Limits  found with text alone says nothing that can be compared. At most RECORD_CONFLICTS_MOST are listed.
 * Units  SI inside.   Threads  no shared state. */
#ifndef STANCH_RECORD_RECORD_H
#define STANCH_RECORD_RECORD_H

#include "survey/fields.h"

typedef enum {
    RECORD_START,
    RECORD_FINISH,
    RECORD_HOLD, /* a hold point, ticked by a named person */
    RECORD_FOUND,
    RECORD_USED,
    RECORD_PHOTO,
    RECORD_NOTE,
    RECORD_CORRECTION, /* about one record: what stands here goes before what stood there */
    RECORD_SETTLED,    /* about one, other the second: a person has seen the conflict of the two */
    RECORD_LEVEL,      /* reading of a tank under test; mark "site" */
    RECORD_PROOF,      /* hand, blotter, drips at a leak, at a water level */
    RECORD_DEVIATION,  /* why something was done otherwise than planned: by whom, in words */
    RECORD_WHATS
} record_what;
extern const char *const record_what_words[RECORD_WHATS];

enum { RECORD_HANDS = 3, RECORD_BLOTTERS = 2 };
extern const char *const record_hand_words[RECORD_HANDS];       /* dry damp wet: what a dry hand picks up */
extern const char *const record_blotter_words[RECORD_BLOTTERS]; /* clean marked */

enum { RECORD_STEPS = 28 };
extern const char *const record_step_words[RECORD_STEPS]; /* steps of a card, as plan.h has them */

typedef struct {
    const char *id, *mark; /* mark: a leak's, or "site" */
    record_what what;
    const char *step, *at, *by, *device; /* at: YYYY-MM-DDTHH:MM:SSZ */
    double seen;
    const char *about, *other;
    maybe length_m, width_m, depth_m, cover_m, volume_m3, time_s;
    const char *material; /* its id; powder, water and packs are of it */
    maybe powder_kg, water_m3, packs, people, hours, air_c, wall_c, leak_water_c, humidity_percent;
    const char *photo, *text;
    const char *wetness;        /* found: one of survey_wetness_words */
    maybe from_m, to_m;         /* proof: stretch of the trace; neither: the whole leak */
    const char *hand;           /* proof: one of record_hand_words */
    const char *blotter;        /* proof: one of record_blotter_words */
    maybe drips_per_min;        /* proof */
    maybe water_level_m;        /* proof: elevation of the water behind the face then */
    const char *tank;           /* level: id of the tank */
    maybe level_m, pan_level_m; /* level: of the water above any fixed mark, in the tank and in the pan */
    maybe rain_m;               /* level: fallen since the reading before */
    maybe tank_water_c;         /* level */
    long long seq;              /* in the job file; not part of the JSON */
} record;

extern const survey_fields record_fields;

/* Read one object in the units of `in` and check it by the rules; texts go to in->memory. Every fault goes to the list
 * of `in` as a sentence. `now` (YYYY-MM-DDTHH:MM:SSZ, checked by the caller): no record is more than RECORD_AHEAD_S
 * later. True when it is good. */
#define RECORD_AHEAD_S 86400 /* our default: clocks of phones, time zones set wrong */
bool record_read(json_in *in, const json_path *at, json_t *object, const char *now, record *out);

/* The members that are given, into an object that the caller has opened. */
void record_write(json_out *o, const record *r);

/* The canonical body that is stored: metric, one line; the same record gives the same bytes. */
void record_write_body(const record *r, text *to);

/* Read a stored body. Ranges hold, the clock and the rules do not count: what was kept stays readable. E_FORMAT when it
 * is damaged. */
status record_read_body(const char *body, arena *memory, record *out, fault *why);

/* Values that were typed in US units with up to 12 digits, and stored in metric ones, as they were typed: 2 in 100 come
 * back off by the last bit, and would show as 0.33000000000000007. */
void record_as_typed(record *r, units_system system);

/* Seconds from 1970-01-01T00:00:00Z of a time in UTC; false when `t` (NULL: false) is none or before the year 2000. */
bool record_time(const char *t, long long *seconds);

/* Is the member of that name one that tells which record it is, when and by whom? A correction has its own of these. */
bool record_is_head(const char *name);

/* What a correction gives, over what stood in the record that it is about; what it does not give stays. True when it gives a
 * value: words and a photo do not count as one. */
bool record_lay_over(record *r, const record *by);

bool record_is_uuid(const char *t); /* lower-case 8-4-4-4-12; NULL: false */

enum { RECORD_CONFLICTS_MOST = 1000 };

typedef struct {
    const record *a, *b; /* b has the later seq */
    const char *sentence;
} record_conflict;

typedef struct {
    record_conflict *items; /* by the seq of b, then of a */
    size_t n;
    bool more; /* there are others beyond RECORD_CONFLICTS_MOST */
} record_conflict_list;

/* The open conflicts among `n` records of one job in order of seq. O(n log n) and the conflicts found. */
status record_conflicts(const record *records, size_t n, arena *memory, record_conflict_list *out,
                        fault *why);

#endif
