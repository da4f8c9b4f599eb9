#include "core/limits.h"

#include "core/text.h"

#include <math.h>
#include <stdio.h>

static char *show(double value, char into[TEXT_NUMBER]) {
    if (isfinite(value)) return text_number(value, into);
    snprintf(into, TEXT_NUMBER, "not a finite number");
    return into;
}

status limits_check(const limits_item items[], size_t count, fault *why) {
    for (size_t i = 0; i < count; i++) {
        const limits_item *it = &items[i];
        bool low = it->above ? it->value > it->low : it->value >= it->low;
        if (low && it->value <= it->high) continue;
        char value[TEXT_NUMBER], from[TEXT_NUMBER], to[TEXT_NUMBER];
        return fault_set(why, E_INPUT, "%s is %s; it must lie %s %s %s %s", it->name, show(it->value, value),
                         it->above ? "above" : "in", text_number(it->low, from),
                         it->above ? "and up to" : "to", text_number(it->high, to));
    }
    return OK;
}
