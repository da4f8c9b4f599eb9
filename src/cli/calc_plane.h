/* calc_plane.h - the input of `crackplane`, shared with the calculations that build on it.
 *
 * A row that takes a crack plane puts CALC_PLANE_FIELDS first among its fields and calls calc_plane_take.
 * Threads  constant. */
#ifndef STANCH_CLI_CALC_PLANE_H
#define STANCH_CLI_CALC_PLANE_H

#include "cli/calc_table.h"
#include "hydraulics/plane_input.h"

enum {
    PANEL_FIELDS = 9,
    JOIN_FIELDS = 2,
    RELIEF_FIELDS = 11,
    MEASURED_FIELDS = 5,
    REPORT_FIELDS = 3,
    HEAD_FIELDS = 3
};
extern const calc_field calc_panel_fields[PANEL_FIELDS], calc_join_fields[JOIN_FIELDS],
    calc_relief_fields[RELIEF_FIELDS], calc_measured_fields[MEASURED_FIELDS],
    calc_report_fields[REPORT_FIELDS], calc_head_fields[HEAD_FIELDS];

#define CALC_PLANE_LIST(field, parts, count, at_least, about)                                                \
    {                                                                                                        \
        .name = (field), .kind = CALC_OBJECTS, .required = (at_least) > 0, .fields = (parts),                \
        .fields_count = (count), .least = (at_least), .most = 10000, .text = (about)                         \
    }

#define CALC_PLANE_FIELDS                                                                                    \
    {.name = "temperature_c",                                                                                \
     .quantity = UNITS_TEMPERATURE,                                                                          \
     .range = CALC_FROM(0, 60),                                                                              \
     .origin = "our default",                                                                                \
     .fallback = 10,                                                                                         \
     .text = "Of the water."},                                                                               \
        {.name = "flow_factor",                                                                              \
         .quantity = UNITS_PLAIN,                                                                            \
         .range = CALC_FROM(1e-6, 1),                                                                        \
         .origin = "our default, in the band 0.17-0.25 of Akhavan et al. 2012 (abstract)",                   \
         .fallback = 0.25,                                                                                   \
         .text = "Share of the smooth law that a rough crack passes; not used where flows are measured."},   \
        {.name = "water_level_m",                                                                            \
         .quantity = UNITS_LENGTH,                                                                           \
         .range = CALC_FROM(-PLANE_HIGHEST_M, PLANE_HIGHEST_M),                                              \
         .text =                                                                                             \
             "On the wet side, in the datum of the elevations; required unless each panel has its own."},    \
        {.name = "mesh_mm",                                                                                  \
         .quantity = UNITS_SIZE,                                                                             \
         .range = CALC_FROM(PLANE_FINEST_M * 1e3, PLANE_COARSEST_M * 1e3),                                   \
         .origin = "our default",                                                                            \
         .fallback = PLANE_MESH_M * 1e3,                                                                     \
         .text = "Distance of the nodes away from singular points, towards which they draw together."},      \
        CALC_PLANE_LIST("panels", calc_panel_fields, PANEL_FIELDS, 1,                                        \
                        "Stretches of crack, each of one thickness."),                                       \
        CALC_PLANE_LIST("joins", calc_join_fields, JOIN_FIELDS, 0,                                           \
                        "Where cracks branch or cross: tied depth by depth from the dry face."),             \
        CALC_PLANE_LIST("reliefs", calc_relief_fields, RELIEF_FIELDS, 0,                                     \
                        "Holes drained by a tube; no water flows back."),                                    \
        CALC_PLANE_LIST("measured", calc_measured_fields, MEASURED_FIELDS, 0,                                \
                        "Flows caught; one flow factor by least squares on litres."),                        \
        CALC_PLANE_LIST("report", calc_report_fields, REPORT_FIELDS, 0, "Stretches to be told of."),         \
        CALC_PLANE_LIST("heads", calc_head_fields, HEAD_FIELDS, 0, "Points at which the head is wanted.")

/* The input of a run as a crack plane, in the run's memory. E_INPUT for a name that is not there (the ranges
 * and what belongs together are checked by plane_check); E_MEMORY. Adds the nested defaults used to the
 * basis. */
status calc_plane_take(calc_run *r, plane_input *out);

#endif
