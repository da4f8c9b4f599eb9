/* Who does what when, as a stage of the plan: the order of the planes goes in, the works come out. */
#include "plan/parts.h"

#include <string.h>

/* A leak's place in its plane's drawn order is that of its last step: a relief closes last. */
static void order_plane(const plan_plane *plane, size_t *after) {
    const plugging_outcome *o = &plane->run.orders[plane->run.drawn];
    size_t before = SIZE_MAX;
    for (size_t i = 0; i < o->steps_n; i++) {
        size_t leak = plane->group->owners[o->steps[i].on.panel].defect;
        bool last = true;
        for (size_t k = i + 1; last && k < o->steps_n; k++)
            last = plane->group->owners[o->steps[k].on.panel].defect != leak;
        if (!last) continue;
        after[leak] = before;
        before = leak;
    }
}

status plan_works(const plan *p, const works_options *options, arena *memory, works_plan *out, fault *why) {
    works_options with = *options;
    size_t *after = arena_get(memory, p->n_leaks, sizeof *after);
    if (!after) return fault_memory(why);
    for (size_t i = 0; i < p->n_leaks; i++) after[i] = SIZE_MAX;
    for (size_t i = 0; i < p->n_planes; i++)
        if (!p->planes[i].problem && !p->planes[i].steady) order_plane(&p->planes[i], after);
    with.after_leak = after;
    const works_stages job = {p->survey, p->leaks, p->designs, &p->takeoff, &p->price};
    return works_make(&job, &with, memory, out, why);
}

status plan_find_rounds(plan *p, fault *why) {
    arena *memory = arena_new(); /* years of air, of which the first days are looked at */
    moist_air air;
    status code = memory ? moist_air_make(p->survey, p->survey->site.work.start_on, (maybe){false, 0}, memory,
                                          &air, why)
                         : fault_memory(why);
    for (int lie = 0; code == OK && lie < LIE_COUNT; lie++)
        p->rounds[lie] = moist_round_of(&air, (survey_lie)lie);
    arena_free(memory);
    return code;
}

/* The planes give the order of plugging, all else is in what the price read. */
static status hash_works(plan *p, fault *why) {
    text in = {0};
    text_add(&in, p->price_hash);
    for (size_t i = 0; i < p->n_planes; i++) text_add(&in, p->planes[i].hash);
    hash_text(text_get(&in), in.length, p->works_hash);
    bool failed = in.failed;
    text_free(&in);
    return failed ? fault_memory(why) : OK;
}

static status tell_moved(plan *p, const works_plan *before, fault *why) {
    works_moved *list;
    status code = again_compare(before, p->works, p->memory, &list, &p->n_moved, why);
    p->moved = list;
    return code;
}

status plan_add_works(plan *p, const plan_options *options, progress *how_far, fault *why) {
    works_plan *works = arena_get(p->memory, 1, sizeof *works);
    if (!works) return fault_memory(why);
    progress_say(how_far, "who does what when");
    status code = hash_works(p, why);
    if (code != OK) return code;
    const works_options of = {.seed = PLAN_WORKS_SEED, .stop = options->stop, .past = options->past};
    code = plan_works(p, &of, p->memory, works, why);
    if (code == E_MEMORY) return code;
    progress_add(how_far, progress_works_ms(how_far));
    if (code == OK) {
        p->works = works;
        return options->past && options->past->before ? tell_moved(p, options->past->before, why) : OK;
    }
    p->works_problem =
        arena_copy(p->memory, why->text); /* a job that nobody can do yet is planned all the same */
    return p->works_problem ? OK : fault_memory(why);
}
