/* What takes longer than a request: planning, and the documents of a plan. */
#include "ops/history.h"
#include "web/errand.h"
#include "web/when.h"

#include <dirent.h>
#include <limits.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* ---- the documents that were written last, of each job ---- */

enum { PAPERS_KEPT = 8 };
static const char *const PAPERS[][2] = {
    {"plan.pdf", "application/pdf"},
    {"quantities.xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"},
    {"faces.dxf", "image/vnd.dxf"}};

typedef struct {
    char *path, *folder; /* of the job file; where its documents lie */
} papers;

typedef struct {
    pthread_mutex_t lock;
    papers places[PAPERS_KEPT];
    size_t next;
} shelf;

static void remove_folder(const char *folder) {
    DIR *open = opendir(folder);
    for (const struct dirent *entry; open && (entry = readdir(open)) != NULL;) {
        char path[PATH_MAX];
        if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0) continue;
        if (snprintf(path, sizeof path, "%s/%s", folder, entry->d_name) < (int)sizeof path) unlink(path);
    }
    if (open) closedir(open);
    rmdir(folder);
}

static void drop_papers(papers *p) {
    if (p->folder) remove_folder(p->folder);
    mem_free(p->path);
    mem_free(p->folder);
    *p = (papers){0};
}

static void *make_shelf(web_server *s) {
    (void)s;
    shelf *it = mem_zero(1, sizeof *it);
    if (it) pthread_mutex_init(&it->lock, NULL);
    return it;
}

static void end_shelf(void *data) {
    shelf *it = data;
    for (size_t i = 0; i < PAPERS_KEPT; i++) drop_papers(&it->places[i]);
    pthread_mutex_destroy(&it->lock);
    mem_free(it);
}

static shelf *shelf_of(web_server *s) {
    return web_server_keep(s, WEB_KEEP_PAPERS, make_shelf, end_shelf);
}

/* Put new documents (their path not set yet) in place of those that the job had; they are the shelf's from now on. */
static status shelve(shelf *it, const char *path, papers fresh, fault *why) {
    fresh.path = mem_copy_text(path);
    if (!fresh.path) {
        drop_papers(&fresh);
        return fault_memory(why);
    }
    pthread_mutex_lock(&it->lock);
    size_t place = it->next;
    for (size_t i = 0; i < PAPERS_KEPT; i++)
        if (it->places[i].path && strcmp(it->places[i].path, path) == 0) place = i;
    if (place == it->next) it->next = (it->next + 1) % PAPERS_KEPT;
    papers before = it->places[place];
    it->places[place] = fresh;
    pthread_mutex_unlock(&it->lock);
    drop_papers(&before); /* who is sending one of them has it open */
    return OK;
}

/* ---- what a work needs ---- */

/* The queue, made after all that its works use: the server ends what it made last first, so none is left without. */
static works *queue_of(web_server *s) {
    return plans_of(s) && shelf_of(s) ? works_of(s) : NULL;
}

static void end_errand(void *data) {
    errand *e = data;
    mem_free(e->path);
    mem_free(e->now);
    mem_free(e->address);
    mem_free(e->name);
    mem_free(e->who);
    mem_free(e);
}

errand *errand_make(const web_request *r, const char *path, const char *name) {
    errand *e = mem_zero(1, sizeof *e);
    if (!e) return NULL;
    e->server = r->server;
    e->path = mem_copy_text(path);
    e->now = mem_copy_text(r->now);
    e->address = mem_copy_text(r->address);
    e->name = mem_copy_text(name);
    e->who = mem_copy_text(r->who);
    if (e->path && e->now && e->address && e->name && e->who) return e;
    end_errand(e);
    return NULL;
}

status errand_start(const web_request *r, const char *what, work_run *run, errand *e, web_response *out,
                    fault *why) {
    works *all = queue_of(r->server);
    long long number = 0;
    if (!all || !e) {
        if (e) end_errand(e);
        return fault_memory(why);
    }
    const char *job = r->variables[0] ? r->variables[0] : ""; /* "": of the whole folder */
    status code = works_start(all, &(work_order){what, job, run, e, end_errand}, &number, why);
    if (code == OK) text_print(&out->body, "{\"work\": %lld}", number);
    return code;
}

