#include "web/plans.h"

#include <pthread.h>
#include <string.h>
#include <sys/stat.h>

enum { PLACES = 2 * PLANS_HELD };

typedef struct {
    char *name, *words;
} kept_text;

struct held {
    char *path, *changes;
    ops_job job;
    long long revision, looked; /* when planned; at which `same` was looked up */
    bool same;
    char hash[HASH_TEXT]; /* of the survey that was planned */
    ino_t file;           /* a copy put in place of a job may count to the same revision */
    pthread_mutex_t lock;
    size_t holders; /* with the lock of `plans` */
    long long used; /* the larger, the later */
    kept_text *texts;
    size_t n_texts;
    bool current; /* what the texts say */
    bool light;
};

struct plans {
    pthread_mutex_t lock, planning; /* planning: of light plans, one at a time */
    held *places[PLACES];
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
    if (!all) return NULL;
    pthread_mutex_init(&all->lock, NULL);
    pthread_mutex_init(&all->planning, NULL);
    return all;
}

static void end(void *data) {
    plans *all = data;
    for (size_t i = 0; i < PLACES; i++) end_held(all->places[i]);
    pthread_mutex_destroy(&all->planning);
    pthread_mutex_destroy(&all->lock);
    mem_free(all);
}

plans *plans_of(web_server *s) {
    return web_server_keep(s, WEB_KEEP_PLANS, make, end);
}

static ino_t file_of(const char *path) {
    struct stat about;
    return stat(path, &about) == 0 ? about.st_ino : 0;
}

static held *make_held(const char *path, long long revision, const char *changes) {
    held *it = mem_zero(1, sizeof *it);
    if (!it) return NULL;
    pthread_mutex_init(&it->lock, NULL);
    it->revision = revision;
    it->file = file_of(path);
    it->holders = 1; /* the place */
    it->path = mem_copy_text(path);
    it->changes = changes ? mem_copy_text(changes) : NULL;
    if (it->path && (it->changes || !changes)) return it;
    end_held(it);
    return NULL;
}

static bool is_of(const held *it, const char *path, bool light) {
    return it && it->light == light && strcmp(it->path, path) == 0;
}

/* The place of the job, an empty one, or that of the job asked for longest ago; light plans have the second half. */
static size_t place_for(const plans *all, const char *path, bool light) {
    size_t begin = light ? PLANS_HELD : 0, best = begin;
    for (size_t i = begin; i < begin + PLANS_HELD; i++)
        if (is_of(all->places[i], path, light)) return i;
    for (size_t i = begin; i < begin + PLANS_HELD; i++) {
        if (!all->places[i]) return i;
        if (all->places[i]->used < all->places[best]->used) best = i;
    }
    return best;
}

static status put(plans *all, held *it, ops_job *job, fault *why) {
    if (!it) return fault_memory(why);
    status code = ops_survey_hash(job->survey, it->hash, why);
    if (code != OK) {
        end_held(it);
        return code;
    }
    it->job = *job;
    *job = (ops_job){0};
    pthread_mutex_lock(&all->lock);
    size_t place = place_for(all, it->path, it->light);
    held *before = all->places[place];
    it->used = ++all->clock;
    all->places[place] = it;
    pthread_mutex_unlock(&all->lock);
    plans_let_go(all, before);
    return OK;
}

status plans_put(plans *all, const char *path, ops_job *job, long long revision, const char *changes,
                 fault *why) {
    return put(all, make_held(path, revision, changes), job, why);
}

static held *hold(plans *all, const char *path, bool light) {
    held *found = NULL;
    pthread_mutex_lock(&all->lock);
    for (size_t i = 0; !found && i < PLACES; i++)
        if (is_of(all->places[i], path, light)) found = all->places[i];
    if (found) {
        found->holders++;
        found->used = ++all->clock;
    }
    pthread_mutex_unlock(&all->lock);
    return found;
}

held *plans_hold(plans *all, const char *path) {
    return hold(all, path, false);
}

/* The held one of its kind if it is current, else *out NULL. */
static status hold_current(plans *all, const char *path, bool light, long long revision, held **out,
                           fault *why) {
    bool current = false;
    *out = hold(all, path, light);
    if (!*out) return OK;
    held_lock(*out);
    status code = held_current(*out, revision, &current, why);
    held_unlock(*out);
    if (code == OK && current) return OK;
    plans_let_go(all, *out);
    *out = NULL;
    return code;
}

static status plan_light(plans *all, const char *path, long long revision, fault *why) {
    ops_job job = {0};
    status code = ops_look(path, &(ops_plan_request){.planes = PLANES_OFF, .threads = 1}, &job, why);
    if (code != OK) return code;
    held *it = make_held(path, revision, NULL);
    if (it) it->light = true;
    code = put(all, it, &job, why);
    ops_job_free(&job);
    return code;
}

status plans_light(plans *all, const char *path, long long revision, held **out, fault *why) {
    status code = hold_current(all, path, false, revision, out, why);
    if (code != OK || *out) return code;
    pthread_mutex_lock(&all->planning);
    code = hold_current(all, path, true, revision, out, why);
    if (code == OK && !*out) {
        code = plan_light(all, path, revision, why);
        if (code == OK) *out = hold(all, path, true);
        if (code == OK && !*out) code = fault_memory(why);
    }
    pthread_mutex_unlock(&all->planning);
    return code;
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
    ino_t file = file_of(it->path);
    if (file != it->file) { /* then no number says anything */
        it->file = file;
        it->looked = it->revision = -1;
    }
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

static status replace_text(held *it, const char *name, const char *words, fault *why) {
    char *copy = mem_copy_text(words);
    if (!copy) return fault_memory(why);
    for (size_t i = 0; i < it->n_texts; i++) {
        if (strcmp(it->texts[i].name, name) != 0) continue;
        mem_free(it->texts[i].words);
        it->texts[i].words = copy;
        return OK;
    }
    mem_free(copy);
    return OK;
}

status held_keep_text(held *it, const char *name, bool current, const char *words, fault *why) {
    if (held_text(it, name, current)) return replace_text(it, name, words, why);
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
