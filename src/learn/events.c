/* One share out of what happened at single leaks. */
#include "learn/parts.h"
#include "learn/share.h"

typedef struct {
    size_t happened, leaks, jobs;
} counted;

/* Of a kind, of an access, of all (neither). */
typedef struct {
    bool by_kind, by_access;
    survey_kind kind;
    survey_access access;
} class_of;

static bool is_in(const learn_event *e, const class_of *c) {
    return (!c->by_kind || e->kind == c->kind) && (!c->by_access || e->access == c->access);
}

static counted count(const learn_event *const *events, size_t n, const class_of *c) {
    counted all = {0};
    const learn_event *last = NULL;
    for (size_t i = 0; i < n; i++) {
        if (!is_in(events[i], c)) continue;
        all.leaks++;
        all.happened += events[i]->happened;
        all.jobs += !last || last->job != events[i]->job;
        last = events[i];
    }
    return all;
}

static learn_estimate in_percent(share_interval share, const counted *of) {
    return (learn_estimate){100 * share.mean, 100 * share.low, 100 * share.high, of->leaks, of->jobs};
}

/* A class is shrunk toward the firm's other leaks, so that none counts twice. */
static status add_class(const learning *l, double p0, const learn_event *const *events, size_t n,
                        const class_of *which, learn_rate *out) {
    counted in = count(events, n, which), all = count(events, n, &(class_of){0});
    if (!in.leaks || in.leaks == all.leaks) return OK; /* none, or nothing to differ from */
    learn_class *c = learn_add_class(
        l, out, which->by_kind ? learn_kind_said(which->kind) : survey_access_words[which->access]);
    if (!c) return fault_memory(l->why);
    share_interval others =
        share_of(p0, LEARN_SHARE_WEIGHT, all.happened - in.happened, all.leaks - in.leaks);
    share_interval own = share_of(others.mean, LEARN_SHARE_WEIGHT, in.happened, in.leaks);
    c->estimate = in_percent(own, &in);
    c->differs = own.low > others.mean || own.high < others.mean;
    return OK;
}

status learn_of_events(const learning *l, const survey_rate *shipped, const learn_event *const *events,
                       size_t n, learn_rate *out) {
    double p0 = shipped->value / 100;
    counted all = count(events, n, &(class_of){0});
    out->estimate = in_percent(share_of(p0, LEARN_SHARE_WEIGHT, all.happened, all.leaks), &all);
    out->weight = (double)all.leaks / (LEARN_SHARE_WEIGHT + (double)all.leaks);
    status code = OK;
    for (int k = 0; code == OK && k < KIND_COUNT; k++)
        code = add_class(l, p0, events, n, &(class_of){.by_kind = true, .kind = (survey_kind)k}, out);
    for (int a = 0; code == OK && a < ACCESS_COUNT; a++)
        code = add_class(l, p0, events, n, &(class_of){.by_access = true, .access = (survey_access)a}, out);
    return code;
}
