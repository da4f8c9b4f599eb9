#include "cli/calc_rows.h"
#include "crew/schedule.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ID_BYTES = 80, MOST_SCHEDULES = 1000000, PATH_BYTES = 96 };
static const double MOST_SEED = 9007199254740991.0; /* 2^53 - 1: what a JSON number holds exactly */

static const char *const crewplan_sources[] = {
    "serial and parallel schedule generation: Kolisch 1996; forward-backward improvement: Li and Willis "
    "1992, "
    "Tormos and Lova 2001; two populations: Debels and Vanhoucke 2007; constants: our default",
    "lower bound: longest path, and the work of each resource as Jackson's preemptive schedule (Carlier "
    "1982)",
};

/* One resource that a task needs, as read. */
typedef struct {
    const char *name;
    double amount;
} need;

static bool read_needs(json_in *in, const json_path *at, json_t *value, calc_value *out) {
    static const json_range range = CALC_FROM(0, SCHEDULE_MOST_CAPACITY);
    const char *name;
    json_t *member;
    bool good = true;
    if (!json_in_is_object(in, at, value)) return false;
    need *needs = arena_get(in->memory, json_object_size(value), sizeof *needs);
    if (!needs) {
        fault_list_memory(in->faults);
        return false;
    }
    json_object_foreach(value, name, member) {
        (void)member; /* read by its name, so that a fault has its path */
        need *to = &needs[out->count];
        to->name = arena_copy(in->memory, name);
        if (!to->name) fault_list_memory(in->faults);
        good &= to->name && json_in_number(in, at, value, name, &range, NULL, &to->amount);
        out->count++;
    }
    out->custom = needs;
    return good;
}

static const calc_field resource_fields[] = {
    {.name = "name",
     .kind = CALC_TEXT,
     .required = true,
     .range = CALC_FROM(1, ID_BYTES),
     .text = "Of the people or plant: placer, mixer, lift."},
    {.name = "capacity",
     .required = true,
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(0, SCHEDULE_MOST_CAPACITY),
     .text = "How many there are; whole."},
};

static const calc_field after_fields[] = {
    {.name = "task",
     .kind = CALC_TEXT,
     .required = true,
     .range = CALC_FROM(1, ID_BYTES),
     .text = "The id of the earlier task."},
    {.name = "min_lag",
     .quantity = UNITS_PLAIN,
     .unit = "minutes",
     .range = CALC_FROM(0, SCHEDULE_MOST_MINUTES),
     .origin = "none",
     .fallback = 0,
     .text = "At least so long from its end to this start; whole."},
    {.name = "max_lag",
     .or_null = true,
     .quantity = UNITS_PLAIN,
     .unit = "minutes",
     .range = CALC_FROM(0, SCHEDULE_MOST_MINUTES),
     .text = "At most so long; whole. 0: at once. Null: no limit."},
};

static const calc_field task_fields[] = {
    {.name = "id", .kind = CALC_TEXT, .required = true, .range = CALC_FROM(1, ID_BYTES), .text = "Its own."},
    {.name = "minutes",
     .required = true,
     .quantity = UNITS_PLAIN,
     .unit = "minutes",
     .range = CALC_FROM(0, SCHEDULE_MOST_MINUTES),
     .text = "From its start to its end, without a break; whole."},
    {.name = "needs",
     .kind = CALC_CUSTOM,
     .read = read_needs,
     .shape = "object: the name of a resource to how many of it",
     .text = "From its start to its end."},
    {.name = "after",
     .kind = CALC_OBJECTS,
     .fields = after_fields,
     .fields_count = CALC_COUNT(after_fields),
     .text = "What must be over before it starts."},
};

static const calc_field shift_fields[] = {
    {.name = "from",
     .required = true,
     .quantity = UNITS_PLAIN,
     .unit = "minutes",
     .range = CALC_FROM(0, SCHEDULE_MOST_MINUTES),
     .text = "From the start of the plan; whole."},
    {.name = "to",
     .required = true,
     .quantity = UNITS_PLAIN,
     .unit = "minutes",
     .range = CALC_FROM(0, SCHEDULE_MOST_MINUTES),
     .text = "Its end; whole."},
};

