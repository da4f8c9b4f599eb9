#include "takeoff/left.h"

#include "core/limits.h"

status left_volume(const left_slot *slot, left_part part, double *volume_m3, fault *why) {
    *volume_m3 = 0;
    limits_item length = {"length left, in m,", slot->length_m, 0, LEFT_LONGEST_M, false};
    limits_item cut[] = {
        {"slot width, in m,", slot->width_m, 0, LEFT_WIDEST_M, true},
        {"depth as cut, in m,", slot->depth_m, 0, LEFT_WIDEST_M, true},
        {"plug in the slot, in m,", slot->plug_m, 0, slot->depth_m, false},
    };
    limits_item coat[] = {
        {"planned length, in m,", slot->whole_m, 0, LEFT_LONGEST_M, true},
        {"planned coat, in m3,", slot->coat_m3, 0, LEFT_LONGEST_M, false},
    };
    status code = limits_check(&length, 1, why);
    if (code == OK) code = part == LEFT_COAT ? limits_check(coat, 2, why) : limits_check(cut, 3, why);
    if (code != OK) return code;
    double mouth_m2 = slot->length_m * slot->width_m;
    *volume_m3 = part == LEFT_PLUG   ? mouth_m2 * slot->plug_m
                 : part == LEFT_PACK ? mouth_m2 * (slot->depth_m - slot->plug_m)
                                     : slot->coat_m3 * (slot->length_m / slot->whole_m);
    return OK;
}

/* Rounded up by hand, since this file is also built where there is no mathematical library. */
int left_batches(double volume_m3, double limit_m3) {
    if (!(limit_m3 > 0)) return 1;
    double wanted = volume_m3 / limit_m3 - 1e-9; /* a volume of exactly n limits is n batches */
    if (!(wanted > 1)) return 1;
    if (!(wanted < 1e6)) return 1000000;
    int whole = (int)wanted;
    return whole < wanted ? whole + 1 : whole;
}
