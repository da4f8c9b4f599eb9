/* bands_bench FILE [RUNS] - the bands kernel alone on an input of `stanch calc bands`: prints areas as JSON
 * and the median time of RUNS computations. Driven by bands_shapely.py here and by
 * tests/verify/bands_shapely.py. Trusts its input, which those two scripts make. */
#include "geom/bands.h"

#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static void *need(void *block) {
    if (block) return block;
    fputs("bands_bench: no memory\n", stderr);
    exit(1);
}

static double number(json_t *object, const char *field, double fallback) {
    json_t *value = json_object_get(object, field);
    return value ? json_number_value(value) : fallback;
}

static face_run read_run(arena *memory, json_t *list) {
    size_t n = json_array_size(list);
    face_point *points = need(arena_get(memory, n, sizeof *points));
    for (size_t i = 0; i < n; i++) {
        json_t *pair = json_array_get(list, i);
        points[i] = (face_point){json_number_value(json_array_get(pair, 0)),
                                 json_number_value(json_array_get(pair, 1))};
    }
    return (face_run){points, n};
}

static size_t find_face(const bands_input *in, json_t *id) {
    size_t f = 0;
    while (f + 1 < in->faces_n && strcmp(in->faces[f].id, json_string_value(id)) != 0) f++;
    return f;
}

static void read_faces(arena *memory, json_t *list, bands_input *in) {
    in->faces_n = json_array_size(list);
    face_shape *faces = need(arena_get(memory, in->faces_n, sizeof *faces));
    for (size_t f = 0; f < in->faces_n; f++) {
        json_t *from = json_array_get(list, f), *holes = json_object_get(from, "openings");
        face_run *openings = need(arena_get(memory, json_array_size(holes), sizeof *openings));
        for (size_t k = 0; k < json_array_size(holes); k++)
            openings[k] = read_run(memory, json_array_get(holes, k));
        faces[f] = (face_shape){json_string_value(json_object_get(from, "id")),
                                read_run(memory, json_object_get(from, "outline")), openings,
                                json_array_size(holes)};
    }
    in->faces = faces;
}

static size_t read_side(arena *memory, const bands_input *in, json_t *side, face_point ends[2]) {
    face_run segment = read_run(memory, json_array_get(side, 1));
    ends[0] = segment.points[0];
    ends[1] = segment.points[1];
    return find_face(in, json_array_get(side, 0));
}

static void read_folds(arena *memory, json_t *list, bands_input *in) {
    in->folds_n = json_array_size(list);
    bands_fold *folds = need(arena_get(memory, in->folds_n, sizeof *folds));
    for (size_t i = 0; i < in->folds_n; i++) {
        json_t *from = json_array_get(list, i);
        folds[i].face_a = read_side(memory, in, json_object_get(from, "a"), folds[i].side_a);
        folds[i].face_b = read_side(memory, in, json_object_get(from, "b"), folds[i].side_b);
    }
    in->folds = folds;
}

static void read_items(arena *memory, json_t *root, bands_input *in) {
    json_t *list = json_object_get(root, "lines");
    in->items_n = json_array_size(list);
    bands_item *items = need(arena_get(memory, in->items_n, sizeof *items));
    for (size_t i = 0; i < in->items_n; i++) {
        json_t *from = json_array_get(list, i);
        double extend_m = number(from, "extend_mm", 300) / 1000;
        items[i] = (bands_item){
            .kind = BANDS_LINE,
            .face = find_face(in, json_object_get(from, "face")),
            .run = read_run(memory, json_object_get(from, "points")),
            .extend_start_m = extend_m,
            .extend_end_m = extend_m,
            .slot = {number(root, "slot_width_mm", 25) / 1000, number(root, "slot_depth_mm", 37) / 1000,
                     number(root, "undercut_deg", 0), 0, number(root, "band_mm", 150) / 1000},
        };
    }
    in->items = items;
}

static double seconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + (double)now.tv_nsec / 1e9;
}

static int by_value(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void print_amount(const bands_amount *a) {
    printf("{\"line_length_m\": %.17g, \"slot_area_m2\": %.17g, \"slot_volume_m3\": %.17g, \"band_area_m2\": "
           "%.17g, "
           "\"first_coat_area_m2\": %.17g, \"wash_area_m2\": %.17g, \"overlap_saved_m2\": %.17g}",
           a->line_length_m, a->slot_area_m2, a->slot_volume_m3, a->band_area_m2, a->first_coat_area_m2,
           a->wash_area_m2, a->overlap_saved_m2);
}

static void print_result(const bands_input *in, const bands_result *result, double median_s) {
    printf("{\"seconds\": %.6f, \"total\": ", median_s);
    print_amount(&result->total);
    for (size_t f = 0; f < in->faces_n; f++) {
        printf("%s", f ? ", " : ", \"faces\": [");
        print_amount(&result->faces[f].amount);
    }
    for (size_t i = 0; i < in->items_n; i++) {
        printf("%s", i ? ", " : "], \"items\": [");
        print_amount(&result->items[i]);
    }
    puts("]}");
}

static int run(const bands_input *in, size_t runs) {
    double *times = need(mem_zero(runs, sizeof *times));
    for (size_t i = 0; i < runs; i++) {
        arena *memory = need(arena_new());
        bands_result result;
        fault why = {0};
        double begin = seconds();
        status s = bands_compute(in, memory, &result, &why);
        times[i] = seconds() - begin;
        if (s != OK) fprintf(stderr, "%s\n", why.text);
        if (s != OK) exit(fault_exit(s));
        if (i + 1 == runs) {
            qsort(times, runs, sizeof *times, by_value);
            print_result(in, &result, times[runs / 2]);
        }
        arena_free(memory);
    }
    mem_free(times);
    return 0;
}

int main(int argc, char **argv) {
    json_error_t error;
    json_t *root = argc > 1 ? json_load_file(argv[1], 0, &error) : NULL;
    if (!root) {
        fputs("usage: bands_bench FILE [RUNS]; FILE an input of calc bands\n", stderr);
        return 2;
    }
    long runs = argc > 2 ? strtol(argv[2], NULL, 10) : 1;
    arena *memory = need(arena_new());
    bands_input in = {0};
    read_faces(memory, json_object_get(root, "faces"), &in);
    read_folds(memory, json_object_get(root, "folds"), &in);
    read_items(memory, root, &in);
    int code = run(&in, runs > 0 ? (size_t)runs : 1);
    arena_free(memory);
    json_decref(root);
    return code;
}