static const calc_field crewplan_fields[] = {
    {.name = "resources",
     .kind = CALC_OBJECTS,
     .required = true,
     .fields = resource_fields,
     .fields_count = CALC_COUNT(resource_fields),
     .most = SCHEDULE_MOST_RESOURCES,
     .text = "People and plant of limited number."},
    {.name = "tasks",
     .kind = CALC_OBJECTS,
     .required = true,
     .fields = task_fields,
     .fields_count = CALC_COUNT(task_fields),
     .least = 1,
     .most = SCHEDULE_MOST_TASKS,
     .text = "In any order."},
    {.name = "shifts",
     .kind = CALC_OBJECTS,
     .or_null = true,
     .fields = shift_fields,
     .fields_count = CALC_COUNT(shift_fields),
     .least = 1,
     .text = "When work goes on, rising; every task lies in one. Null: always."},
    {.name = "schedules",
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(1, MOST_SCHEDULES),
     .origin = "our default",
     .fallback = 5000,
     .text = "At most so many passes of the generator; fewer when the bound is met. Whole."},
    {.name = "seed",
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(0, MOST_SEED),
     .origin = "our default",
     .fallback = 1,
     .text = "Of the random numbers; the same seed gives the same plan. Whole."},
};

/* ---- names ---- */

typedef struct {
    const char *name;
    size_t at;
} label;

static int by_name(const void *a, const void *b) {
    const label *x = a, *y = b;
    int order = strcmp(x->name, y->name);
    return order ? order : (x->at > y->at) - (x->at < y->at);
}

static int same_name(const void *key, const void *b) {
    return strcmp(key, ((const label *)b)->name);
}

/* The members `field` of a list of objects, sorted; E_INPUT where two are the same. */
static status index_names(calc_run *r, const char *list, const char *field, label **out) {
    const calc_value *from = calc_get(r->in, list);
    label *labels = arena_get(r->memory, from->count, sizeof *labels);
    if (!labels) return fault_memory(r->why);
    for (size_t i = 0; i < from->count; i++) labels[i] = (label){calc_get(&from->objects[i], field)->text, i};
    qsort(labels, from->count, sizeof *labels, by_name);
    *out = labels;
    for (size_t i = 1; i < from->count; i++)
        if (strcmp(labels[i].name, labels[i - 1].name) == 0)
            return fault_set(r->why, E_INPUT, "%s[%zu].%s: is %s, as %s[%zu].%s is; each has its own", list,
                             labels[i].at, field, labels[i].name, list, labels[i - 1].at, field);
    return OK;
}

static const label *find_name(const label *labels, size_t n, const char *name) {
    return bsearch(name, labels, n, sizeof *labels, same_name);
}

/* ---- taking ---- */

typedef struct {
    calc_run *r;
    schedule_problem problem;
    schedule_task *tasks;
    label *resources, *ids;
    status code; /* of the first number that is not whole */
} taking;

/* A whole number, checked to lie in its range already. */
static int take_whole(taking *k, const calc_object *o, const char *field, const char *path) {
    double v = calc_number(o, field);
    if (v != floor(v) && k->code == OK)
        k->code = fault_set(k->r->why, E_INPUT, "%s.%s: is %.17g; it must be a whole number", path, field, v);
    return (int)v;
}

static status take_resources(taking *k) {
    const calc_value *from = calc_get(k->r->in, "resources");
    schedule_resource *resources = arena_get(k->r->memory, from->count, sizeof *resources);
    if (!resources) return fault_memory(k->r->why);
    for (size_t i = 0; i < from->count; i++) {
        char path[PATH_BYTES];
        snprintf(path, sizeof path, "resources[%zu]", i);
        resources[i].name = calc_get(&from->objects[i], "name")->text;
        resources[i].capacity = take_whole(k, &from->objects[i], "capacity", path);
    }
    k->problem.resources = resources;
    k->problem.n_resources = from->count;
    return k->code == OK ? index_names(k->r, "resources", "name", &k->resources) : k->code;
}

static status take_needs(taking *k, const calc_value *from, size_t task, int *needs) {
    const need *list = from->custom;
    for (size_t i = 0; i < from->count; i++) {
        const label *found = find_name(k->resources, k->problem.n_resources, list[i].name);
        if (!found)
            return fault_set(k->r->why, E_INPUT, "tasks[%zu].needs.%s: there is no such resource", task,
                             list[i].name);
        if (list[i].amount != floor(list[i].amount))
            return fault_set(k->r->why, E_INPUT, "tasks[%zu].needs.%s: is %.17g; it must be a whole number",
                             task, list[i].name, list[i].amount);
        int there = k->problem.resources[found->at].capacity;
        if (list[i].amount > there)
            return fault_set(k->r->why, E_INPUT, "tasks[%zu].needs.%s: task %s needs %.17g; there are %d",
                             task, list[i].name, k->tasks[task].id, list[i].amount, there);
        needs[found->at] = (int)list[i].amount;
    }
    return OK;
}

