#include "ops/learn_parts.h"

#include <dirent.h>
#include <errno.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>

#define ENDING ".stanch"

/* ---- the files ---- */

static bool is_job(const char *name) {
    size_t n = strlen(name), ending = strlen(ENDING);
    return n > ending && name[0] != '.' && strcmp(name + n - ending, ENDING) == 0;
}

static int by_name(const void *a, const void *b) {
    return strcmp(((const learn_told *)a)->name, ((const learn_told *)b)->name);
}

static status list_jobs(const char *folder, arena *memory, learn_told **out, size_t *n, fault *why) {
    DIR *list = opendir(folder);
    if (!list)
        return fault_set(why, E_IO, "%.300s: cannot be read as a folder of jobs: %s", folder,
                         strerror(errno));
    status code = OK;
    for (struct dirent *entry; code == OK && (entry = readdir(list)) != NULL;) {
        if (!is_job(entry->d_name)) continue;
        learn_told *more = arena_push(memory, *out, n, sizeof *more);
        if (more) *out = more;
        if (!more || !(more[*n - 1].name = arena_copy(memory, entry->d_name))) code = fault_memory(why);
    }
    closedir(list);
    if (code == OK && *n == 0)
        code = fault_set(why, E_INPUT, "%.300s: has no job file (*.stanch) in it", folder);
    if (code == OK && *out) qsort(*out, *n, sizeof **out, by_name);
    return code;
}

/* ---- read by two ---- */

typedef struct {
    const char *folder;
    learn_told *jobs;
    size_t n;
    atomic_size_t next;
    atomic_bool no_memory;
} shared;

static void read_one(shared *all, learn_told *job) {
    fault why;
    text path = {0};
    text_print(&path, "%s/%s", all->folder, job->name);
    job->memory = arena_new();
    bool good = job->memory && !path.failed && learn_read_job(path.bytes, job, &why) == OK;
    if (!good) atomic_store(&all->no_memory, true);
    text_free(&path);
}

static void *read_some(void *data) {
    shared *all = data;
    for (size_t i; (i = atomic_fetch_add(&all->next, 1)) < all->n && !atomic_load(&all->no_memory);)
        read_one(all, &all->jobs[i]);
    return NULL;
}

static status read_all(shared *all, int threads, fault *why) {
    pthread_t helper;
    bool helped = threads > 1 && all->n > 1 && pthread_create(&helper, NULL, read_some, all) == 0;
    read_some(all);
    if (helped) pthread_join(helper, NULL);
    return atomic_load(&all->no_memory) ? fault_memory(why) : OK;
}

/* ---- together ---- */

static status leave_out(const learn_told *job, arena *memory, ops_learned *out, fault *why) {
    const char **list = arena_push(memory, out->left_out, &out->n_left_out, sizeof *list);
    if (!list || !(list[out->n_left_out - 1] = arena_copy(memory, job->left_out))) return fault_memory(why);
    out->left_out = list;
    return OK;
}

/* What all finished jobs tell, each with its number. */
static status gather(const shared *all, arena *scratch, learn_input *in, fault *why) {
    size_t facts = 0, events = 0;
    for (size_t i = 0; i < all->n; i++) {
        facts += all->jobs[i].n_facts;
        events += all->jobs[i].n_events;
    }
    learn_fact *f = arena_get(scratch, facts, sizeof *f);
    learn_event *e = arena_get(scratch, events, sizeof *e);
    learn_price *p = arena_get(scratch, all->n, sizeof *p);
    if (!f || !e || !p) return fault_memory(why);
    *in = (learn_input){.facts = f, .events = e, .prices = p};
    for (size_t i = 0; i < all->n; i++) {
        const learn_told *job = &all->jobs[i];
        if (job->left_out) continue;
        for (size_t k = 0; k < job->n_facts; k++) {
            f[in->n_facts] = job->facts[k];
            f[in->n_facts++].job = in->n_jobs;
        }
        for (size_t k = 0; k < job->n_events; k++) {
            e[in->n_events] = job->events[k];
            e[in->n_events++].job = in->n_jobs;
        }
        p[in->n_prices] = job->price;
        p[in->n_prices++].job = job->name;
        in->n_leaks += job->leaks;
        in->n_jobs++;
    }
    return OK;
}

static status learn_from(const shared *all, arena *scratch, arena *memory, ops_learned *out, fault *why) {
    learn_input in;
    status code = OK;
    out->files = all->n;
    for (size_t i = 0; code == OK && i < all->n; i++)
        if (all->jobs[i].left_out) code = leave_out(&all->jobs[i], memory, out, why);
    if (code == OK) code = gather(all, scratch, &in, why);
    if (code != OK) return code;
    out->finished = in.n_jobs;
    return learn_estimate_all(&in, memory, &out->result, why);
}

status ops_learn(const char *folder, int threads, arena *memory, ops_learned *out, fault *why) {
    shared all = {.folder = folder};
    *out = (ops_learned){0};
    arena *scratch = arena_new();
    if (!scratch) return fault_memory(why);
    status code = list_jobs(folder, scratch, &all.jobs, &all.n, why);
    if (code == OK) code = read_all(&all, threads, why);
    if (code == OK) code = learn_from(&all, scratch, memory, out, why);
    for (size_t i = 0; i < all.n; i++) arena_free(all.jobs[i].memory);
    arena_free(scratch);
    if (code != OK) *out = (ops_learned){0};
    return code;
}
