#include "plan/planes.h"

#include "plan/group.h"
#include "plan/parts.h"
#include "plan/progress.h"
#include "plan/show.h"

#include <math.h>
#include <pthread.h>
#include <stdatomic.h>
#include <string.h>

#define PLANE_MODEL "plane 4 " /* raised when the same inputs give another result */
enum { THREADS_MOST = 64 };

/* What the threads share. */
typedef struct {
    plan *p;
    planes_list today, past;
    atomic_size_t next;
    double past_limit_m3_s;
    progress *progress;
} running;

typedef struct {
    running *shared;
    status code;
    fault why;
} worker;

/* One group's part of the progress. */
typedef struct {
    progress *all;
    double weight, told; /* told: the part of it, 0 to 1 */
} share;

static void tell(void *to, double part) {
    share *s = to;
    progress_add(s->all, s->weight * (part - s->told));
    s->told = part;
}

/* Where the plane is not to be had the rest of the plan stands without it; the sentence is shown. */
static status run_one(const running *r, size_t i, fault *why) {
    plan_plane *plane = &r->p->planes[i];
    share part = {.all = r->progress, .weight = group_weight(plane)};
    const group_job job = {.p = r->p,
                           .past = plane->steady ? NULL : &r->past.groups[i],
                           .past_limit_m3_s = r->past_limit_m3_s,
                           .stop = r->progress->stop,
                           .progress = tell,
                           .progress_to = &part};
    status code = progress_stopped(r->progress, why);
    if (code != OK) return code;
    code = group_run(&job, plane, why);
    if (code == E_MEMORY) return code;
    if (progress_stopped(r->progress, NULL) != OK) return progress_stopped(r->progress, why);
    tell(&part, 1);
    if (code == OK) return OK;
    plane->problem = arena_copy(plane->memory, why->text);
    plane->run = (plugging_result){0};
    return plane->problem ? OK : fault_memory(why);
}

static bool is_to_run(const plan_plane *plane) {
    return plane->fresh && !plane->problem;
}

static void *work(void *data) {
    worker *w = data;
    for (;;) {
        size_t i = atomic_fetch_add(&w->shared->next, 1);
        if (i >= w->shared->p->n_planes || w->code != OK) return NULL;
        if (!is_to_run(&w->shared->p->planes[i])) continue;
        w->code = run_one(w->shared, i, &w->why);
        progress_next_plane(w->shared->progress);
    }
}

/* This thread works too; a thread that cannot be started only leaves more to the others. */
static status run_all(running *r, int threads, fault *why) {
    worker workers[THREADS_MOST] = {{0}};
    pthread_t started[THREADS_MOST];
    int n = threads < 1 ? 1 : threads > THREADS_MOST ? THREADS_MOST : threads, running_n = 0;
    for (int i = 0; i < n; i++) workers[i].shared = r;
    while (running_n < n - 1 && pthread_create(&started[running_n], NULL, work, &workers[running_n + 1]) == 0)
        running_n++;
    work(&workers[0]);
    for (int i = 0; i < running_n; i++) pthread_join(started[i], NULL);
    for (int i = 0; i < n; i++) {
        if (workers[i].code == OK) continue;
        if (why) *why = workers[i].why;
        return workers[i].code;
    }
    return OK;
}

/* What a plane reads: its leaks' designs, by their hashes. */
static void hash_plane(const plan *p, plan_plane *plane) {
    text in = {0};
    text_add(&in, PLANE_MODEL STANCH_VERSION);
    for (size_t i = 0; i < plane->group->n_leaks; i++)
        text_add(&in, p->hashes[plane->group->leaks[i]].design);
    hash_text(text_get(&in), in.length, plane->hash);
    text_free(&in);
}

static void take_known(plan_plane *plane, const plan_options *options) {
    plane->fresh = true;
    for (size_t i = 0; plane->fresh && i < options->n_known; i++)
        if (strcmp(options->known[i].hash, plane->hash) == 0)
            plane->fresh = !plan_read_plane(options->known[i].body, plane);
    plane->steady = plane->fresh && options->planes == PLANES_STEADY;
}

static bool is_wanted(const plan *p, const planes_group *group, const char *only) {
    bool wanted = !only;
    for (size_t i = 0; i < group->n_leaks && !wanted; i++)
        wanted = strcmp(p->leaks[group->leaks[i]].defect->mark, only) == 0;
    return wanted;
}

static status list_planes(plan *p, running *r, const plan_options *options, fault *why) {
    p->planes = arena_get(p->memory, r->today.n, sizeof *p->planes);
    if (!p->planes) return fault_memory(why);
    for (size_t i = 0; i < r->today.n; i++) {
        plan_plane *plane = &p->planes[i];
        plane->group = &r->today.groups[i];
        plane->memory = arena_new();
        if (!plane->memory) return fault_memory(why);
        p->n_planes = i + 1;
        hash_plane(p, plane);
        take_known(plane, options);
        if (plane->fresh && !is_wanted(p, plane->group, options->only))
            plane->problem = "it was not asked for";
        for (size_t k = 0; k < plane->group->n_leaks; k++) p->plane_of[plane->group->leaks[k]] = plane;
    }
    return OK;
}

/* ---- what the plan takes from a plane ---- */

