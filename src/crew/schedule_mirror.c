#include "crew/schedule_model.h"

#include <string.h>

/* Task `at` becomes task n - 1 - at, so that the order stays topological. */
model *model_mirror(const model *m, arena *memory) {
    model *r = arena_get(memory, 1, sizeof *r);
    size_t n = (size_t)m->n, arcs = (size_t)m->before_first[m->n];
    if (!r) return NULL;
    *r = *m;
    r->duration = arena_get(memory, n, sizeof(int));
    r->earliest = arena_get(
        memory, n, sizeof(int)); /* zero: an earliest start becomes a latest end, which guides only */
    r->calendar = arena_get(memory, n, sizeof(int));
    r->need = arena_get(memory, n * (size_t)m->words, sizeof *r->need);
    r->before_first = arena_get(memory, n + 1, sizeof(int));
    r->behind_first = arena_get(memory, n + 1, sizeof(int));
    r->before = arena_get(memory, arcs, sizeof *r->before);
    r->behind = arena_get(memory, arcs, sizeof *r->behind);
    r->loose = arena_get(memory, (size_t)m->n_blocks, sizeof(bool));
    r->inner = arena_get(memory, n, sizeof(int));
    r->block_of = arena_get(memory, n, sizeof(int));
    r->block_first = arena_get(memory, (size_t)m->n_blocks + 1, sizeof(int));
    r->calendars = arena_get(memory, (size_t)m->n_calendars, sizeof *r->calendars);
    if (!r->duration || !r->earliest || !r->calendar || !r->need || !r->before_first || !r->behind_first ||
        !r->before || !r->behind || !r->inner || !r->loose || !r->block_of || !r->block_first ||
        !r->calendars)
        return NULL;
    for (int c = 0; c < m->n_calendars; c++) {
        r->calendars[c].windows = arena_get(memory, m->calendars[c].n, sizeof(schedule_window));
        if (!r->calendars[c].windows) return NULL;
    }
    for (int at = 0, b = 0, e = 0; at < m->n; at++) {
        int of = m->n - 1 - at;
        r->inner[at] = at;
        r->duration[at] = m->duration[of];
        r->calendar[at] = m->calendar[of];
        memcpy(r->need + at * m->words, m->need + of * m->words, (size_t)m->words * sizeof *r->need);
        for (int a = m->behind_first[of]; a < m->behind_first[of + 1]; a++, b++)
            r->before[b] =
                (model_arc){m->n - 1 - m->behind[a].task, m->behind[a].min_lag, m->behind[a].max_lag};
        for (int a = m->before_first[of]; a < m->before_first[of + 1]; a++, e++)
            r->behind[e] =
                (model_arc){m->n - 1 - m->before[a].task, m->before[a].min_lag, m->before[a].max_lag};
        r->before_first[at + 1] = b;
        r->behind_first[at + 1] = e;
        r->block_of[at] = m->n_blocks - 1 - m->block_of[of];
    }
    for (int b = 0; b <= m->n_blocks; b++) r->block_first[b] = m->n - m->block_first[m->n_blocks - b];
    r->head = r->tail = r->task = r->place = NULL; /* read of the forward model only */
    return r;
}

void model_mirror_at(const model *m, int end, model *mirrored) {
    for (int c = 0; c < m->n_calendars; c++) {
        const model_calendar *from = &m->calendars[c];
        schedule_window *to = mirrored->calendars[c].windows;
        size_t n = 0;
        for (size_t w = from->n; w-- > 0;)
            if (from->windows[w].from < end)
                to[n++] = (schedule_window){from->windows[w].to < end ? end - from->windows[w].to : 0,
                                            end - from->windows[w].from};
        mirrored->calendars[c].n = n;
    }
}
