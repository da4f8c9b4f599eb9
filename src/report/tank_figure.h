/* tank_figure.h - does a tank hold its water: the levels as read and as corrected, the line through them, and the limit.
 *
 * Shows only: levels, line, uncertainty and verdict come from accept/watertest.h. Level over hours, as change since the first reading
 * that counts: as read hollow, corrected for evaporation, rain and warming full, set aside crosses; the line through the corrected
 * levels with the fan of its uncertainty, and from the same start the line of the limit, where the criterion has one: a fan that
 * stays above it has passed. What was set aside and lies far off ends at the frame. Told apart by shape, not by colour alone.
 * Units  mm of paper; figures in those of the job.   Threads  no shared state. */
#ifndef STANCH_REPORT_TANK_FIGURE_H
#define STANCH_REPORT_TANK_FIGURE_H

#include "accept/watertest.h"
#include "core/text.h"
#include "report/say.h"
#include "report/sheet.h"

typedef struct {
    double width_mm, type_mm; /* all else follows from these */
} tank_figure_size;

/* In a file of its own: type is read at 360 pixels across. */
#define TANK_FIGURE_FILE ((tank_figure_size){120, 3.4})
/* On a page. */
#define TANK_FIGURE_TYPE_MM 2.4

typedef struct {
    const survey_tank *tank;
    const watertest_input *input;
    const watertest_result *result; /* of that input */
} tank_figure_view;

/* Compose. *out has its memory and is else empty. False without memory. */
bool report_tank_figure(const tank_figure_view *view, tank_figure_size size, say *words, sheet *out);

/* The figure as a file, appended to *out (the caller's). E_MEMORY. */
status report_tank_svg(const survey_tank *tank, const watertest_input *input, const watertest_result *result,
                       units_system system, text *out, fault *why);

#endif
