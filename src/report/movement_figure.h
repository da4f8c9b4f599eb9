/* movement_figure.h - does a crack move: the readings of one gauge, what was fitted to them, and the year to come.
 *
 * Shows only: fit, verdict and the coming year come from diagnosis.h. Above, width over date: readings as dots, those set
 * aside as hollow crosses, the fitted width at the temperature of each reading joined by straight lines, the band that
 * holds a new reading, the drift alone at the mean temperature, the coming year shaded with the widest and narrowest
 * expected. Below, what an engineer checks: the width with the drift taken out, against the temperature of the wall.
 * What lies far off the readings ends at the frame, and the words say so. A gauge that could not be fitted has its dots
 * and the reason. Told apart by shape, not by colour alone.
 * Units  mm of paper; figures in those of the job.   Threads  no shared state. */
#ifndef STANCH_REPORT_MOVEMENT_FIGURE_H
#define STANCH_REPORT_MOVEMENT_FIGURE_H

#include "report/say.h"
#include "report/sheet.h"

typedef struct {
    double width_mm, type_mm; /* all else follows from these */
} movement_figure_size;

/* In a file of its own: type is read at 360 pixels across. */
#define MOVEMENT_FIGURE_FILE ((movement_figure_size){120, 3.4})
/* On a page: two of them go on one sheet of A4 or Letter. */
#define MOVEMENT_FIGURE_TYPE_MM 2.4

/* Compose. The gauge has at least one reading. *out has its memory and is else empty. False without memory. */
bool movement_figure_draw(const char *mark, const diagnosis_gauge *gauge, movement_figure_size size,
                          say *words, sheet *out);

/* "Movement of E3, gauge upper": the title of the figure. */
const char *movement_figure_title(const char *mark, const diagnosis_gauge *gauge, say *words);

#endif
