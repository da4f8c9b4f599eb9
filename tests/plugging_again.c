#include "plugging_again.h"

#include "hydraulics/plane_parts.h"

#include <math.h>

typedef struct {
    double met_m3_s, total_m3_s, back_head_m;
    bool settled;
} answer;

static bool in_step(const plane_side *side, const plugging_step *step) {
    return (side->kind == PLANE_BOTTOM || side->kind == PLANE_SLOT_END) && side->panel == step->on.panel &&
           side->column_m > step->on.from_m && side->column_m < step->on.to_m;
}

static double back_head_m(const plane_state *s) {
    double most_m = 0;
    for (size_t i = 0; i < s->mesh->sides_n; i++) {
        const plane_side *side = &s->mesh->sides[i];
        if (!side->sealed || (side->kind != PLANE_BOTTOM && side->kind != PLANE_SLOT_END)) continue;
        for (int k = 0; k < 3; k++) {
            int dof = side->dof[k];
            if (s->reached[dof] && s->held[dof] != STATE_RELIEF)
                most_m = fmax(most_m, s->head_m[dof] - plane_side_level_m(s->mesh, side, k));
        }
    }
    return most_m;
}

/* The state with the first `closed` steps done; `met` is the flow of the step that comes next. */
static status solve(const plane_input *plane, const plugging_result *fast, const plugging_outcome *o,
                    size_t closed, answer *out, fault *why) {
    plane_mesh_options options = {.levels = PLUGGING_LEVELS, .lines = fast->lines, .lines_n = fast->lines_n};
    plane_mesh *m;
    plane_state s;
    arena *scratch = arena_new();
    if (!scratch) return fault_memory(why);
    status code = plane_mesh_build(plane, &options, scratch, &m, why);
    for (size_t i = 0; code == OK && i < m->sides_n; i++)
        for (size_t k = 0; k < closed; k++) m->sides[i].sealed |= in_step(&m->sides[i], &o->steps[k]);
    if (code == OK) code = plane_state_solve(plane, m, fast->flow_factor, scratch, &s, why);
    if (code == OK) {
        *out = (answer){.back_head_m = back_head_m(&s), .settled = s.settled};
        for (int i = 0; i < m->dofs; i++)
            if (s.held[i] == STATE_AIR) out->total_m3_s += s.leaves_m3_s[i];
        for (size_t r = 0; r < plane->reliefs_n; r++) out->total_m3_s += plane_relief_flow_m3_s(&s, r);
        if (closed < o->steps_n) out->met_m3_s = plane_interval_flow_m3_s(&s, &o->steps[closed].on, true);
    }
    arena_free(scratch);
    return code;
}

static void differ(const plugging_outcome *o, double flow, double head, const answer *slow,
                   plugging_difference *out) {
    double first = fmax(o->start_m3_s, 1e-12), most_m = fmax(o->shut_back_head_m, 1e-3);
    out->flow = fmax(out->flow, fabs(flow) / first);
    out->head = fmax(out->head, fabs(head) / most_m);
    out->unsettled |= !slow->settled;
}

status plugging_again(const plugging_input *in, const plugging_result *fast, const plugging_outcome *o,
                      plugging_difference *out, fault *why) {
    plane_input plane = in->plane;
    arena *memory = arena_new();
    *out = (plugging_difference){0};
    if (!memory) return fault_memory(why);
    plane_relief *reliefs = arena_get(memory, o->reliefs_n, sizeof *reliefs);
    status code = reliefs ? OK : fault_memory(why);
    for (size_t r = 0; r < o->reliefs_n && code == OK; r++) reliefs[r] = o->reliefs[r].relief;
    plane.reliefs = reliefs;
    plane.reliefs_n = o->reliefs_n;
    for (size_t k = 0; k <= o->steps_n && code == OK; k++) {
        answer slow;
        code = solve(&plane, fast, o, k, &slow, why);
        if (code != OK) break;
        double total = k == 0 ? o->start_m3_s : o->steps[k - 1].total_m3_s;
        double head =
            k == 0 ? slow.back_head_m : o->steps[k - 1].max_back_head_m; /* the start's is not told */
        differ(o, total - slow.total_m3_s, head - slow.back_head_m, &slow, out);
        if (k < o->steps_n) differ(o, o->steps[k].flow_m3_s - slow.met_m3_s, 0, &slow, out);
    }
    plane.reliefs_n = 0;
    answer shut;
    if (code == OK) code = solve(&plane, fast, o, o->steps_n, &shut, why);
    if (code == OK)
        differ(o, o->shut_m3_s - shut.total_m3_s, o->shut_back_head_m - shut.back_head_m, &shut, out);
    arena_free(memory);
    return code;
}