status errand_keep(const errand *e, held *of, const char *name, const char *made, fault *why) {
    long long now = 0;
    bool current = false;
    status code = ops_revision(e->path, &now, why);
    if (code != OK) return code;
    held_lock(of);
    code = held_current(of, now, &current, why);
    if (code == OK) code = held_keep_text(of, name, current, made, why);
    held_unlock(of);
    return code;
}

status errand_tell_clock(const errand *e, errand_clock *out, fault *why) {
    long long seconds;
    if (when_read(e->now, &seconds) && clock_local(seconds, out->now, &out->utc_offset_min)) return OK;
    return fault_set(why, E_INPUT, "the clock does not tell a date");
}

/* ---- planning ---- */

/* Half of the processors: the other half answers. */
static int threads(void) {
    long processors = sysconf(_SC_NPROCESSORS_ONLN);
    return processors > 2 && processors < 1000 ? (int)(processors / 2) : 1;
}

/* The list in {"changes": [...]} that planning left in the job, as text of its own; NULL: none. */
static char *changes_of(const char *path, arena *memory) {
    const char *body = NULL;
    if (ops_stored(path, "changes", "", memory, &body, NULL) != OK || !body) return NULL;
    json_t *root = json_loads(body, JSON_REJECT_DUPLICATES, NULL);
    const json_t *list = json_object_get(root, "changes");
    char *words = json_is_array(list) ? json_dumps(list, JSON_COMPACT) : NULL; /* the library's own memory */
    char *copy = words ? arena_copy(memory, words) : NULL;
    free(words);
    json_decref(root);
    return copy;
}

static status run_plan(void *data, work *self, fault *why) {
    const errand *e = data;
    errand_clock clock;
    status code = errand_tell_clock(e, &clock, why);
    if (code != OK) return code;
    const ops_plan_request request = {.planes = e->planes ? PLANES_RUN : PLANES_OFF,
                                      .threads = threads(),
                                      .works = true,
                                      .now = clock.now,
                                      .utc_offset_min = clock.utc_offset_min,
                                      .stop = work_stopping(self),
                                      .progress = work_progress,
                                      .progress_to = self};
    plans *all = plans_of(e->server);
    arena *memory = arena_new();
    ops_job job = {0};
    long long revision = 0;
    code = all && memory ? ops_revision(e->path, &revision, why) : fault_memory(why);
    if (code == OK) code = ops_plan(e->path, &request, &job, why);
    if (code == OK) code = plans_put(all, e->path, &job, revision, changes_of(e->path, memory), why);
    ops_job_free(&job);
    arena_free(memory);
    return code;
}

status api_plan_start(const web_request *r, web_response *out, fault *why) {
    const json_t *planes = json_object_get(r->json, "planes");
    const char *path;
    if (planes && !json_is_boolean(planes)) return fault_set(why, E_INPUT, "planes must be true or false");
    status code = web_job_path(r, out, &path, why);
    if (code != OK) return code;
    errand *e = errand_make(r, path, "");
    if (e) e->planes = !planes || json_is_true(planes);
    return errand_start(r, "plan", run_plan, e, out, why);
}

/* ---- documents ---- */

static char *temporary_folder(fault *why) {
    const char *place = getenv("TMPDIR");
    text name = {0};
    text_print(&name, "%s/stanch-paper-XXXXXX", place && *place ? place : "/tmp");
    char *folder = name.failed ? NULL : mkdtemp(name.bytes);
    if (!folder) {
        fault_set(why, E_IO, "no folder for the documents can be made in %s",
                  place && *place ? place : "/tmp");
        text_free(&name);
    }
    return folder; /* the text's bytes: mem_free */
}

