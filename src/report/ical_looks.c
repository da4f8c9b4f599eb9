#include "report/date.h"
#include "report/ical.h"

#include <stdio.h>
#include <string.h>

static const char *const said[REVISITS] = {"24 h", "7 days", "28 days", "high water"};

static bool is_wanted(const revisit *v) {
    return v->on && v->state != REVISIT_DONE;
}

static bool is_same(const revisit *a, const revisit *b) {
    return is_wanted(b) && a->kind == b->kind && strcmp(a->on, b->on) == 0;
}

static void add_date(text *out, const char *name, const char *on) {
    text_print(out, "%s;VALUE=DATE:%.4s%.2s%.2s\r\n", name, on, on + 5, on + 8);
}

/* The event of looks[at] and of those like it after it. */
static void add_event(text *out, const survey *s, const ical_options *options, const revisit *looks, size_t n,
                      size_t at) {
    char what[64];
    text summary = {0};
    text_print(&summary, "Look again, %s: ", said[looks[at].kind]);
    for (size_t i = at; i < n; i++)
        if (is_same(&looks[at], &looks[i])) text_print(&summary, "%s%s", i > at ? ", " : "", looks[i].mark);
    if (summary.failed) out->failed = true;
    snprintf(what, sizeof what, "proof look %d %.10s", (int)looks[at].kind, looks[at].on);
    ical_begin_event(out, s, options, what, text_get(&summary));
    add_date(out, "DTSTART", looks[at].on);
    ical_add_text(
        out, "DESCRIPTION",
        "Dry hand and blotting paper on every treated length; count drips; write down the water level.");
    text_add(out, "TRANSP:TRANSPARENT\r\nEND:VEVENT\r\n");
    text_free(&summary);
}

status report_looks_ical(const survey *s, const revisit *looks, size_t n, const ical_options *options,
                         text *out, fault *why) {
    size_t events = 0;
    status code = date_check(options->date, why);
    if (code != OK) return code;
    for (size_t i = 0; i < n; i++) events += is_wanted(&looks[i]);
    if (events == 0)
        return fault_set(why, E_STATE,
                         "no look is due on a day that is known: a repair is looked at again from its first "
                         "proof on");
    ical_begin(out, s, options);
    for (size_t i = 0; i < n; i++) {
        bool told = !is_wanted(&looks[i]);
        for (size_t k = 0; k < i && !told; k++) told = is_same(&looks[i], &looks[k]);
        if (!told) add_event(out, s, options, looks, n, i);
    }
    text_add(out, "END:VCALENDAR\r\n");
    return out->failed ? fault_memory(why) : OK;
}
