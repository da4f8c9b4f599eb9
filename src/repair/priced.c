#include "repair/design.h"

bool design_is_priced(const repair_design *d) {
    survey_method name = d->method.name;
    if (method_is_injection(name)) return d->injection.n_ports > 0;
    if (name == METHOD_FLEXIBLE) return d->flexible.groove.width_m > 0;
    if (name == METHOD_DRAIN) return d->drain.length_m > 0;
    return method_is_designed(name);
}
