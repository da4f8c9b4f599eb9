#include "report/slots.h"

slots_span slots_taken_together(const repair_design *design) {
    slots_span all = {0};
    for (size_t i = 0; i < design->n_slots; i++) {
        const design_slot *s = &design->slots[i];
        if (i == 0 || s->depth_m < all.least_m) all.least_m = s->depth_m;
        if (i == 0 || s->plug_m < all.plug_least_m) all.plug_least_m = s->plug_m;
        if (s->plug_m > all.plug_most_m) all.plug_most_m = s->plug_m;
        if (!s->holds) all.weak++;
        if (s->depth_m <= all.deepest_m) continue;
        all.deepest_m = s->depth_m;
        all.plug_m = s->plug_m;
    }
    return all;
}

const char *slots_number_range(say *words, double least_m, double most_m) {
    const char *most = say_number(words, UNITS_SIZE, most_m);
    return least_m < most_m ? say_print(words, "%s-%s", say_number(words, UNITS_SIZE, least_m), most) : most;
}

const char *slots_size_range(say *words, double least_m, double most_m) {
    return say_print(words, "%s\u00a0%s", slots_number_range(words, least_m, most_m),
                     say_unit(words, UNITS_SIZE));
}
