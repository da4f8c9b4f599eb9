#include "cli/planes.h"

#include <string.h>
#include <unistd.h>

status planes_read(const char *word, ops_plan_request *out, fault *why) {
    long processors = sysconf(_SC_NPROCESSORS_ONLN);
    *out = (ops_plan_request){.planes = true,
                              .threads = processors > 0 && processors < 1000 ? (int)processors : 1};
    if (!word || strcmp(word, "on") == 0) return OK;
    out->planes = false;
    if (strcmp(word, "off") == 0) return OK;
    return fault_set(why, E_INPUT, "--planes is %.60s; it must be on or off", word);
}
