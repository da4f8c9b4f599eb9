#include "survey/work.h"

#include "core/date.h"

#include <math.h>
#include <string.h>

work_shift work_shift_of(const survey_site *site) {
    const survey_work *w = &site->work;
    work_shift s = {.noise_from_h = w->noise_from_h.known ? w->noise_from_h.v : 0,
                    .noise_to_h = w->noise_to_h.known ? w->noise_to_h.v : 24};
    double break_h =
        w->break_length_h.known ? w->break_length_h.v : fmin(WORK_BREAK_LENGTH_H, 24 - site->shift_h);
    s.from_h = w->starts_h.known ? w->starts_h.v : fmax(0, fmin(WORK_STARTS_H, 24 - site->shift_h - break_h));
    s.to_h = s.from_h + site->shift_h + break_h;
    s.break_from_h = w->break_h.known ? w->break_h.v : s.from_h + site->shift_h / 2;
    s.break_to_h = s.break_from_h + break_h;
    return s;
}

int work_week_day(long long day) {
    return (int)(((day + 3) % 7 + 7) % 7); /* 1970-01-01 was a Thursday */
}

bool work_on_day(const survey_work *work, long long day) {
    const unsigned weekdays = 0x1F;
    unsigned days = work->days ? work->days : weekdays;
    if (!(days >> work_week_day(day) & 1u)) return false;
    for (size_t i = 0; i < work->n_holidays; i++) {
        long long off;
        if (date_day(work->holidays[i], &off) && off == day) return false;
    }
    return true;
}
