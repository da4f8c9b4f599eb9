#include "cli/cli.h"
#include "cli/options.h"
#include "cli/planes.h"
#include "cli/today.h"
#include "cli/wrap.h"
#include "ops/ops.h"
#include "report/works_words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The job sheet: findings, leaks, orders, price, in 80 columns. */

static void print_money(const plan *p, const char *label, double money) {
    printf("%-56s %14.2f %s\n", label, money, p->survey->site.currency);
}

static void print_finding(const finding *f) {
    char label[120];
    snprintf(label, sizeof label, "%s %s %s: ",
             f->answer                  ? "done"
             : f->level == FINDING_STOP ? "STOP"
                                        : "ASK ",
             f->mark, f->code);
    wrap_print(stdout, label, f->sentence, 5);
    if (!f->answer) return;
    char by[300];
    snprintf(by, sizeof by, "     answered by %.100s%s%.10s: ", f->answer->by, f->answer->on ? ", " : "",
             f->answer->on ? f->answer->on : "");
    wrap_print(stdout, by, f->answer->what, 5);
}

static void print_findings(const plan *p) {
    printf("Findings: %zu STOP and %zu ASK open\n", plan_open_stops(p), plan_open_asks(p));
    for (size_t i = 0; i < p->findings.n; i++)
        if (p->findings.items[i].level == FINDING_STOP) print_finding(&p->findings.items[i]);
    for (size_t i = 0; i < p->findings.n; i++)
        if (p->findings.items[i].level == FINDING_ASK) print_finding(&p->findings.items[i]);
}

/* "37 mm", "20-50 mm" where steel holds a stretch up; ! does not hold, ? not scanned. */
enum { DEPTH_SHOWN = 2 * UNITS_SHOWN + 4 };
static const char *depth_of(const plan *p, size_t i, char into[DEPTH_SHOWN]) {
    const repair_design *d = &p->designs[i];
    double deepest = 0, least = HUGE_VAL;
    bool holds = true;
    for (size_t k = 0; k < d->n_slots; k++) {
        deepest = fmax(deepest, d->slots[k].depth_m);
        least = fmin(least, d->slots[k].depth_m);
        holds = holds && d->slots[k].holds;
    }
    if (!(deepest > 0)) return "";
    units_system u = p->survey->site.system;
    char most[UNITS_SHOWN], low[UNITS_SHOWN] = "";
    units_show(UNITS_SIZE, u, deepest, u == UNITS_US ? 2 : 0, most);
    if (least < deepest) {
        units_show(UNITS_SIZE, u, least, u == UNITS_US ? 2 : 0, low);
        char *blank = strchr(low, ' ');
        if (blank) strcpy(blank, "-");
    }
    snprintf(into, DEPTH_SHOWN, "%s%s%s%s", low, most, holds ? "" : "!", d->scan_first ? "?" : "");
    return into;
}

static void print_leak(const plan *p, size_t i) {
    units_system u = p->survey->site.system;
    const leak_water *l = &p->leaks[i];
    char flow[UNITS_SHOWN + 2] = "", known[UNITS_SHOWN], head[UNITS_SHOWN], slot[UNITS_SHOWN] = "",
                            depth[DEPTH_SHOWN], money[32] = "";
    if (l->flow_m3_s.known)
        snprintf(flow, sizeof flow, "%s%s", units_show(UNITS_FLOW, u, l->flow_m3_s.v, 2, known),
                 l->basis == FLOW_EXPECTED ? "?" : "");
    if (p->takeoff.leaks[i].slot_length_m > 0)
        units_show(UNITS_LENGTH, u, p->takeoff.leaks[i].slot_length_m, 2, slot);
    if (p->price.leaks[i].cost > 0) snprintf(money, sizeof money, "%.2f", p->price.leaks[i].cost);
    wrap_cell(stdout, l->defect->mark, 7);
    wrap_cell(stdout, survey_wetness_words[l->worst], 5);
    wrap_cell(stdout, flow, 13);
    wrap_cell(stdout,
              units_show(UNITS_LENGTH, u, p->designs[i].head_m > 0 ? p->designs[i].head_m : l->head_design_m,
                         2, head),
              8);
    wrap_cell(stdout, method_words[p->designs[i].method.name], 18);
    wrap_cell(stdout, slot, 8);
    wrap_cell(stdout, depth_of(p, i, depth), 11);
    printf("%9s\n", money);
}

static void print_leaks(const plan *p, size_t most) {
    printf("\n%-7s%-5s%-13s%-8s%-18s%-8s%-11s%9s\n", "mark", "seen", "flow", "head", "method", "slot", "deep",
           p->survey->site.currency);
    for (size_t i = 0; i < p->n_leaks && i < most; i++) print_leak(p, i);
    if (p->n_leaks > most)
        printf("... and %zu more: stanch report, or stanch plan --json\n", p->n_leaks - most);
    wrap_print(stdout, "flow: ", "measured, or with ? expected; head: at the design level, everything shut",
               0);
    wrap_print(stdout, "deep: ", "! a stretch does not hold with its factor, ? not scanned: scan it first",
               0);
}

