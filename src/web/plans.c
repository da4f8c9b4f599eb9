#include "web/plans.h"

#include <pthread.h>
#include <string.h>

typedef struct {
    char *name, *words;
} kept_text;

struct held {
    char *path, *changes;
    ops_job job;
    long long revision, looked; /* when planned; at which `same` was looked up */
    bool same;
    char hash[HASH_TEXT]; /* of the survey that was planned */
    pthread_mutex_t lock;
    size_t holders; /* with the lock of `plans` */
    long long used; /* the larger, the later */
    kept_text *texts;
    size_t n_texts;
    bool current; /* what the texts say */
};

struct plans {
    pthread_mutex_t lock;
    held *places[PLANS_HELD];
    long long clock;
};

static void drop_texts(held *it) {
    for (size_t i = 0; i < it->n_texts; i++) {
        mem_free(it->texts[i].name);
        mem_free(it->texts[i].words);
    }
    mem_free(it->texts);
    it->texts = NULL;
    it->n_texts = 0;
}

static void end_held(held *it) {
    if (!it) return;
    drop_texts(it);
    ops_job_free(&it->job);
    pthread_mutex_destroy(&it->lock);
    mem_free(it->path);
    mem_free(it->changes);
    mem_free(it);
}

static void *make(web_server *s) {
    (void)s;
    plans *all = mem_zero(1, sizeof *all);
    if (all) pthread_mutex_init(&all->lock, NULL);
    return all;
}

static void end(void *data) {
    plans *all = data;
    for (size_t i = 0; i < PLANS_HELD; i++) end_held(all->places[i]);
    pthread_mutex_destroy(&all->lock);
    mem_free(all);
}

plans *plans_of(web_server *s) {
    return web_server_keep(s, WEB_KEEP_PLANS, make, end);
}

static held *make_held(const char *path, long long revision, const char *changes) {
    held *it = mem_zero(1, sizeof *it);
    if (!it) return NULL;
    pthread_mutex_init(&it->lock, NULL);
    it->revision = revision;
    it->holders = 1; /* the place */
    it->path = mem_copy_text(path);
    it->changes = changes ? mem_copy_text(changes) : NULL;
    if (it->path && (it->changes || !changes)) return it;
    end_held(it);
    return NULL;
}

/* The place of the job, an empty one, or that of the job asked for longest ago. */
static size_t place_for(const plans *all, const char *path) {
    size_t best = 0;
    for (size_t i = 0; i < PLANS_HELD; i++)
        if (all->places[i] && strcmp(all->places[i]->path, path) == 0) return i;
    for (size_t i = 0; i < PLANS_HELD; i++) {
        if (!all->places[i]) return i;
        if (all->places[i]->used < all->places[best]->used) best = i;
    }
    return best;
}

status plans_put(plans *all, const char *path, ops_job *job, long long revision, const char *changes,
                 fault *why) {
    held *it = make_held(path, revision, changes);
    if (!it) return fault_memory(why);
    status code = ops_survey_hash(job->survey, it->hash, why);
    if (code != OK) {
        end_held(it);
        return code;
    }
    it->job = *job;
    *job = (ops_job){0};
    pthread_mutex_lock(&all->lock);
    size_t place = place_for(all, path);
    held *before = all->places[place];
    it->used = ++all->clock;
    all->places[place] = it;
    pthread_mutex_unlock(&all->lock);
    plans_let_go(all, before);
    return OK;
}

held *plans_hold(plans *all, const char *path) {
    held *found = NULL;
    pthread_mutex_lock(&all->lock);
    for (size_t i = 0; !found && i < PLANS_HELD; i++)
        if (all->places[i] && strcmp(all->places[i]->path, path) == 0) found = all->places[i];
    if (found) {
        found->holders++;
        found->used = ++all->clock;
    }
    pthread_mutex_unlock(&all->lock);
    return found;
}

void plans_let_go(plans *all, held *it) {
    if (!it) return;
    pthread_mutex_lock(&all->lock);
    bool last = --it->holders == 0;
    pthread_mutex_unlock(&all->lock);
    if (last) end_held(it);
}

status held_current(held *it, long long revision, bool *current, fault *why) {
    char now[HASH_TEXT];
    *current = revision == it->revision || (revision == it->looked && it->same);
    if (*current || revision == it->looked) return OK;
    status code = ops_survey_hash_now(it->path, now, why);
    if (code != OK) return code;
    it->looked = revision;
    *current = it->same = strcmp(now, it->hash) == 0;
    return OK;
}

const ops_job *held_job(const held *it) {
    return &it->job;
}

long long held_revision(const held *it) {
    return it->revision;
}

const char *held_changes(const held *it) {
    return it->changes;
}

void held_lock(held *it) {
    pthread_mutex_lock(&it->lock);
}

void held_unlock(held *it) {
    pthread_mutex_unlock(&it->lock);
}

const char *held_text(held *it, const char *name, bool current) {
    if (it->current != current) {
        drop_texts(it);
        it->current = current;
    }
    for (size_t i = 0; i < it->n_texts; i++)
        if (strcmp(it->texts[i].name, name) == 0) return it->texts[i].words;
    return NULL;
}

status held_keep_text(held *it, const char *name, bool current, const char *words, fault *why) {
    if (held_text(it, name, current)) return OK;
    kept_text *longer = mem_grow(it->texts, it->n_texts + 1, sizeof *longer);
    if (!longer) return fault_memory(why);
    it->texts = longer;
    kept_text one = {mem_copy_text(name), mem_copy_text(words)};
    if (!one.name || !one.words) {
        mem_free(one.name);
        mem_free(one.words);
        return fault_memory(why);
    }
    it->texts[it->n_texts++] = one;
    return OK;
}
