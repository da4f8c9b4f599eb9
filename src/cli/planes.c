#include "cli/planes.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

void planes_one_thread(void) {
    setenv("OPENBLAS_NUM_THREADS", "1", 0);
    setenv("OMP_NUM_THREADS", "1", 0);
    setenv("OMP_THREAD_LIMIT", "1", 0); /* CHOLMOD asks for four whatever the number says */
}

status planes_read(const char *word, ops_plan_request *out, fault *why) {
    planes_one_thread();
    long processors = sysconf(_SC_NPROCESSORS_ONLN);
    *out = (ops_plan_request){.planes = PLANES_RUN,
                              .threads = processors > 0 && processors < 1000 ? (int)processors : 1};
    if (!word || strcmp(word, "on") == 0) return OK;
    out->planes = PLANES_OFF;
    if (strcmp(word, "off") == 0) return OK;
    return fault_set(why, E_INPUT, "--planes is %.60s; it must be on or off", word);
}

status planes_works(const char *now, char clock[LOCAL_TEXT], ops_plan_request *out, fault *why) {
    out->works = true;
    out->now = now ? now : clock;
    status code = today_local(clock, &out->utc_offset_min, why);
    return code == OK && now ? today_check(now, why) : code;
}