static status run_report(void *data, work *self, fault *why) {
    const errand *e = data;
    plans *all = plans_of(e->server);
    shelf *papers_of_all = shelf_of(e->server);
    held *planned = all ? plans_hold(all, e->path) : NULL;
    arena *memory = arena_new();
    ops_report_result written;
    if (!planned || !memory || !papers_of_all) {
        if (planned) plans_let_go(all, planned);
        arena_free(memory);
        return planned ? fault_memory(why)
                       : fault_set(why, E_STATE, "the job is not planned yet: plan it first");
    }
    work_progress(self, 0.1, "writing PDF, drawings and sheets");
    char *folder = temporary_folder(why);
    status code = folder ? OK : E_IO;
    if (code == OK) {
        const char *today = arena_print(memory, "%.10s", e->now);
        const ops_report_request request = {folder, today, ops_link(memory, e->address, e->path), memory,
                                            e->path};
        code = ops_report(held_job(planned), &request, &written, why);
    }
    if (code == OK && atomic_load(work_stopping(self))) code = fault_set(why, E_STATE, "stopped");
    if (code == OK) {
        code = shelve(papers_of_all, e->path, (papers){.folder = folder}, why);
    } else if (folder) {
        remove_folder(folder);
        mem_free(folder);
    }
    plans_let_go(all, planned);
    arena_free(memory);
    return code;
}

status api_report_start(const web_request *r, web_response *out, fault *why) {
    const char *path;
    status code = web_job_path(r, out, &path, why);
    return code == OK ? errand_start(r, "report", run_report, errand_make(r, path, ""), out, why) : code;
}

status api_report(const web_request *r, web_response *out, fault *why) {
    const char *path, *type = NULL;
    shelf *it = shelf_of(r->server);
    status code = it ? web_job_path(r, out, &path, why) : fault_memory(why);
    if (code != OK) return code;
    for (size_t i = 0; i < sizeof PAPERS / sizeof *PAPERS; i++)
        if (strcmp(PAPERS[i][0], r->variables[1]) == 0) type = PAPERS[i][1];
    if (!type)
        return web_missing(out, why, "%.60s is none of plan.pdf, quantities.xlsx, faces.dxf",
                           r->variables[1]);
    pthread_mutex_lock(&it->lock);
    for (size_t i = 0; i < PAPERS_KEPT; i++)
        if (it->places[i].path && strcmp(it->places[i].path, path) == 0)
            out->file = arena_print(r->memory, "%s/%s", it->places[i].folder, r->variables[1]);
    pthread_mutex_unlock(&it->lock);
    if (!out->file) return web_missing(out, why, "the documents of this job are not written yet");
    out->type = type;
    out->save_as = arena_print(r->memory, "%s-%s", r->variables[0], r->variables[1]);
    return out->save_as ? OK : fault_memory(why);
}

/* ---- looking and stopping ---- */

static long long number_of(const char *word) {
    return strlen(word) <= 15 && strspn(word, "0123456789") == strlen(word) ? strtoll(word, NULL, 10) : 0;
}

status api_work(const web_request *r, web_response *out, fault *why) {
    works *all = queue_of(r->server);
    long long number = number_of(r->variables[0]);
    work_view view;
    if (!all) return fault_memory(why);
    if (!works_look(all, number, r->memory, &view))
        return web_missing(out, why, "there is no work %.20s", r->variables[0]);
    json_out o = {.to = &out->body};
    json_out_open(&o, NULL, '{');
    json_out_whole(&o, "work", number);
    json_out_text(&o, "what", view.what);
    json_out_text(&o, "job", view.job);
    json_out_text(&o, "state", work_state_words[view.state]);
    json_out_number(&o, "part", view.part);
    json_out_text(&o, "saying", view.saying);
    if (view.fault) {
        text told = {0};
        web_tell(r->server, view.fault, &told);
        json_out_text(&o, "fault", text_get(&told));
        text_free(&told);
    }
    json_out_close(&o, '}');
    return OK;
}

status api_work_stop(const web_request *r, web_response *out, fault *why) {
    works *all = queue_of(r->server);
    if (!all) return fault_memory(why);
    if (!works_stop(all, number_of(r->variables[0])))
        return web_missing(out, why, "there is no work %.20s", r->variables[0]);
    text_add(&out->body, "{}");
    return OK;
}
