/* dxf.h - a small writer of ASCII DXF (AutoCAD Release 12, AC1009): layers, lines, polylines, circles, text.
 *
 * Use: dxf_begin with the layers, then entities in any order, then dxf_end. R12 has no Unicode: characters
 * above ASCII are written as \U+XXXX, which readers of R12 files commonly show (common practice); control
 * characters become spaces. Layer names are made safe (A-Z, 0-9, _ - $).
 * Units  drawing units are the caller's; we use millimetres or inches at true size. Threads  no shared state.
 */
#ifndef STANCH_SURVEY_DXF_H
#define STANCH_SURVEY_DXF_H

#include "core/text.h"

typedef struct {
    const char *name;
    int colour; /* AutoCAD colour index 1..255; 7 is black or white */
    bool dashed;
} dxf_layer;

typedef struct {
    double x, y;
} dxf_point;

void dxf_begin(text *to, const dxf_layer *layers, size_t n_layers);
void dxf_line(text *to, const char *layer, dxf_point from, dxf_point to_point);
void dxf_polyline(text *to, const char *layer, const dxf_point *points, size_t n_points, bool closed);
void dxf_circle(text *to, const char *layer, dxf_point centre, double radius);
/* `height` in drawing units; text runs along +x from its left foot, turned by angle_deg. */
void dxf_text(text *to, const char *layer, dxf_point at, double height, double angle_deg, const char *words);
void dxf_end(text *to);

#endif
