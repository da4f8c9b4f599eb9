#include "ops/ops.h"

#include "core/file.h"
#include "report/gantt.h"
#include "report/ical.h"
#include "report/report.h"

#include <ctype.h>
#include <string.h>

typedef struct {
    const ops_job *job;
    arena *memory;
    const ops_report_request *request;
    ops_report_result *out;
    fault *why;
} reporting;

static status note_file(reporting *r, const char *path) {
    const char **files = arena_push(r->memory, r->out->files, &r->out->n, sizeof *files);
    if (!files || !path) return fault_memory(r->why);
    r->out->files = files;
    files[r->out->n - 1] = path;
    return OK;
}

static const char *path_of(const reporting *r, const char *stem, const char *ending) {
    char *path = arena_print(r->memory, "%s/%s.%s", r->request->folder, stem, ending);
    return path;
}

static status write_text(reporting *r, const char *path, text *bytes, status code) {
    if (code == OK && !path) code = fault_memory(r->why);
    if (code == OK) code = file_write(path, text_get(bytes), bytes->length, r->why);
    text_free(bytes);
    return code == OK ? note_file(r, path) : code;
}

/* A text as a file name: letters, digits, - and _ stay. NULL is fine. */
static void file_name(char *stem) {
    for (char *c = stem; c && *c; c++)
        if (!isalnum((unsigned char)*c) && *c != '-' && *c != '_') *c = '_';
}

static const char *face_stem(const reporting *r, size_t face) {
    char *stem = arena_print(r->memory, "face-%zu-%s", face + 1, r->job->survey->faces[face].id);
    file_name(stem);
    return stem;
}

static bool has_leak(const survey *s, size_t face) {
    for (size_t i = 0; i < s->n_defects; i++)
        for (size_t k = 0; k < s->defects[i].n_parts; k++)
            if (strcmp(s->defects[i].parts[k].face, s->faces[face].id) == 0) return true;
    return false;
}

static status write_faces(reporting *r) {
    status code = OK;
    for (size_t i = 0; code == OK && i < r->job->survey->n_faces; i++) {
        if (!has_leak(r->job->survey, i)) continue;
        text svg = {0};
        const char *stem = face_stem(r, i);
        code = stem ? report_svg(r->job->plan, i, &svg, r->why) : fault_memory(r->why);
        code = write_text(r, stem ? path_of(r, stem, "svg") : NULL, &svg, code);
    }
    return code;
}

/* One figure a crack plane, named by its first leak. */
static status write_planes(reporting *r) {
    const plan *p = r->job->plan;
    status code = OK;
    for (size_t i = 0; code == OK && i < p->n_planes; i++) {
        if (p->planes[i].problem) continue;
        text svg = {0};
        char *stem = arena_print(r->memory, "plane-%s", p->leaks[p->planes[i].group->leaks[0]].defect->mark);
        file_name(stem);
        code = stem ? report_plane_svg(p, i, &svg, r->why) : fault_memory(r->why);
        code = write_text(r, stem ? path_of(r, stem, "svg") : NULL, &svg, code);
    }
    return code;
}

/* One plot a gauge, named by its leak. */
static status write_movement(reporting *r) {
    const plan *p = r->job->plan;
    status code = OK;
    for (size_t i = 0; i < p->n_leaks; i++)
        for (size_t k = 0; code == OK && k < p->diagnoses[i].n_gauges; k++) {
            text svg = {0};
            char *stem = arena_print(r->memory, "movement-%s-%zu", p->leaks[i].defect->mark, k + 1);
            file_name(stem);
            code = stem ? report_movement_svg(p, i, k, &svg, r->why) : fault_memory(r->why);
            code = write_text(r, stem ? path_of(r, stem, "svg") : NULL, &svg, code);
        }
    return code;
}

/* The name of a job file without its folders and ending; NULL without memory. */
static char *job_stem(arena *memory, const char *path) {
    const char *slash = strrchr(path, '/');
    char *job = arena_copy(memory, slash ? slash + 1 : path);
    char *ending = job ? strrchr(job, '.') : NULL;
    if (ending && ending != job) *ending = '\0';
    return job;
}

/* Rows by leak, and by person where there are several; a calendar where the days are known. */
static status write_works(reporting *r) {
    static const char *const stems[GANTT_FORMS] = {"works", "works-people"};
    const works_plan *works = r->job->plan->works;
    if (!works || works->n_tasks == 0) return OK;
    status code = OK;
    for (int form = 0; code == OK && form < GANTT_FORMS; form++) {
        if (form == GANTT_PEOPLE && works->n_workers < 2) continue;
        text svg = {0};
        code = gantt_svg(r->job->survey, works, (gantt_form)form, GANTT_ALL_DAYS, &svg, r->why);
        code = write_text(r, path_of(r, stems[form], "svg"), &svg, code);
    }
    if (code != OK || !works->start_on) return code;
    text ics = {0};
    ical_options options = {r->request->today, STANCH_VERSION,
                            job_stem(r->memory, r->request->path ? r->request->path : "")};
    code = options.job ? report_ical(r->job->survey, works, &options, &ics, r->why) : fault_memory(r->why);
    return write_text(r, path_of(r, "works", "ics"), &ics, code);
}

const char *ops_link(arena *memory, const char *address, const char *job_path) {
    const char *job = job_stem(memory, job_path);
    if (!job) return NULL;
    text link = {0};
    text_print(&link, "%s/#/job/", address);
    text_add_escaped(&link, job);
    text_add(&link, "/");
    const char *copy = link.failed ? NULL : arena_copy(memory, text_get(&link));
    text_free(&link);
    return copy;
}

status ops_report(const ops_job *job, const ops_report_request *request, ops_report_result *out, fault *why) {
    const report_options options = {.date = request->today, .version = STANCH_VERSION, .link = request->link};
    reporting r = {job, request->memory, request, out, why};
    text pdf = {0}, dxf = {0};
    *out = (ops_report_result){0};
    status code = file_make_folder(request->folder, why);
    if (code != OK) return code;
    code = write_text(&r, path_of(&r, "plan", "pdf"), &pdf, report_pdf(job->plan, &options, &pdf, why));
    if (code == OK) code = write_faces(&r);
    if (code == OK) code = write_planes(&r);
    if (code == OK) code = write_movement(&r);
    if (code == OK) code = write_works(&r);
    if (code == OK)
        code = write_text(&r, path_of(&r, "faces", "dxf"), &dxf, report_dxf(job->plan, &dxf, why));
    if (code != OK) return code;
    const char *book = path_of(&r, "quantities", "xlsx");
    code = book ? report_xlsx(job->plan, &options, book, why) : fault_memory(why);
    return code == OK ? note_file(&r, book) : code;
}
