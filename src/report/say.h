/* say.h - figures as a person reads them: units of the job, three figures, signs, money, scales.
 *
 * Every text is allocated in the arena given; "" without memory, and the arena's owner learns it at the end
 * (say_lost). Threads  one `say` belongs to one thread. */
#ifndef STANCH_REPORT_SAY_H
#define STANCH_REPORT_SAY_H

#include "plan/plan.h"

typedef struct {
    arena *memory;
    units_system system;
    const char *currency;
    bool failed; /* an allocation failed: what was shown since is not whole */
} say;

/* Formatted text in the arena. */
const char *say_print(say *s, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Value with its unit, to about three figures ("0.462 l", "37 mm", "12.5 kg"). */
const char *say_value(say *s, units_quantity q, double si);
const char *say_maybe(say *s, units_quantity q, maybe value); /* "not known" */
/* The number alone, three figures, for columns whose heading has the unit. */
const char *say_number(say *s, units_quantity q, double si);
/* "m", "ft": symbol of a quantity in the job's units. */
const char *say_unit(const say *s, units_quantity q);
/* Level or chainage with two decimals; `signed_`: "+2.40 m". */
const char *say_length(say *s, double length_m);
const char *say_level(say *s, double level_m);
/* "25 x 37 mm": width by depth. */
const char *say_slot(say *s, double width_m, double depth_m);
/* "2 min 30 s", "45 min", "2 h 10 min". */
const char *say_time(say *s, double seconds);
const char *say_crew_days(say *s, double days); /* 1 crew day, 4.5 crew days */
/* "12 345.60"; spaces do not break. */
const char *say_money(say *s, double amount);
/* A plain number without trailing zeros, at most `decimals`. */
const char *say_plain(say *s, double value, int decimals);

/* "1:50"; on a US job "1/4 in = 1 ft (1:48)". */
const char *say_scale(say *s, double scale);

/* Words for a person where the survey's words are file words ("tie hole", not "tie_hole"). */
extern const char *const say_kind_words[KIND_COUNT];

/* Faces that a defect lies on: "North wall, East wall". */
const char *say_faces(say *s, const survey *from, const survey_defect *d);

#endif