static status take_after(taking *k, const calc_object *from, size_t task, size_t at, schedule_after *to) {
    char path[PATH_BYTES];
    const char *name = calc_get(from, "task")->text;
    const label *found = find_name(k->ids, k->problem.n_tasks, name);
    snprintf(path, sizeof path, "tasks[%zu].after[%zu]", task, at);
    if (!found || found->at == task)
        return fault_set(k->r->why, E_INPUT, "%s.task: is %s; %s", path, name,
                         found ? "a task cannot wait for itself" : "there is no such task");
    to->task = found->at;
    to->min_lag = take_whole(k, from, "min_lag", path);
    to->max_lag = calc_given(from, "max_lag") ? take_whole(k, from, "max_lag", path) : SCHEDULE_NO_LIMIT;
    if (k->code == OK && to->max_lag != SCHEDULE_NO_LIMIT && to->max_lag < to->min_lag)
        return fault_set(k->r->why, E_INPUT,
                         "%s.max_lag: is %d for task %s; it must not be below min_lag, %d", path, to->max_lag,
                         k->tasks[task].id, to->min_lag);
    return k->code;
}

static status take_task(taking *k, const calc_object *from, size_t i) {
    char path[PATH_BYTES];
    const calc_value *after = calc_get(from, "after");
    schedule_task *to = &k->tasks[i];
    int *needs = arena_get(k->r->memory, k->problem.n_resources, sizeof *needs);
    schedule_after *arcs = arena_get(k->r->memory, after->count, sizeof *arcs);
    if (!needs || !arcs) return fault_memory(k->r->why);
    snprintf(path, sizeof path, "tasks[%zu]", i);
    to->id = calc_get(from, "id")->text;
    to->minutes = take_whole(k, from, "minutes", path);
    to->calendar = k->problem.n_calendars ? 0 : SCHEDULE_ALWAYS;
    to->needs = needs;
    to->after = arcs;
    to->n_after = after->count;
    status code = k->code == OK ? take_needs(k, calc_get(from, "needs"), i, needs) : k->code;
    for (size_t a = 0; code == OK && a < after->count; a++)
        code = take_after(k, &after->objects[a], i, a, &arcs[a]);
    return code;
}

static status take_tasks(taking *k) {
    const calc_value *from = calc_get(k->r->in, "tasks");
    k->tasks = arena_get(k->r->memory, from->count, sizeof *k->tasks);
    if (!k->tasks) return fault_memory(k->r->why);
    k->problem.tasks = k->tasks;
    k->problem.n_tasks = from->count;
    status code = index_names(k->r, "tasks", "id", &k->ids);
    for (size_t i = 0; code == OK && i < from->count; i++) code = take_task(k, &from->objects[i], i);
    return code;
}

static status take_shifts(taking *k) {
    const calc_value *from = calc_get(k->r->in, "shifts");
    schedule_calendar *calendar = arena_get(k->r->memory, 1, sizeof *calendar);
    schedule_window *windows = arena_get(k->r->memory, from->count, sizeof *windows);
    if (!calendar || !windows) return fault_memory(k->r->why);
    for (size_t i = 0; i < from->count; i++) {
        char path[PATH_BYTES];
        snprintf(path, sizeof path, "shifts[%zu]", i);
        windows[i].from = take_whole(k, &from->objects[i], "from", path);
        windows[i].to = take_whole(k, &from->objects[i], "to", path);
        if (k->code != OK) return k->code;
        if (windows[i].to <= windows[i].from)
            return fault_set(k->r->why, E_INPUT, "%s.to: is %d; it must be above from, %d", path,
                             windows[i].to, windows[i].from);
        if (i > 0 && windows[i].from < windows[i - 1].to)
            return fault_set(k->r->why, E_INPUT,
                             "%s.from: is %d; shifts rise and do not overlap: the one before ends at %d",
                             path, windows[i].from, windows[i - 1].to);
    }
    *calendar = (schedule_calendar){windows, from->count};
    k->problem.calendars = calendar;
    k->problem.n_calendars = from->count > 0;
    return OK;
}

