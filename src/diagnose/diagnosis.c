#include "diagnose/diagnosis.h"

status diagnosis_make(const survey *s, const leak_water *leak, arena *memory, diagnosis *out, fault *why) {
    (void)s;
    (void)leak;
    (void)memory;
    (void)why;
    *out = (diagnosis){.verdict = MOVEMENT_UNDECIDED, .reason = ""};
    return OK;
}