static void take_relief(plan *p, const plan_plane *plane) {
    const plugging_outcome *drawn = &plane->run.orders[plane->run.drawn];
    for (size_t i = 0; i < plane->group->n_leaks; i++) {
        design_relief *relief = &p->designs[plane->group->leaks[i]].relief;
        if (relief->wanted)
            *relief =
                (design_relief){.reason = "its water leaves by the relief of the neighbour solved with it"};
    }
    for (size_t i = 0; i < drawn->reliefs_n; i++) {
        const plugging_relief *found = &drawn->reliefs[i];
        design_relief *relief = &p->designs[plane->group->owners[found->relief.at.panel].defect].relief;
        *relief = (design_relief){
            .wanted = true,
            .at_m = found->relief.at.chainage_m,
            .bore_m = plane->tube_bore_m,
            .depth_m = found->relief.depth_m,
            .flow_m3_s = {true, found->flow_m3_s},
            .back_head_m = {true, found->back_head_m},
            .reason = "place and bore follow from the crack plane: the order met there meets least"};
    }
}

static status ask_about_washout(plan *p, const plan_plane *plane, fault *why) {
    const plugging_outcome *drawn = &plane->run.orders[plane->run.drawn];
    if (drawn->over_washout == 0) return OK;
    const char *mark = p->leaks[plane->group->leaks[0]].defect->mark;
    const char *sentence = arena_print(
        p->memory,
        "%zu step%s of plugging meet%s more than %s, the limit above which fresh plug washes out (our "
        "default). A lower level, a second relief or suction: who decides?",
        drawn->over_washout, drawn->over_washout == 1 ? "" : "s", drawn->over_washout == 1 ? "s" : "",
        show_flow_metre(p, PLUGGING_WASHOUT_M2_S));
    if (!sentence) return fault_memory(why);
    return finding_add(p->survey, p->memory, &p->findings, FINDING_ASK, mark, "washout", sentence, why);
}

/* Does the slot run as far past the last wet mark as the plane asks? Common practice is what the design gave it. */
static status ask_about_past(plan *p, const plan_plane *plane, fault *why) {
    const survey_defect *d = p->leaks[plane->group->leaks[0]].defect;
    double given_m = 0.300;
    for (size_t i = 0; i < plane->group->n_leaks; i++)
        if (p->leaks[plane->group->leaks[i]].worst >= WET_RUN) given_m = 0.450;
    if (!plane->past_known || plane->past.past_m <= given_m) return OK;
    const char *wanted = isinf(plane->past.past_m) ? "further than 3 m" : show_length(p, plane->past.past_m);
    const char *sentence = arena_print(
        p->memory,
        "By the crack plane the seal must run on %s past the last wet mark; the slot runs %s, the common "
        "practice. Cut further, or watch the ends after all is shut: who decides?",
        wanted, show_length(p, given_m));
    if (!sentence) return fault_memory(why);
    return finding_add(p->survey, p->memory, &p->findings, FINDING_ASK, d->mark, "past", sentence, why);
}

static status take_planes(plan *p, fault *why) {
    status code = OK;
    for (size_t i = 0; code == OK && i < p->n_planes; i++) {
        if (p->planes[i].problem || p->planes[i].steady) continue;
        take_relief(p, &p->planes[i]);
        code = ask_about_washout(p, &p->planes[i], why);
        if (code == OK) code = ask_about_past(p, &p->planes[i], why);
    }
    return code;
}

/* What there is to compute, for the progress. */
static void weigh(running *r) {
    double weight = 0;
    size_t n = 0;
    for (size_t i = 0; i < r->p->n_planes; i++) {
        if (!is_to_run(&r->p->planes[i])) continue;
        weight += group_weight(&r->p->planes[i]);
        n++;
    }
    progress_set_planes(r->progress, n, weight);
}

status plan_run_planes(plan *p, const plan_options *options, progress *how_far, fault *why) {
    p->planes_on = options->planes != PLANES_OFF;
    if (!p->planes_on) return OK;
    running r = {.p = p,
                 .past_limit_m3_s = takeoff_rate(p->survey, "seal_past_limit_l_d") / 1000 / 86400,
                 .progress = how_far};
    status code = planes_find(p->survey, p->leaks, p->designs, false, p->memory, &r.today, why);
    if (code == OK && options->planes == PLANES_RUN)
        code = planes_find(p->survey, p->leaks, p->designs, true, p->memory, &r.past, why);
    if (code != OK) return code;
    p->plane_skipped = r.today.skipped;
    code = list_planes(p, &r, options, why);
    if (code != OK) return code;
    weigh(&r);
    code = run_all(&r, options->threads, why);
    return code == OK ? take_planes(p, why) : code;
}

/* ---- in words ---- */

/* Steps that go on from one another in one direction are one stretch. */
const char *plan_order_words(plan *p, const plan_plane *plane) {
    const plugging_outcome *o = &plane->run.orders[plane->run.drawn];
    text words = {0};
    for (size_t i = 0; i < o->steps_n;) {
        const plugging_step *first = &o->steps[i];
        size_t last = i;
        int way = 0;
        while (last + 1 < o->steps_n && o->steps[last + 1].on.panel == first->on.panel &&
               o->steps[last + 1].relief < 0 && first->relief < 0) {
            const plane_interval *a = &o->steps[last].on, *b = &o->steps[last + 1].on;
            int step = b->from_m == a->to_m ? 1 : b->to_m == a->from_m ? -1 : 0;
            if (step == 0 || (way != 0 && step != way)) break;
            way = step;
            last++;
        }
        const char *mark = p->leaks[plane->group->owners[first->on.panel].defect].defect->mark;
        double from = way < 0 ? first->on.to_m : first->on.from_m,
               to = way < 0 ? o->steps[last].on.from_m : o->steps[last].on.to_m;
        text_print(&words, "%s", i == 0 ? "" : first->relief >= 0 ? "; last the relief piece " : ", then ");
        if (plane->group->n_leaks > 1) text_print(&words, "%s ", mark);
        text_print(&words, "%s to %s", show_length(p, from), show_length(p, to));
        i = last + 1;
    }
    const char *copy = words.failed ? NULL : arena_copy(p->memory, text_get(&words));
    text_free(&words);
    return copy;
}
