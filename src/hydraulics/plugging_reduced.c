#include "core/mem.h"
#include "hydraulics/plugging_search.h"
#include "hydraulics/water.h"
#include "sparse/dense.h"

#include <math.h>
#include <string.h>

/* A pattern of flow out of the kept unknowns, its sum 1. */
typedef struct {
    double *weight; /* of each kept unknown */
    double sum;
} pattern;

static void add_weight(const plugging_model *m, const plane_side *side, int node, double weight,
                       pattern *to) {
    int at = m->index[side->dof[node]];
    if (at < 0) return;
    to->weight[at] += weight;
    to->sum += weight;
}

/* As water leaves the segment when the whole slot is open; where none does, even along it (Simpson's
 * weights). */
static void segment_pattern(const plugging_state *open, int segment, pattern *to) {
    static const double even[3] = {1.0 / 6, 4.0 / 6, 1.0 / 6};
    const plugging_model *m = open->m;
    for (int leaks = 1; leaks >= 0 && !(to->sum > 0); leaks--)
        for (size_t i = 0; i < m->mesh->sides_n; i++) {
            const plane_side *side = &m->mesh->sides[i];
            if (open->part[i] != segment || (leaks && !open->active[i])) continue;
            for (int k = 0; k < 3; k++) {
                int at = m->index[side->dof[k]];
                double weight = side->length_m * even[k];
                if (leaks && at >= 0)
                    weight = open->held[at] == HELD_AIR
                                 ? fmax(open->leaves_m3_s[at], 0) * side->length_m / open->share_m[at]
                                 : 0;
                add_weight(m, side, k, weight, to);
            }
        }
}

/* Even over the nodes of the outline that do not lie on the slot: what comes up there is the segment's. */
static void hole_pattern(const plugging_model *m, size_t relief, const bool *on_face, pattern *to) {
    for (int all = 0; all < 2 && !(to->sum > 0); all++)
        for (size_t k = 0; k < m->hole_n[relief]; k++) {
            int at = m->hole[relief][k];
            if (!all && on_face[at]) continue;
            to->weight[at] += 1;
            to->sum += 1;
        }
}

/* Forward substitution of a pattern, and its mean head and elevation with all closed. */
static void take_pattern(const plugging_state *shut, const pattern *p, size_t row, double *forward,
                         reduced *out) {
    const plugging_model *m = shut->m;
    for (int i = 0; i < shut->free_n; i++) {
        double weight = p->sum > 0 ? p->weight[shut->order[i]] / p->sum : 0;
        forward[i] = weight;
        out->head_m[row] += weight * shut->head_m[shut->order[i]];
        out->level_m[row] += weight * m->elevation_m[shut->order[i]];
        out->usable[row] |= weight > 0;
    }
    dense_solve_lower(shut->lower, shut->free_n, m->kept_n, forward);
}

/* A draining tube as a resistance: what it loses over what it passes when all else is closed. */
static status add_tube(const plugging_model *m, size_t relief, size_t row, reduced *out, fault *why) {
    water_properties water;
    relief_tube tube = m->reliefs[relief].tube;
    relief_result drained;
    plane_input one = *m->plane;
    one.reliefs = m->reliefs;
    one.reliefs_n = m->reliefs_n;
    status code = water_at(one.temperature_c, &water, why);
    if (code != OK) return code;
    double suction_m = tube.suction_pa / (water.density_kg_m3 * UNITS_GRAVITY_M_S2);
    out->level_m[row] = plane_outlet_m(&one, relief) - suction_m;
    double available_m = out->head_m[row] - out->level_m[row], drop = out->drop[row + out->n * row];
    if (!out->usable[row] || !(available_m > 0) || !(drop > 0)) return OK;
    tube.suction_pa = 0;
    tube.temperature_c = one.temperature_c;
    code = relief_balance(&tube, 1 / drop, available_m, &drained, why);
    if (code == OK && drained.flow_m3_s > 0)
        out->drop[row + out->n * row] += drained.back_head_m / drained.flow_m3_s;
    return code;
}

static status allocate(const plugging_state *shut, arena *memory, reduced *out, fault *why) {
    size_t n = shut->m->cut.n + shut->m->reliefs_n;
    *out = (reduced){.n = n, .segments = shut->m->cut.n};
    out->head_m = arena_get(memory, n, sizeof *out->head_m);
    out->level_m = arena_get(memory, n, sizeof *out->level_m);
    out->usable = arena_get(memory, n, sizeof *out->usable);
    out->drop = arena_get(memory, n, n * sizeof *out->drop);
    out->factor = arena_get(memory, n, n * sizeof *out->factor);
    out->right = arena_get(memory, n, sizeof *out->right);
    out->row = arena_get(memory, n, sizeof *out->row);
    bool good =
        out->head_m && out->level_m && out->usable && out->drop && out->factor && out->right && out->row;
    return good ? OK : fault_memory(why);
}

