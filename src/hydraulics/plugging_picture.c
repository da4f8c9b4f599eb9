#include "core/mem.h"
#include "hydraulics/plugging_parts.h"

#include <math.h>

/* Heads of all dofs of the mesh: the kept ones as the state has them, the others from them. */
static status all_heads(plugging_model *m, const plugging_state *s, double *head_m, arena *scratch,
                        fault *why) {
    double *x = arena_get(scratch, (size_t)m->unknowns, sizeof *x);
    if (!x) return fault_memory(why);
    status code = m->kept_n > 0 ? sparse_expand(&m->condensed, m->whole_load, s->head_m, x, why) : OK;
    for (int i = 0; i < m->mesh->dofs; i++)
        head_m[i] = m->equation[i] >= 0 ? x[m->equation[i]] : m->held_m[i];
    return code;
}

/* The field of each panel from the heads of all dofs. */
static status draw_heads(const plugging_model *m, const plugging_input *in, const double *head_m,
                         arena *memory, plugging_picture *out, fault *why) {
    size_t nx = (size_t)in->picture_nx, ny = (size_t)in->picture_ny;
    out->head_m = arena_get(memory, m->plane->panels_n, sizeof *out->head_m);
    if (!out->head_m) return fault_memory(why);
    for (size_t p = 0; p < m->plane->panels_n; p++) {
        const plane_panel *panel = &m->plane->panels[p];
        double from_m = panel->stations[0].chainage_m,
               to_m = panel->stations[panel->stations_n - 1].chainage_m;
        out->head_m[p] = arena_get(memory, nx, ny * sizeof **out->head_m);
        if (!out->head_m[p]) return fault_memory(why);
        for (size_t k = 0; k < nx * ny; k++) {
            double x = (double)(k % nx) / (double)(nx - 1), y = (double)(k / nx) / (double)(ny - 1);
            plane_point at = {{p, from_m + x * (to_m - from_m)}, y * panel->thickness_m};
            if (!plane_head_at(m->mesh, head_m, m->reached, &at, &out->head_m[p][k]))
                out->head_m[p][k] = (double)NAN;
        }
    }
    return OK;
}

/* The flow along slot and dry face, an element a row; slot ends count to none. */
static status draw_face(const plugging_state *s, arena *memory, plugging_picture *out, fault *why) {
    const plane_mesh *mesh = s->m->mesh;
    out->face = arena_get(memory, mesh->sides_n, sizeof *out->face);
    out->flow_m2_s = arena_get(memory, mesh->sides_n, sizeof *out->flow_m2_s);
    if (!out->face || !out->flow_m2_s) return fault_memory(why);
    for (size_t i = 0; i < mesh->sides_n; i++) {
        const plane_side *side = &mesh->sides[i];
        if (side->kind != PLANE_DRY && side->kind != PLANE_BOTTOM) continue;
        out->face[out->face_n] = (plane_interval){side->panel, side->x_m[0], side->x_m[2]};
        out->flow_m2_s[out->face_n++] = plugging_state_side_m3_s(s, i) / side->length_m;
    }
    return OK;
}

/* Number in the model of each relief of the order. */
static size_t *find_reliefs(const plugging_model *m, const plugging_outcome *o, arena *scratch) {
    size_t *number = arena_get(scratch, o->reliefs_n, sizeof *number);
    for (size_t k = 0; k < o->reliefs_n && number; k++)
        for (size_t r = 0; r < m->reliefs_n; r++) {
            const plane_spot *a = &m->reliefs[r].at, *b = &o->reliefs[k].relief.at;
            if (a->panel == b->panel && fabs(a->chainage_m - b->chainage_m) < PLUGGING_TIE_M) number[k] = r;
        }
    return number;
}

static status draw(plugging_model *m, const plugging_input *in, arena *memory, arena *scratch,
                   plugging_result *out, fault *why) {
    const plugging_outcome *o = &out->orders[out->drawn];
    size_t *number = find_reliefs(m, o, scratch), done = 0;
    plugging_state *s;
    double *head_m = arena_get(scratch, (size_t)m->mesh->dofs, sizeof *head_m);
    if (!number || !head_m) return fault_memory(why);
    plugging_start from = {number, o->reliefs_n, NULL};
    status code = plugging_state_new(m, &from, scratch, &s, why);
    for (int p = 0; p < PLUGGING_PICTURES && code == OK; p++) {
        const size_t until[PLUGGING_PICTURES] = {0, o->steps_n / 2, o->steps_n - 1};
        for (; done < until[p] && code == OK; done++) {
            plane_spot middle = {o->steps[done].on.panel,
                                 (o->steps[done].on.from_m + o->steps[done].on.to_m) / 2};
            code = plugging_state_close(s, (size_t)plugging_cut_find(&m->cut, &middle), why);
        }
        out->pictures[p].closed = done;
        if (code == OK) code = all_heads(m, s, head_m, scratch, why);
        if (code == OK) code = draw_heads(m, in, head_m, memory, &out->pictures[p], why);
        if (code == OK) code = draw_face(s, memory, &out->pictures[p], why);
    }
    return code;
}

status plugging_draw(plugging_model *m, const plugging_input *in, arena *memory, plugging_result *out,
                     fault *why) {
    arena *scratch = arena_new();
    if (!scratch) return fault_memory(why);
    status code = draw(m, in, memory, scratch, out, why);
    arena_free(scratch);
    return code;
}
