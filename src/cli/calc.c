#include "cli/calc.h"

#include "cli/calc_table.h"
#include "core/file.h"

#include <assert.h>
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

typedef struct {
    const char *name, *file; /* NULL: not given */
    bool list, explain, example, help;
} request;

static const char usage[] =
    "stanch calc NAME [FILE]      compute: a JSON object in (FILE or input), one out\n"
    "stanch calc --list           all calculations\n"
    "stanch calc NAME --explain   model, sources, fields with units, ranges, defaults\n"
    "stanch calc NAME --example   an input that runs\n";

static status take_option(const char *word, request *ask, fault *why) {
    static const char *const options[] = {"--list", "--explain", "--example", "--help"};
    bool *const flags[] = {&ask->list, &ask->explain, &ask->example, &ask->help};
    for (size_t i = 0; i < CALC_COUNT(options); i++) {
        if (strcmp(word, options[i]) != 0) continue;
        *flags[i] = true;
        return OK;
    }
    int near = text_nearest(word, options, CALC_COUNT(options));
    return fault_set(why, E_INPUT, "option %.60s is not known; %s %s", word,
                     near >= 0 ? "did you mean" : "there are",
                     near >= 0 ? options[near] : "--list, --explain, --example and --help");
}

static status take_arguments(int argc, char **argv, request *ask, fault *why) {
    for (int i = 1; i < argc; i++) {
        if (argv[i][0] == '-' && argv[i][1] != '\0') {
            status code = take_option(argv[i], ask, why);
            if (code != OK) return code;
        } else if (!ask->name) {
            ask->name = argv[i];
        } else if (!ask->file) {
            ask->file = argv[i];
        } else {
            return fault_set(why, E_INPUT, "argument %.60s is one too many; give NAME and at most one FILE",
                             argv[i]);
        }
    }
    if (ask->name && ask->list)
        return fault_set(why, E_INPUT, "--list takes no NAME, but %.60s is given", ask->name);
    if (ask->explain + ask->example > 1)
        return fault_set(why, E_INPUT, "give only one of --explain, --example");
    if (ask->file && (ask->explain || ask->example))
        return fault_set(why, E_INPUT, "%s reads no FILE, but %.60s is given",
                         ask->explain ? "--explain" : "--example", ask->file);
    if (!ask->name && !ask->list && !ask->help)
        return fault_set(why, E_INPUT, "NAME is missing; stanch calc --list shows all");
    return OK;
}

static status find_row(const char *name, const calc_row **row, fault *why) {
    assert(name);
    const char *names[64];
    for (size_t i = 0; i < calc_rows_count && i < CALC_COUNT(names); i++) {
        names[i] = calc_rows[i]->name;
        *row = calc_rows[i];
        if (strcmp(name, names[i]) == 0) return OK;
    }
    int near = text_nearest(name, names, calc_rows_count);
    if (near >= 0) return fault_set(why, E_INPUT, "there is no %.60s; did you mean %s?", name, names[near]);
    return fault_set(why, E_INPUT, "there is no %.60s; stanch calc --list shows all", name);
}

/* A name that leads to no file is the user's slip, not the machine's. */
static status read_input(const char *path, char **bytes, size_t *length, fault *why) {
    struct stat about;
    bool standard = strcmp(path, "-") == 0;
    if (!standard && stat(path, &about) != 0 && (errno == ENOENT || errno == ENOTDIR))
        return fault_set(why, E_INPUT, "FILE %.300s does not exist", path);
    if (!standard && stat(path, &about) == 0 && S_ISDIR(about.st_mode))
        return fault_set(why, E_INPUT, "FILE %.300s is a folder", path);
    return file_read(path, bytes, length, why);
}

static status compute(const calc_row *row, const char *bytes, size_t length, text *to, fault *why) {
    arena *memory = arena_new();
    fault_list *faults = fault_list_new();
    status code = E_MEMORY;
    if (memory && faults) {
        json_in in = {.source = "", .faults = faults, .system = UNITS_METRIC, .memory = memory};
        calc_object object = {0};
        bool good = calc_read(&in, row, bytes, length, &object);
        code = fault_list_status(faults, why);
        if (good && code == OK) code = calc_compute(row, &object, memory, to, why);
    } else {
        fault_memory(why);
    }
    fault_list_free(faults);
    arena_free(memory);
    return code;
}

static status answer(const request *ask, text *to, fault *why) {
    const calc_row *row = NULL;
    char *bytes = NULL;
    size_t length = 0;
    if (ask->help || ask->list) {
        if (ask->help)
            text_add(to, usage);
        else
            calc_list(to);
        return OK;
    }
    status code = find_row(ask->name, &row, why);
    if (code != OK) return code;
    if (ask->explain) calc_explain(row, to);
    if (ask->example) text_add(to, row->example);
    if (ask->explain || ask->example) return OK;
    code = read_input(ask->file ? ask->file : "-", &bytes, &length, why);
    if (code == OK) code = compute(row, bytes, length, to, why);
    mem_free(bytes);
    return code;
}

int cli_calc(int argc, char **argv) {
    request ask = {0};
    text to = {0};
    fault why = {0};
    status code = take_arguments(argc, argv, &ask, &why);
    if (code == OK) code = answer(&ask, &to, &why);
    if (code == OK && to.failed) code = fault_memory(&why);
    if (code == OK && (fwrite(text_get(&to), 1, to.length, stdout) != to.length || fflush(stdout) != 0))
        code = fault_set(&why, E_IO, "standard output cannot be written: %s", strerror(errno));
    if (code != OK)
        fprintf(stderr, "stanch calc%s%.60s: %s\n", ask.name ? " " : "", ask.name ? ask.name : "", why.text);
    text_free(&to);
    return fault_exit(code);
}
