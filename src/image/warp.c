#include "image/image_parts.h"

#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

/* Twice the area of a triangle against the square of its longest side: 0 on a line. Below a thousandth (our default) the
 * map would rest on the reading error of the points. */
static bool on_a_line(const double *a, const double *b, const double *c) {
    double ab = hypot(b[0] - a[0], b[1] - a[1]), bc = hypot(c[0] - b[0], c[1] - b[1]),
           ca = hypot(a[0] - c[0], a[1] - c[1]);
    double longest = fmax(ab, fmax(bc, ca));
    double area = fabs((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1]));
    return !(area > 1e-3 * longest * longest);
}

static status check_points(const double p[8], const char *what, fault *why) {
    for (int i = 0; i < 8; i++)
        if (!isfinite(p[i])) return fault_set(why, E_INPUT, "a point %s is not a number", what);
    for (int i = 0; i < 4; i++)
        if (on_a_line(p + 2 * i, p + 2 * ((i + 1) % 4), p + 2 * ((i + 2) % 4)))
            return fault_set(why, E_INPUT,
                             "three of the four points %s lie on a line: choose corners that span an area",
                             what);
    return OK;
}

/* The two equations of one pair, h[8] = 1. */
static void fill_pair(gsl_matrix *a, gsl_vector *b, size_t i, const double from[2], const double onto[2]) {
    double x = from[0], y = from[1], u = onto[0], v = onto[1];
    const double rows[2][8] = {{x, y, 1, 0, 0, 0, -u * x, -u * y}, {0, 0, 0, x, y, 1, -v * x, -v * y}};
    for (size_t k = 0; k < 2; k++) {
        for (size_t c = 0; c < 8; c++) gsl_matrix_set(a, 2 * i + k, c, rows[k][c]);
        gsl_vector_set(b, 2 * i + k, onto[k]);
    }
}

status image_map_of(const double from[8], const double onto[8], image_map *out, fault *why) {
    double a[64], b[8], x[8];
    size_t order[8];
    int sign;
    *out = (image_map){{0}};
    status code = check_points(from, "of the picture", why);
    if (code == OK) code = check_points(onto, "on the face", why);
    if (code != OK) return code;
    gsl_matrix_view am = gsl_matrix_view_array(a, 8, 8);
    gsl_vector_view bv = gsl_vector_view_array(b, 8), xv = gsl_vector_view_array(x, 8);
    gsl_permutation p = {8, order};
    for (size_t i = 0; i < 4; i++) fill_pair(&am.matrix, &bv.vector, i, from + 2 * i, onto + 2 * i);
    if (gsl_linalg_LU_decomp(&am.matrix, &p, &sign) != 0 ||
        gsl_linalg_LU_solve(&am.matrix, &p, &bv.vector, &xv.vector) != 0)
        return fault_set(why, E_INPUT, "the four points do not fix the picture: choose others");
    memcpy(out->h, x, sizeof x);
    out->h[8] = 1;
    for (int i = 0; i < 4; i++) /* the same side of the horizon for all, else the picture is folded over */
        if (!(out->h[6] * from[2 * i] + out->h[7] * from[2 * i + 1] + 1 > 0))
            return fault_set(why, E_INPUT,
                             "the four points are not in the same order on the picture and on the face");
    return OK;
}

void image_map_point(const image_map *map, double x, double y, double out[2]) {
    const double *h = map->h;
    double w = h[6] * x + h[7] * y + h[8];
    out[0] = w > 0 ? (h[0] * x + h[1] * y + h[2]) / w : (double)NAN;
    out[1] = w > 0 ? (h[3] * x + h[4] * y + h[5]) / w : (double)NAN;
}

/* Bilinear between the four pixel centres round (x, y); the edge pixels reach half a pixel out. */
static void look_up(const image *p, double x, double y, unsigned char out[3]) {
    if (!(x >= 0 && y >= 0 && x <= (double)p->width && y <= (double)p->height)) {
        memset(out, 255, 3);
        return;
    }
    double cx = fmin(fmax(x - 0.5, 0), (double)(p->width - 1)),
           cy = fmin(fmax(y - 0.5, 0), (double)(p->height - 1));
    size_t i = (size_t)cx, j = (size_t)cy, i1 = i + 1 < p->width ? i + 1 : i,
           j1 = j + 1 < p->height ? j + 1 : j;
    double fx = cx - (double)i, fy = cy - (double)j;
    for (size_t c = 0; c < 3; c++) {
        double top = p->rgb[3 * (j * p->width + i) + c] * (1 - fx) + p->rgb[3 * (j * p->width + i1) + c] * fx;
        double bottom =
            p->rgb[3 * (j1 * p->width + i) + c] * (1 - fx) + p->rgb[3 * (j1 * p->width + i1) + c] * fx;
        out[c] = (unsigned char)(top * (1 - fy) + bottom * fy + 0.5);
    }
}

status image_warp(const image *p, const image_map *map, size_t width, size_t height, image *out, fault *why) {
    status code = image_make(width, height, out, why);
    if (code != OK) return code;
    for (size_t j = 0; j < height; j++)
        for (size_t i = 0; i < width; i++) {
            double at[2];
            image_map_point(map, (double)i + 0.5, (double)j + 0.5, at);
            look_up(p, at[0], at[1], out->rgb + 3 * (j * width + i));
        }
    return OK;
}
