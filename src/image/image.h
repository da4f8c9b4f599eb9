/* image.h - pictures from outside: read by libraries only, turned upright, made smaller, laid flat by four points.
 *
 * Model  A photo of a flat face and the face itself are related by a homography (Hartley and Zisserman, Multiple View
 *   Geometry, ch. 2 and 4, from memory): eight numbers from four point pairs, exactly. image_warp looks up every pixel
 *   of the flat picture in the photo, bilinear.
 * Memory  a picture holds 3 bytes a pixel. A JPEG is decoded at the largest reduction (of 8) that keeps the wanted size, so
 *   that a photo of 24 million pixels never stands in memory whole.
 * Errors  E_FORMAT: no JPEG or PNG, damaged or cut short; E_INPUT: too large, points that span no area; E_MEMORY.
 * Threads  no shared state. */
#ifndef STANCH_IMAGE_IMAGE_H
#define STANCH_IMAGE_IMAGE_H

#include "core/fault.h"
#include "core/text.h"

#include <stddef.h>

enum { IMAGE_SIDE_MOST = 30000 }; /* pixels a side of a picture that is read; our limit */
#define IMAGE_PIXELS_MOST 100e6   /* our limit: a picture of more is no photo */

typedef struct {
    size_t width, height;
    unsigned char *rgb; /* row after row from the top left, 3 bytes a pixel; owned */
} image;

void image_free(image *p); /* {0} is fine */

/* Decode a JPEG or PNG (told by its first bytes), upright by its EXIF orientation, on white where it is see-through, no side
 * longer than `side_most`. *out is the caller's (image_free); {0} on error. */
status image_read(const void *bytes, size_t length, size_t side_most, image *out, fault *why);

/* JPEG of the given quality (1 to 100), without EXIF, appended to *to. */
status image_write_jpeg(const image *p, int quality, text *to, fault *why);

typedef struct {
    double h[9]; /* row after row; maps (x, y, 1) to (u w, v w, w) */
} image_map;

/* The homography that takes from[i] to onto[i], four pairs of (x, y). E_INPUT when three points of either lie on a
 * line. */
status image_map_of(const double from[8], const double onto[8], image_map *out, fault *why);
void image_map_point(const image_map *map, double x, double y, double out[2]);

/* A picture of width x height whose pixel centre (i + 0.5, j + 0.5) shows the place map(i + 0.5, j + 0.5) of `p`, in
 * pixels; white beyond its edge and behind its horizon. */
status image_warp(const image *p, const image_map *map, size_t width, size_t height, image *out, fault *why);

#endif
