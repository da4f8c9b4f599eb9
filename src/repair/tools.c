#include "repair/tools.h"

#include <string.h>

static exposure_tool_kind cutting(const survey_defect *d, const repair_design *design) {
    if (design->method.name == METHOD_HOLE)
        return design->hole_shape == PLACE_CONE ? TOOL_CHIPPING : TOOL_CORE_DRILL;
    if (design->method.name == METHOD_CUT_BACK) return TOOL_DEMOLITION;
    if (design->method.name == METHOD_RING) return TOOL_CHIPPING;
    return d->slot_faces == SLOT_CHIPPED ? TOOL_CHIPPING : TOOL_SAW;
}

const exposure_tool *tool_of_step(const survey_defect *d, const repair_design *design, const char *step) {
    static const struct {
        const char *step;
        exposure_tool_kind tool;
    } rows[] = {{"ports", TOOL_HAMMER_DRILL},   {"relief", TOOL_HAMMER_DRILL}, {"rout", TOOL_GRINDER},
                {"channel", TOOL_HAMMER_DRILL}, {"outlet", TOOL_HAMMER_DRILL}, {"strip", TOOL_GRINDER}};
    if (strcmp(step, "cut") == 0) return &exposure_tools[cutting(d, design)];
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (strcmp(step, rows[i].step) == 0) return &exposure_tools[rows[i].tool];
    return NULL;
}
