/* Who and what is there. People with several skills are counted once: of every set of skills no more may be asked for at a
 * time than there are people with any of them (Hall's theorem), which is exact for each moment. */
#include "works/parts.h"

static unsigned skills_of(const survey_worker *w) {
    return (w->cuts ? 1u << WORKER_CUTTER : 0) | (w->places ? 1u << WORKER_PLACER : 0) |
           (w->mixes ? 1u << WORKER_MIXER : 0);
}

static void add(works_crew *c, unsigned skills) {
    c->all++;
    for (unsigned set = 1; set < WORKS_GROUPS; set++) c->able[set] += (set & skills) != 0;
}

void crews_count(const survey *s, works_crew *out) {
    const survey_work *w = &s->site.work;
    int generic = s->site.crew < 1 ? 1 : (int)s->site.crew;
    *out = (works_crew){0};
    for (size_t i = 0; i < w->n_workers; i++) add(out, skills_of(&w->workers[i]));
    for (int i = 0; w->n_workers == 0 && i < generic; i++) add(out, WORKS_GROUPS - 1);
    for (int k = 0; k < PLANT_COUNT; k++)
        out->plant[k] = w->plant[k].known ? (int)w->plant[k].v : 1; /* our default (survey_work) */
}

bool crews_fit(const works_crew *c, const int people[WORKER_KINDS]) {
    int all = people[WORKER_ANY];
    for (int k = 0; k < WORKS_SKILLS; k++) all += people[k];
    if (all > c->all) return false;
    for (unsigned set = 1; set < WORKS_GROUPS; set++) {
        int wanted = 0;
        for (int k = 0; k < WORKS_SKILLS; k++)
            if (set & 1u << k) wanted += people[k];
        if (wanted > c->able[set]) return false;
    }
    return true;
}
