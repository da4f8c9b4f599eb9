/* plane_bench - a crack plane of about UNKNOWNS unknowns: our mesh, assembly and solution beside CHOLMOD's
 * own analysis, factorisation and solution of the same matrix.
 *
 * usage: plane_bench UNKNOWNS [MATRIX]    times as JSON; MATRIX receives the system for plane_scipy.py: n,
 * entries (int32), starts, rows (int32), values, right-hand side, our solution (double). */
#include "core/mem.h"
#include "hydraulics/plane.h"
#include "hydraulics/plane_mesh.h"
#include "hydraulics/plane_parts.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <time.h>

static double now_s(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static double peak_bytes(void) {
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    return (double)usage.ru_maxrss * 1024;
}

static int give_up(const fault *why) {
    fprintf(stderr, "plane_bench: %s\n", why->text);
    return 1;
}

/* The system that plane_solve solves: wet face and open dry face held. */
static status system_of(const plane_input *in, arena *memory, sparse_matrix *k, double **load, fault *why) {
    plane_mesh_options options = {.levels = PLANE_LEVELS};
    plane_mesh *m;
    int next = 0;
    status code = plane_mesh_build(in, &options, memory, &m, why);
    if (code != OK) return code;
    int *equation = arena_get(memory, (size_t)m->dofs, sizeof *equation);
    double *head = arena_get(memory, (size_t)m->dofs, sizeof *head);
    *load = arena_get(memory, (size_t)m->dofs, sizeof **load);
    if (!equation || !head || !*load) return fault_memory(why);
    for (size_t i = 0; i < m->sides_n; i++)
        for (int q = 0; q < 3 && !m->sides[i].sealed; q++) {
            equation[m->sides[i].dof[q]] = -1;
            if (m->sides[i].kind == PLANE_WET) head[m->sides[i].dof[q]] = in->water_level_m.v;
        }
    for (int i = 0; i < m->dofs; i++)
        if (equation[i] == 0) equation[i] = next++;
    return plane_assemble(m, equation, next, head, k, *load, why);
}

static bool append(const char *path, const double *x, size_t n) {
    FILE *file = fopen(path, "ab");
    if (!file) return false;
    bool good = fwrite(x, sizeof *x, n, file) == n;
    return fclose(file) == 0 && good;
}

static bool save(const char *path, const sparse_matrix *k, const double *load) {
    FILE *file = fopen(path, "wb");
    size_t n = (size_t)k->n, entries = (size_t)k->start[n];
    if (!file) return false;
    bool good = fwrite(&k->n, sizeof k->n, 1, file) == 1 &&
                fwrite(&k->start[n], sizeof *k->start, 1, file) == 1 &&
                fwrite(k->start, sizeof *k->start, n + 1, file) == n + 1 &&
                fwrite(k->row, sizeof *k->row, entries, file) == entries &&
                fwrite(k->value, sizeof *k->value, entries, file) == entries &&
                fwrite(load, sizeof *load, n, file) == n;
    return fclose(file) == 0 && good;
}

int main(int argc, char **argv) {
    double wanted = argc > 1 ? strtod(argv[1], NULL) : 1e6;
    fault why = {0};
    plane_station stations[] = {{0, 0, 2e-4, 2e-4}, {6, 0, 3e-4, 3e-4}};
    plane_stretch sealed = {2, 4};
    plane_panel panel = {.id = "A",
                         .thickness_m = 0.4,
                         .stations = stations,
                         .stations_n = 2,
                         .sealed = &sealed,
                         .sealed_n = 1};
    plane_input in = {.temperature_c = 10,
                      .flow_factor = 0.25,
                      .mesh_m = sqrt(6 * 0.4 / wanted),
                      .water_level_m = {true, 3},
                      .panels = &panel,
                      .panels_n = 1};
    gsl_set_error_handler_off();
    sparse_begin();
    arena *memory = arena_new();
    plane_result out;
    double start = now_s();
    if (!memory || plane_solve(&in, memory, &out, &why) != OK) return give_up(&why);
    double ours = now_s() - start, peak = peak_bytes();
    sparse_matrix k;
    double *load;
    start = now_s();
    if (system_of(&in, memory, &k, &load, &why) != OK) return give_up(&why);
    double assembly = now_s() - start;
    if (argc > 2 && !save(argv[2], &k, load)) {
        fprintf(stderr, "plane_bench: %s cannot be written\n", argv[2]);
        return 1;
    }
    sparse_factor *f;
    start = now_s();
    if (sparse_factorise(&k, SPARSE_AUTO, NULL, &f, &why) != OK || sparse_solve(f, load, 1, &why) != OK)
        return give_up(&why);
    double plain = now_s() - start;
    if (argc > 2 && !append(argv[2], load, (size_t)k.n)) {
        fprintf(stderr, "plane_bench: %s cannot be written\n", argv[2]);
        return 1;
    }
    printf("{\"unknowns\": %zu, \"ours_s\": %.3f, \"mesh_and_assembly_s\": %.3f, \"cholmod_s\": %.3f, "
           "\"ratio\": %.3f, "
           "\"factor_entries\": %.4g, \"peak_mb\": %.0f, \"bytes_per_unknown\": %.0f, \"outflow_l_min\": "
           "%.12g}\n",
           out.unknowns, ours, assembly, plain, ours / plain, sparse_factor_entries(f), peak * 1e-6,
           peak / (double)out.unknowns, out.outflow_m3_s * 60e3);
    sparse_factor_free(f);
    sparse_matrix_free(&k);
    arena_free(memory);
    return 0;
}
