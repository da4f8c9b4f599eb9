#include "web/surveys.h"

#include "ops/edit.h"
#include "ops/history.h"

#include <pthread.h>
#include <string.h>
#include <sys/stat.h>

typedef struct {
    char *path, *words;
    size_t length;
    ino_t file; /* a copy put in place of a job may count to the same revision */
    long long revision, used;
} kept_survey;

typedef struct {
    pthread_mutex_t lock;
    kept_survey places[SURVEYS_KEPT];
    long long clock;
} surveys;

static void *make(web_server *s) {
    (void)s;
    surveys *all = mem_zero(1, sizeof *all);
    if (all) pthread_mutex_init(&all->lock, NULL);
    return all;
}

static void end(void *data) {
    surveys *all = data;
    for (size_t i = 0; i < SURVEYS_KEPT; i++) {
        mem_free(all->places[i].path);
        mem_free(all->places[i].words);
    }
    pthread_mutex_destroy(&all->lock);
    mem_free(all);
}

static ino_t file_of(const char *path) {
    struct stat about;
    return stat(path, &about) == 0 ? about.st_ino : 0;
}

static bool find(surveys *all, const char *path, long long revision, text *to) {
    bool found = false;
    ino_t file = file_of(path);
    pthread_mutex_lock(&all->lock);
    for (size_t i = 0; !found && i < SURVEYS_KEPT; i++) {
        kept_survey *k = &all->places[i];
        if (!k->path || k->revision != revision || k->file != file || strcmp(k->path, path) != 0) continue;
        k->used = ++all->clock;
        text_add_bytes(to, k->words, k->length);
        found = true;
    }
    pthread_mutex_unlock(&all->lock);
    return found;
}

/* In place of the job's older one, or of the one asked for longest ago. Without memory nothing is kept. */
static void keep(surveys *all, const char *path, long long revision, const text *words) {
    kept_survey fresh = {.path = mem_copy_text(path),
                         .words = mem_get(words->length, 1),
                         .length = words->length,
                         .file = file_of(path),
                         .revision = revision};
    if (fresh.path && fresh.words && words->length <= SURVEYS_LONGEST) {
        memcpy(fresh.words, words->bytes, words->length);
        pthread_mutex_lock(&all->lock);
        kept_survey *place = &all->places[0];
        for (size_t i = 1; i < SURVEYS_KEPT; i++)
            if (all->places[i].used < place->used) place = &all->places[i];
        for (size_t i = 0; i < SURVEYS_KEPT; i++)
            if (all->places[i].path && strcmp(all->places[i].path, path) == 0) place = &all->places[i];
        kept_survey before = *place;
        fresh.used = ++all->clock;
        *place = fresh;
        fresh = before;
        pthread_mutex_unlock(&all->lock);
    }
    mem_free(fresh.path);
    mem_free(fresh.words);
}

status surveys_write(web_server *s, const char *path, long long *revision, text *to, fault *why) {
    surveys *all = web_server_keep(s, WEB_KEEP_SURVEYS, make, end);
    status code = all ? ops_revision(path, revision, why) : fault_memory(why);
    if (code != OK || find(all, path, *revision, to)) return code;
    code = ops_survey_json(path, revision, to, why); /* one state, whose revision may be a later one */
    if (code == OK && !to->failed) keep(all, path, *revision, to);
    return code;
}
