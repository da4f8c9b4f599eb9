#include "accept/show.h"
#include "cli/cli.h"
#include "cli/options.h"
#include "cli/planes.h"
#include "cli/today.h"
#include "cli/wrap.h"
#include "core/file.h"
#include "ops/proof.h"

#include <stdio.h>
#include <string.h>

enum { MARK = 8, VERDICT = 10, KEPT = 15, REACHED = 17, INDENT = 10 };

/* ---- the leaks ---- */

static void print_cells(const char *mark, const char *verdict, const char *kept, const char *reached,
                        const char *flows) {
    const struct {
        const char *said;
        int columns;
    } cells[] = {{mark, MARK}, {verdict, VERDICT}, {kept, KEPT}, {reached, REACHED}};
    size_t n = sizeof cells / sizeof *cells;
    while (!*flows && n > 1 && !*cells[n - 1].said) n--; /* no blanks at the end of a line */
    for (size_t i = 0; i < n; i++) {
        wrap_cell(stdout, cells[i].said, *flows || i + 1 < n ? cells[i].columns : wrap_width(cells[i].said));
        if (*flows || i + 1 < n) printf("  ");
    }
    printf("%s\n", flows);
}

/* "ZTV-ING class 2" of "ZTV-ING class 2, largely dry". */
static void print_leak(const plan *p, const proof_leak *leak) {
    char reached[64];
    snprintf(reached, sizeof reached, "%.*s", (int)strcspn(leak->reached, ","), leak->reached);
    print_cells(leak->mark, proof_verdict_words[leak->verdict], accept_show_kept(p, leak), reached,
                accept_show_change(p, leak));
}

static void print_marks(const char *label, const char **marks, size_t n) {
    printf("%*s%s", INDENT, "", label);
    for (size_t i = 0; i < n; i++) printf("%s%s", i ? ", " : " ", marks[i]);
    printf("\n");
}

static void print_more(const plan *p, const proof_leak *leak) {
    char label[INDENT + 1];
    const char *drips = proof_say_drips(p, leak->drips_per_min, leak->drips_m);
    snprintf(label, sizeof label, "%*s", INDENT, "");
    if (leak->verdict == PROOF_BROKEN || leak->verdict == PROOF_NOT_PROVEN ||
        (leak->verdict == PROOF_OPEN && leak->n_tests > 0))
        wrap_print(stdout, label, leak->sentence, INDENT);
    if (leak->verdict != PROOF_BROKEN && leak->drips_per_min.known && leak->drips_per_min.v > 0)
        wrap_print(stdout, label, drips, INDENT);
    if (leak->moved_from)
        printf("%*smoved from %s%s\n", INDENT, "", leak->moved_from,
               leak->moved_is_hint ? "? It was found near it after its repair." : "");
    if (leak->n_moved_to > 0) print_marks("sent its water to", leak->moved_to, leak->n_moved_to);
}

static void print_leaks(const plan *p, const accept_job *job) {
    if (job->n_leaks == 0) return;
    bool expected = false;
    printf("\n");
    print_cells("mark", "verdict", "kept of treated", "reached", "before -> after");
    for (size_t i = 0; i < job->n_leaks; i++) {
        print_leak(p, &job->leaks[i]);
        print_more(p, &job->leaks[i]);
        expected = expected || (job->leaks[i].before_m3_s.known && !job->leaks[i].before_measured);
    }
    if (expected) printf("~ expected by width and head, not measured\n");
}

/* ---- the rest ---- */

static void print_tanks(const accept_job *job) {
    for (size_t i = 0; i < job->n_tanks; i++) {
        const accept_tank *t = &job->tanks[i];
        char label[INDENT + 1];
        snprintf(label, sizeof label, "%*s", INDENT, "");
        printf("\ntank %s  %s  by %s, %zu reading%s\n", t->tank->id,
               t->judged ? watertest_verdict_words[t->result.verdict] : "not judged",
               t->rule ? t->rule->name : "", t->n_readings, t->n_readings == 1 ? "" : "s");
        wrap_print(stdout, label, t->judged ? t->result.reason : t->problem, INDENT);
        for (size_t k = 0; t->judged && k < t->result.n_findings; k++)
            wrap_print(stdout, "        - ", t->result.findings[k], INDENT);
    }
}

static bool is_same(const revisit *a, const revisit *b) {
    return a->kind == b->kind && a->state == b->state && (!a->on == !b->on) &&
           (!a->on || strcmp(a->on, b->on) == 0);
}