/* What one mark has otherwise than in the last plan; the index behind them. */
static size_t print_changes_of(const ops_job *job, size_t from) {
    const char *mark = job->changes[from].mark;
    char label[40];
    text sentence = {0};
    size_t i = from;
    for (; i < job->n_changes && strcmp(job->changes[i].mark, mark) == 0; i++) {
        const ops_change *c = &job->changes[i];
        text_print(&sentence, "%s%s %s (was %s)", i > from ? "; " : "", c->label, c->after, c->before);
    }
    snprintf(label, sizeof label, "%-7.30s", *mark ? mark : "job");
    wrap_print(stdout, label, text_get(&sentence), 7);
    text_free(&sentence);
    return i;
}

static void print_changes(const ops_job *job, size_t most) {
    size_t marks = 0, i = 0;
    if (job->n_changes == 0) return;
    printf("\nChanged since the last plan\n");
    while (i < job->n_changes && marks++ < most) i = print_changes_of(job, i);
    if (i < job->n_changes) printf("... and %zu more changes\n", job->n_changes - i);
}

static int pad_to(const char *name, int columns) {
    int width = wrap_width(name);
    return width < columns ? columns - width : 1;
}

static void print_orders(const plan *p) {
    units_system u = p->survey->site.system;
    printf("\nTo buy\n");
    for (size_t i = 0; i < p->takeoff.n_orders; i++) {
        const takeoff_order *o = &p->takeoff.orders[i];
        const takeoff_amount amount = takeoff_amount_of(o);
        int decimals = amount.q != UNITS_VOLUME ? 1 : u == UNITS_US ? 3 : 2;
        char need[UNITS_SHOWN], left[UNITS_SHOWN], packs[200] = "";
        size_t used = 0;
        for (size_t k = 0; k < o->n_packs && used < sizeof packs; k++) {
            char size[UNITS_SHOWN];
            int wrote = snprintf(
                packs + used, sizeof packs - used, "%s%d x %s", k ? " + " : "", o->packs[k].count,
                units_show(amount.q, u, takeoff_pack_size(o->material, o->packs[k].pack), decimals, size));
            used += wrote > 0 ? (size_t)wrote : 0;
        }
        char label[300], sentence[400];
        units_show(amount.q, u, amount.need, decimals, need);
        snprintf(label, sizeof label, "  %.200s%*s%10s: ", o->material->name, pad_to(o->material->name, 26),
                 "", need);
        if (o->problem)
            snprintf(sentence, sizeof sentence, "%s", o->problem);
        else
            snprintf(sentence, sizeof sentence, "%s (left %s)", packs,
                     units_show(amount.q, u, amount.left, decimals, left));
        wrap_print(stdout, label, sentence, 40);
    }
}

/* Packers, rod and channel, where there are any. */
static void print_parts(const plan *p) {
    units_system u = p->survey->site.system;
    const takeoff_job *t = &p->takeoff;
    char drilled[UNITS_SHOWN], packers[100] = "", backer[UNITS_SHOWN], channel[UNITS_SHOWN];
    if (t->packers > 0)
        snprintf(packers, sizeof packers, "%d packers, %s of holes for them", t->packers,
                 units_show(UNITS_LENGTH, u, t->drill_m, 1, drilled));
    if (t->packers > 0) wrap_print(stdout, "  ", packers, 2);
    if (t->backer_m > 0)
        wrap_print(stdout, "  Backer rod ", units_show(UNITS_LENGTH, u, t->backer_m, 1, backer), 2);
    if (t->channel_m > 0)
        wrap_print(stdout, "  Drain channel ", units_show(UNITS_LENGTH, u, t->channel_m, 1, channel), 2);
}

static void print_totals(const plan *p) {
    units_system u = p->survey->site.system;
    const takeoff_job *t = &p->takeoff;
    char a[UNITS_SHOWN], b[UNITS_SHOWN], c[UNITS_SHOWN], d[UNITS_SHOWN], e[UNITS_SHOWN], all[400];
    snprintf(
        all, sizeof all,
        "Slot %s, coat %s (overlaps saved %s), wash water to take away %s, spoil %s; %.1f labour-hours, %.1f "
        "crew days.",
        units_show(UNITS_LENGTH, u, t->slot_length_m, 2, a), units_show(UNITS_AREA, u, t->coat_m2, 2, b),
        units_show(UNITS_AREA, u, t->overlap_saved_m2, 2, c),
        units_show(UNITS_VOLUME, u, t->wash_water_m3, 0, d), units_show(UNITS_MASS, u, t->spoil_kg, 0, e),
        p->price.hours_total, p->price.crew_days);
    printf("\n");
    wrap_print(stdout, "", all, 0);
}