status reduced_make(const plugging_state *open, const plugging_state *shut, arena *memory, reduced *out,
                    fault *why) {
    const plugging_model *m = open->m;
    size_t kept = (size_t)m->kept_n;
    status code = allocate(shut, memory, out, why);
    double *weight = arena_get(memory, kept, sizeof *weight),
           *forward = arena_get(memory, out->n, kept * sizeof *forward);
    bool *on_face = arena_get(memory, kept, sizeof *on_face);
    if (code != OK || !weight || !forward || !on_face) return fault_memory(why);
    for (size_t i = 0; i < m->mesh->sides_n; i++)
        for (int k = 0; k < 3 && open->part[i] != SIDE_OTHER; k++)
            if (m->index[m->mesh->sides[i].dof[k]] >= 0) on_face[m->index[m->mesh->sides[i].dof[k]]] = true;
    for (size_t row = 0; row < out->n && code == OK; row++) {
        code = plane_stopped(m->plane->stop, why);
        pattern p = {weight, 0};
        memset(weight, 0, kept * sizeof *weight);
        if (row < out->segments)
            segment_pattern(open, (int)row, &p);
        else
            hole_pattern(m, row - out->segments, on_face, &p);
        take_pattern(shut, &p, row, forward + row * kept, out);
    }
    for (size_t a = 0; a < out->n && code == OK; a++) {
        code = plane_stopped(m->plane->stop, why);
        for (size_t b = 0; b <= a; b++) {
            const double *x = forward + a * kept, *y = forward + b * kept;
            double sum = 0;
            for (int i = 0; i < shut->free_n; i++) sum += x[i] * y[i];
            out->drop[a + out->n * b] = out->drop[b + out->n * a] = sum / m->flow_factor;
        }
    }
    for (size_t r = 0; r < m->reliefs_n && code == OK; r++)
        code = add_tube(m, r, out->segments + r, out, why);
    return code;
}

/* Flows out of the rows listed (in out->row), by Cholesky: a few dozen unknowns. */
static bool solve_rows(reduced *r, size_t count) {
    double *l = r->factor, *b = r->right;
    for (size_t j = 0; j < count; j++) {
        for (size_t i = j; i < count; i++) {
            double sum = r->drop[r->row[i] + r->n * r->row[j]];
            for (size_t k = 0; k < j; k++) sum -= l[i * r->n + k] * l[j * r->n + k];
            if (i == j && !(sum > 0)) return false;
            l[i * r->n + j] = i == j ? sqrt(sum) : sum / l[j * r->n + j];
        }
        double sum = r->head_m[r->row[j]] - r->level_m[r->row[j]];
        for (size_t k = 0; k < j; k++) sum -= l[j * r->n + k] * b[k];
        b[j] = sum / l[j * r->n + j];
    }
    for (size_t j = count; j-- > 0;) {
        for (size_t k = j + 1; k < count; k++) b[j] -= l[k * r->n + j] * b[k];
        b[j] /= l[j * r->n + j];
    }
    return true;
}

void reduced_flows(reduced *r, const bool *closed, const size_t *number, size_t reliefs_n,
                   double *flow_m3_s) {
    enum { ROUNDS = 20 }; /* what would take water in closes; each round closes at least one */
    size_t count = 0;
    for (size_t i = 0; i < r->segments; i++) {
        flow_m3_s[i] = 0;
        if (!closed[i] && r->usable[i]) r->row[count++] = i;
    }
    for (size_t k = 0; k < reliefs_n; k++)
        if (r->usable[r->segments + number[k]]) r->row[count++] = r->segments + number[k];
    for (int round = 0; round < ROUNDS; round++) {
        size_t kept = 0;
        if (!solve_rows(r, count)) return;
        for (size_t i = 0; i < count; i++)
            if (r->right[i] >= 0) r->right[kept] = r->right[i], r->row[kept++] = r->row[i];
        if (kept == count) break;
        count = kept;
    }
    for (size_t i = 0; i < count; i++)
        if (r->row[i] < r->segments) flow_m3_s[r->row[i]] = fmax(r->right[i], 0);
}