/* One line a day and kind, with its leaks. */
static void print_due(const accept_job *job) {
    bool any = false;
    for (size_t i = 0; i < job->n_revisits; i++) {
        const revisit *v = &job->revisits[i];
        bool told = v->state == REVISIT_DONE;
        text marks = {0};
        char label[64];
        for (size_t k = 0; k < i && !told; k++) told = is_same(v, &job->revisits[k]);
        if (told) continue;
        for (size_t k = i; k < job->n_revisits; k++)
            if (is_same(v, &job->revisits[k]))
                text_print(&marks, "%s%s", marks.length ? ", " : "", job->revisits[k].mark);
        if (!any) printf("\nto be looked at again\n");
        any = true;
        snprintf(label, sizeof label, "  %-10s  %-10s  %-7s  ", v->on ? v->on : "no date",
                 revisit_words[v->kind], revisit_state_words[v->state]);
        wrap_print(stdout, label, text_get(&marks), 35);
        text_free(&marks);
    }
}

static void print_job(const plan *p, const accept_job *job) {
    wrap_print(stdout, "class agreed: ", accept_show_agreed(p, job), 14);
    wrap_print(stdout, "it asks: ", tightness_asks(job->class_id), 9);
    wrap_print(stdout, "verdict: ", job->sentence, 9);
    if (job->saved_m3_s.known) {
        char label[80];
        snprintf(label, sizeof label, "saved, on %zu leak%s: ", job->n_flows, job->n_flows == 1 ? "" : "s");
        wrap_print(stdout, label, accept_show_saved(p, job->saved_m3_s), 9);
    }
    print_leaks(p, job);
    print_tanks(job);
    print_due(job);
}

/* ---- the command ---- */

typedef struct {
    const char *date, *calendar;
    bool json;
} accept_words;

/* The name of a job file without its folders and its ending, for the calendar. */
static void job_name(const char *path, char *into, size_t size) {
    const char *slash = strrchr(path, '/');
    snprintf(into, size, "%s", slash ? slash + 1 : path);
    char *ending = strrchr(into, '.');
    if (ending && ending != into) *ending = '\0';
}

static status give(const accept_words *w, const char *path, const plan *p, const ops_proof *proof,
                   fault *why) {
    text out = {0};
    char job[256];
    status code = OK;
    job_name(path, job, sizeof job);
    if (w->calendar) code = ops_revisits_ical(p, proof, job, &out, why);
    if (code == OK && w->calendar) code = file_write(w->calendar, text_get(&out), out.length, why);
    text_free(&out);
    if (code == OK && w->json) code = ops_proof_json(p, proof, &out, why);
    if (code == OK && w->json) printf("%s\n", text_get(&out));
    if (code == OK && !w->json) print_job(p, &proof->accept);
    if (code == OK && !w->json && w->calendar) printf("\n%s\n", w->calendar);
    text_free(&out);
    return code;
}

static status run(const accept_words *w, const char *path, fault *why) {
    char today[TODAY_TEXT];
    ops_plan_request request;
    ops_job job = {0};
    ops_proof proof = {0};
    status code = today_read(w->date, today, why);
    if (code == OK) code = planes_read("off", &request, why); /* a proof asks nothing of them */
    if (code == OK) code = ops_look(path, &request, &job, why);
    if (code == OK) code = ops_proof_look(path, &job, today, &proof, why);
    if (code == OK) code = give(w, path, job.plan, &proof, why);
    ops_proof_free(&proof);
    ops_job_free(&job);
    return code;
}

int cli_accept(int argc, char **argv) {
    accept_words w = {0};
    const options_item items[] = {
        {"--date", "YYYY-MM-DD", "the day by which looks are due (default today)", &w.date, NULL},
        {"--calendar", "FILE", "write the looks that are due as a calendar (.ics)", &w.calendar, NULL},
        {"--json", NULL, "as JSON", NULL, &w.json},
    };
    const options_table table = {"accept",
                                 "JOB",
                                 "Is it proved dry? Tests at the leaks (stanch record JOB MARK proof --hand "
                                 "dry --blotter clean --drips 0 "
                                 "--water-level 2.4) are held against the class agreed, metre by metre, and "
                                 "the readings of tanks (stanch tank) "
                                 "against their criterion. A test with the water lower than at the survey "
                                 "proves nothing. Then what was saved, "
                                 "where the water went, and what is to be looked at again.",
                                 items,
                                 sizeof items / sizeof *items,
                                 1,
                                 1};
    fault why = {0};
    size_t n;
    bool done;
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    if (code == OK) code = run(&w, argv[1], &why);
    return code == OK ? 0 : cli_fail(&why);
}