static void print_price(const plan *p) {
    printf("\n");
    for (int group = 0; group < LINE_GROUPS; group++) {
        double sum = 0;
        for (size_t i = 0; i < p->price.n_lines; i++)
            if ((int)p->price.lines[i].group == group) sum += p->price.lines[i].amount;
        if (sum > 0) print_money(p, estimate_group_words[group], sum);
    }
    print_money(p, "Total, without tax", p->price.total);
    printf("\n");
    for (size_t i = 0; i < p->n_assumptions; i++) wrap_print(stdout, "- ", p->assumptions[i], 2);
}

/* The first tasks of the first day, in the order of their starts; the document has all. */
static const char *first_day(say *w, const works_plan *works) {
    enum { SHOWN = 7 };
    const char *all = "";
    int day = -1, shown = 0;
    size_t last = SIZE_MAX;
    for (; shown <= SHOWN; shown++) {
        size_t next = SIZE_MAX;
        for (size_t i = 0; i < works->n_tasks; i++) {
            int from = works->tasks[i].start_min;
            bool done = last != SIZE_MAX && (from < works->tasks[last].start_min ||
                                             (from == works->tasks[last].start_min && i <= last));
            if (!done && (next == SIZE_MAX || from < works->tasks[next].start_min)) next = i;
        }
        if (day < 0 && next != SIZE_MAX) day = works_day_of(works->tasks[next].start_min);
        if (next == SIZE_MAX || works_day_of(works->tasks[next].start_min) != day) break;
        if (shown < SHOWN)
            all = say_print(w, "%s%s%s %s", all, *all ? "; " : "",
                            works_said_time(w, works->tasks[next].start_min), works->tasks[next].id);
        last = next;
    }
    return shown > SHOWN ? say_print(w, "%s; and more", all) : all;
}

static void print_works(const plan *p) {
    say w = {.memory = p->memory, .system = p->survey->site.system, .currency = p->survey->site.currency};
    if (p->works_problem) wrap_print(stdout, "\nNo plan of the works: ", p->works_problem, 2);
    if (!p->works || p->works->n_tasks == 0) return;
    const struct {
        const char *label, *said;
    } lines[] = {{"\nWorks: ", works_said_when(&w, p->works)},
                 {"Out of service: ", works_said_out(&w, p->works)},
                 {"Back in service: ", works_said_deadline(&w, p->works)},
                 {"", works_said_bound(&w, p->works)},
                 {"First day: ", first_day(&w, p->works)}};
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++)
        if (lines[i].said && !w.failed) wrap_print(stdout, lines[i].label, lines[i].said, 2);
    enum { MOVED_SHOWN = 12 };
    if (p->n_moved) printf("Moved since the last plan:\n");
    for (size_t i = 0; i < p->n_moved && i < MOVED_SHOWN; i++)
        wrap_print(stdout, "  ", p->moved[i].sentence, 4);
    if (p->n_moved > MOVED_SHOWN) printf("  and %zu more (--json has all)\n", p->n_moved - MOVED_SHOWN);
}

static status print_plan(const ops_job *job, bool json, fault *why) {
    const plan *p = job->plan;
    if (json) {
        text out = {0};
        status code = ops_plan_json(p, &out, why);
        if (code == OK) fwrite(text_get(&out), 1, out.length, stdout);
        text_free(&out);
        return code;
    }
    char heading[300];
    snprintf(heading, sizeof heading, "%.200s: ", p->survey->site.name);
    wrap_print(stdout, heading, "job sheet", 0);
    print_findings(p);
    print_changes(job, 20);
    print_leaks(p, 60);
    print_orders(p);
    print_parts(p);
    print_totals(p);
    print_works(p);
    print_price(p);
    printf("\n");
    for (size_t i = 0; i < plan_n_general_cautions; i++)
        wrap_print(stdout, "! ", plan_general_cautions[i], 2);
    return OK;
}

int cli_plan(int argc, char **argv) {
    bool json = false;
    const char *planes = NULL, *now = NULL;
    char clock[LOCAL_TEXT];
    ops_plan_request request;
    const options_item items[] = {
        {"--json", NULL, "the whole plan as JSON instead of the job sheet", NULL, &json},
        {"--now", "TIME",
         "where work has begun: plan the rest from this time on, YYYY-MM-DDTHH:MM of the site; default: now",
         &now, NULL},
        PLANES_OPTION(planes)};
    const options_table table = {"plan",
                                 "JOB",
                                 "Runs look, why, what, how much and price over the job, keeps the results "
                                 "in it, and prints the job sheet.",
                                 items,
                                 3,
                                 1,
                                 1};
    fault why = {0};
    size_t n;
    bool done;
    ops_job job = {0};
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    if (code == OK) code = planes_read(planes, &request, &why);
    if (code == OK) code = planes_works(now, clock, &request, &why);
    if (code == OK) code = ops_plan(argv[1], &request, &job, &why);
    if (code == OK) code = print_plan(&job, json, &why);
    ops_job_free(&job);
    return code == OK ? 0 : cli_fail(&why);
}