static void put_plan(calc_run *r, const schedule_problem *problem, const schedule_result *plan) {
    json_out_whole(r->out, "makespan_min", plan->makespan);
    json_out_whole(r->out, "lower_bound_min", plan->lower_bound);
    json_out_whole(r->out, "schedules", plan->schedules);
    json_out_open(r->out, "tasks", '[');
    for (size_t i = 0; i < problem->n_tasks; i++) {
        json_out_open(r->out, NULL, '{');
        json_out_text(r->out, "id", problem->tasks[i].id);
        json_out_whole(r->out, "start_min", plan->start[i]);
        json_out_whole(r->out, "end_min", plan->start[i] + problem->tasks[i].minutes);
        json_out_close(r->out, '}');
    }
    json_out_close(r->out, ']');
    int above = plan->makespan - plan->lower_bound;
    if (above > 0 && plan->lower_bound > 0)
        calc_warn(r, "the plan is %d minutes, %.2f %%, above the lower bound: a shorter one may exist or not",
                  above, 100.0 * above / plan->lower_bound);
}

static status run_crewplan(calc_run *r) {
    taking k = {.r = r};
    schedule_options options = {.way = SCHEDULE_SEARCH};
    schedule_result plan;
    fault why = {0};
    status code = take_resources(&k);
    if (code == OK) code = take_shifts(&k);
    if (code == OK) code = take_tasks(&k);
    if (code != OK) return code;
    static const char *const whole[] = {"schedules", "seed"};
    for (size_t i = 0; i < CALC_COUNT(whole); i++)
        if (calc_number(r->in, whole[i]) != floor(calc_number(r->in, whole[i])))
            return calc_refuse(r, whole[i], "is %.17g; it must be a whole number",
                               calc_number(r->in, whole[i]));
    options.schedules = (long)calc_number(r->in, "schedules");
    options.seed = (uint64_t)calc_number(r->in, "seed");
    code = schedule_solve(&k.problem, &options, r->memory, &plan, &why);
    if (code == E_INPUT) return calc_refuse(r, "tasks", "%s", why.text);
    if (code != OK) return fault_set(r->why, code, "%s", why.text);
    put_plan(r, &k.problem, &plan);
    return OK;
}

const calc_row calc_row_crewplan = {
    .name = "crewplan",
    .summary =
        "who does what when: tasks with lags, limited people and plant, shifts; the shortest plan found",
    .model =
        "Tasks run without a break, each within one shift; at no minute is more of a resource in use than "
        "there is. A task starts after the end of those before it by a lag between its least and its "
        "most; lags run through nights and breaks. The least end of all is searched: passes of a "
        "generator to the left and to the right, each order bred from the best.",
    .equation =
        "end_i + min_lag <= start_j <= end_i + max_lag; makespan = max end_i >= lower bound = max(longest "
        "path, work of each resource over its capacity between the least head and tail)",
    .sources = crewplan_sources,
    .sources_count = CALC_COUNT(crewplan_sources),
    .fields = crewplan_fields,
    .fields_count = CALC_COUNT(crewplan_fields),
    .example = "{\"resources\": [{\"name\": \"placer\", \"capacity\": 1}, {\"name\": \"cutter\", "
               "\"capacity\": 1}],\n"
               " \"tasks\": [{\"id\": \"cut 1\", \"minutes\": 90, \"needs\": {\"cutter\": 1}},\n"
               "           {\"id\": \"cut 2\", \"minutes\": 60, \"needs\": {\"cutter\": 1}},\n"
               "           {\"id\": \"coat 1\", \"minutes\": 15, \"needs\": {\"placer\": 1},\n"
               "            \"after\": [{\"task\": \"cut 1\", \"min_lag\": 30}]},\n"
               "           {\"id\": \"pack 1\", \"minutes\": 45, \"needs\": {\"placer\": 1},\n"
               "            \"after\": [{\"task\": \"coat 1\", \"max_lag\": 0}]},\n"
               "           {\"id\": \"coat 2\", \"minutes\": 10, \"needs\": {\"placer\": 1},\n"
               "            \"after\": [{\"task\": \"cut 2\", \"min_lag\": 30}]},\n"
               "           {\"id\": \"pack 2\", \"minutes\": 30, \"needs\": {\"placer\": 1},\n"
               "            \"after\": [{\"task\": \"coat 2\", \"max_lag\": 0}]}],\n"
               " \"shifts\": [{\"from\": 0, \"to\": 240}, {\"from\": 270, \"to\": 510}], \"schedules\": 500, "
               "\"seed\": 1}\n",
    .run = run_crewplan,
};
