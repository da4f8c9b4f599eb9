/* The sentences of a cure. */
#include "core/date.h"
#include "works/moist_parts.h"

enum { DAY_MIN = 1440 };

static const char *const days[] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
static const char *const months[] = {"January", "February", "March",     "April",   "May",      "June",
                                     "July",    "August",   "September", "October", "November", "December"};

const char *moist_clock(const moist_air *air, long long minute, arena *memory) {
    long long day = minute >= 0 ? minute / DAY_MIN : (minute + 1) / DAY_MIN - 1;
    int of_day = (int)(minute - day * DAY_MIN);
    if (!air->dated) return arena_print(memory, "day %lld, %02d:%02d", day + 1, of_day / 60, of_day % 60);
    long long date = air->first_day + day;
    calendar_day at = date_of_days(date);
    int week_day = (int)(((date + 3) % 7 + 7) % 7); /* 1970-01-01 was a Thursday */
    if (air->s->site.system == UNITS_US)
        return arena_print(memory, "%s %s %d %02d:%02d", days[week_day], months[at.month - 1], at.day,
                           of_day / 60, of_day % 60);
    return arena_print(memory, "%s %d %s %02d:%02d", days[week_day], at.day, months[at.month - 1],
                       of_day / 60, of_day % 60);
}

const char *moist_visit_text(const survey_face *face, const char *marks, cure_visit_kind kind,
                             moist_cover cover, bool frost, arena *memory) {
    static const char *const held[] = {"", ", wet cloth held to it", ", wet cloth under a sheet"};
    const char *name = face->name ? face->name : face->id;
    if (frost)
        return arena_print(memory, "%s: look at %s; no misting in frost, keep it covered and warm", name,
                           marks);
    const char *work = kind == CURE_VISIT_UNCOVER ? "uncover, look and mist"
                       : kind == CURE_VISIT_COVER ? "mist and cover until the next shift:"
                                                  : "look and mist";
    return arena_print(memory, "%s: %s %s%s", name, work, marks, held[cover]);
}

const char *moist_alarm_text(const moist_air *air, const moist_alarm *alarm, arena *memory) {
    static const char *const before[CURE_ALARMS] = {
        "Down to ",           "Down to ",           "Up to ",
        "Evaporation up to ", "Evaporation up to ", "Condensation of up to "};
    bool degrees = alarm->kind <= CURE_HOT;
    double value = alarm->kind == CURE_WET ? -alarm->worst : alarm->worst;
    char shown[UNITS_SHOWN];
    units_show(degrees ? UNITS_TEMPERATURE : UNITS_COVERAGE, air->s->site.system, value, degrees ? 0 : 2,
               shown);
    const char *from = moist_clock(air, alarm->from_min, memory),
               *to = moist_clock(air, alarm->to_min, memory);
    if (!from || !to) return NULL;
    return arena_print(memory, "%s%s%s from %s to %s. %s.", before[alarm->kind], shown,
                       degrees ? "" : " an hour", from, to, cure_alarm_words[alarm->kind]);
}

status moist_add_text(arena *memory, const char ***list, size_t *n, const char *sentence, fault *why) {
    const char **longer = sentence ? arena_push(memory, *list, n, sizeof *longer) : NULL;
    if (!longer) return fault_memory(why);
    longer[*n - 1] = sentence;
    *list = longer;
    return OK;
}
