#include "cli/address.h"
#include "cli/cli.h"
#include "cli/options.h"
#include "cli/planes.h"
#include "cli/today.h"
#include "cli/wrap.h"
#include "ops/day_sheet.h"

#include <stdio.h>

/* What does not break on paper may in 80 columns. */
static const char *more(plan *p, const char *before, const char *label, const char *words) {
    if (!*words) return before;
    const char *all = arena_print(p->memory, "%s%s%s%s.", before, *before ? " " : "", label, words);
    return all ? all : before;
}

static void print_line(plan *p, const char *first, const char *second, const char *sentence) {
    const char *label = arena_print(p->memory, "  %-20s", first);
    const char *whole = arena_print(p->memory, "%s%s%s", second, *second ? ": " : "", sentence);
    wrap_print(stdout, label ? label : "  ", whole ? whole : "", 22);
}

static void print_tasks(plan *p, const day_sheet *d) {
    for (size_t i = 0; i < d->n_tasks; i++) {
        const day_task *t = &d->tasks[i];
        const char *words =
            more(p, more(p, more(p, "", "", t->task), "People: ", t->people), "Plant: ", t->plant);
        /* The hours in a column of 20; nothing in them is wider than a byte but for the blank before am and pm. */
        int pad = 20 - wrap_width(t->hours);
        const char *label = arena_print(p->memory, "  %s%*s", t->hours, pad > 1 ? pad : 1, "");
        const char *whole = arena_print(p->memory, "%s: %s", t->where, words);
        wrap_print(stdout, label ? label : "  ", whole ? whole : "", 22);
    }
}

static void print_batches(plan *p, const day_sheet *d) {
    if (d->n_batches == 0) return;
    printf("\nBatches\n");
    for (size_t i = 0; i < d->n_batches; i++) {
        const day_batch *b = &d->batches[i];
        const char *measure = *b->measure ? arena_print(p->memory, ", or %s", b->measure) : "";
        const char *whole = arena_print(p->memory, "mix at %s, use by %s; %s%s", b->mixed, b->use_by, b->take,
                                        measure ? measure : "");
        print_line(p, b->what, "", whole ? whole : "");
    }
    if (*d->tub) wrap_print(stdout, "  ", d->tub, 2);
}

static void print_people(plan *p, const day_sheet *d) {
    if (d->n_people == 0) return;
    printf("\nVibration (100 points: action value), noise, dust, respirator\n");
    for (size_t i = 0; i < d->n_people; i++) {
        const day_person *of = &d->people[i];
        const char *whole =
            arena_print(p->memory, "%s; noise %s; dust %s; respirator %s%s%s", of->vibration, of->noise,
                        of->silica, of->respirator, *of->sentence ? ". " : "", of->sentence);
        print_line(p, of->who, "", whole ? whole : "");
    }
}

static void print_lines(const char *title, const day_line *list, size_t n) {
    if (n) printf("\n%s\n", title);
    for (size_t i = 0; i < n; i++) {
        if (*list[i].first) {
            wrap_print(stdout, "  ", list[i].first, 2);
            wrap_print(stdout, "      ", list[i].second, 6);
        } else {
            wrap_print(stdout, "  ", list[i].second, 6);
        }
    }
}

static void print_day(plan *p, const day_sheet *d) {
    printf("%s%s%s\n", d->title, *d->site ? "  " : "", d->site);
    wrap_print(stdout, "Hours ", d->hours, 6);
    wrap_print(stdout, "Crew ", d->crew, 5);
    if (*d->visits) wrap_print(stdout, "Keep moist ", d->visits, 11);
    printf("\n");
    print_tasks(p, d);
    print_batches(p, d);
    if (d->n_holds) printf("\nHold points: a tick and a name before the next step\n");
    for (size_t i = 0; i < d->n_holds; i++) print_line(p, d->holds[i].where, "", d->holds[i].title);
    print_people(p, d);
    print_lines("Tools", d->controls, d->n_controls);
    print_lines("Cautions", d->cautions, d->n_cautions);
}

int cli_day(int argc, char **argv) {
    const char *date = NULL, *planes = NULL, *address = NULL, *pdf = NULL, *svg = NULL, *now = NULL;
    ops_plan_request request;
    const options_item items[] = {
        {"--pdf", "FILE", "writes the sheet as a page, one a day", &pdf, NULL},
        {"--svg", "FILE", "writes the bars of the day, by person", &svg, NULL},
        {"--address", "URL", "of the page on site: a QR code on the sheet opens the day", &address, NULL},
        {"--date", "YYYY-MM-DD", "date of the document (default today)", &date, NULL},
        {"--now", "TIME",
         "where work has begun: plan the rest from this time on, YYYY-MM-DDTHH:MM of the site; default: now",
         &now, NULL},
        PLANES_OPTION(planes)};
    const options_table table = {
        "day",
        "JOB DATE",
        "Prints the day of a crew: who does what when, what is mixed, hold points, curing visits, "
        "exposure. DATE is a day, its number from the first day of work, or all.",
        items,
        sizeof items / sizeof *items,
        2,
        2};
    fault why = {0};
    size_t n;
    bool done;
    char today[TODAY_TEXT], clock[LOCAL_TEXT];
    ops_job job = {0};
    ops_works_day_result result;
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    if (code == OK) code = today_read(date, today, &why);
    if (code == OK) code = planes_read(planes, &request, &why);
    if (code == OK) code = address_read(address, &why);
    if (code == OK) code = planes_works(now, clock, &request, &why);
    if (code == OK) code = ops_look(argv[1], &request, &job, &why);
    if (code == OK) {
        const char *link = address ? ops_link(job.plan->memory, address, argv[1]) : NULL;
        const ops_works_day_request of = {argv[2], today, link, pdf, svg};
        code = ops_works_day(&job, &of, &result, &why);
    }
    for (size_t i = 0; code == OK && i < result.n; i++) {
        if (i) printf("\n");
        print_day(job.plan, &result.days[i]);
    }
    ops_job_free(&job);
    return code == OK ? 0 : cli_fail(&why);
}
