/* A hand on the job file for tests that must kill it, fill its disk or run it twice:
 *   create PATH SEED DEFECTS   a new job with a random survey
 *   commit PATH NAME           numbered results until killed, every seventh with the survey; each is told
 * when it is safe save PATH SEED DEFECTS     another random survey show PATH                  name of the
 * site and number of defects json SEED metric|us        a random survey as JSON Exit status and sentence as
 * the program itself gives them. */
#include "../prop/random_survey.h"

#include "store/store.h"
#include "survey/write_json.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static int tell(status code, const fault *why) {
    if (code != OK) fprintf(stderr, "%s\n", why->text);
    return fault_exit(code);
}

static int run_create(char **a) {
    fault why = {OK, ""};
    survey *s = random_survey(strtoull(a[1], NULL, 10), UNITS_METRIC, 4, strtoul(a[2], NULL, 10));
    status code = store_create(a[0], s, &why);
    survey_free(s);
    return tell(code, &why);
}

static int run_commit(char **a) {
    fault why = {OK, ""};
    store *st = NULL;
    survey *s = NULL;
    const struct timespec pause = {0, 2000000}; /* SQLite's lock is not fair: let another have its turn */
    status code = store_open(a[0], false, &st, &why);
    if (code == OK) code = store_load(st, &s, &why);
    for (long i = 0; code == OK; i++) {
        char mark[64], body[64];
        snprintf(mark, sizeof mark, "%s-%ld", a[1], i);
        snprintf(body, sizeof body, "{\"number\": %ld}", i);
        store_result r = {"torture", mark, "hash", "0", i, body};
        code = store_save_result(st, &r, &why);
        if (code == OK && i % 7 == 0) {
            s->site.name = mark;
            code = store_save(st, s, &why);
        }
        if (code == OK) {
            printf("%ld\n", i);
            fflush(stdout);
        }
        nanosleep(&pause, NULL);
    }
    survey_free(s);
    store_close(st);
    return tell(code, &why);
}

static int run_save(char **a) {
    fault why = {OK, ""};
    store *st = NULL;
    survey *s = random_survey(strtoull(a[1], NULL, 10), UNITS_METRIC, 4, strtoul(a[2], NULL, 10));
    status code = store_open(a[0], false, &st, &why);
    if (code == OK) code = store_save(st, s, &why);
    store_close(st);
    survey_free(s);
    return tell(code, &why);
}

static int run_show(char **a) {
    fault why = {OK, ""};
    store *st = NULL;
    survey *s = NULL;
    status code = store_open(a[0], true, &st, &why);
    if (code == OK) code = store_load(st, &s, &why);
    if (code == OK) printf("%s\n%zu\n", s->site.name ? s->site.name : "", s->n_defects);
    survey_free(s);
    store_close(st);
    return tell(code, &why);
}

static int run_json(char **a) {
    units_system system = strcmp(a[1], "us") == 0 ? UNITS_US : UNITS_METRIC;
    survey *s = random_survey(strtoull(a[0], NULL, 10), system, 3, 12);
    text t = {0};
    survey_write_json(s, &t);
    fwrite(t.bytes, 1, t.length, stdout);
    text_free(&t);
    survey_free(s);
    return 0;
}

int main(int argc, char **argv) {
    static const struct {
        const char *name;
        int arguments;
        int (*run)(char **arguments);
    } commands[] = {
        {"create", 3, run_create}, {"commit", 2, run_commit}, {"save", 3, run_save},
        {"show", 1, run_show},     {"json", 2, run_json},
    };
    for (size_t i = 0; i < sizeof commands / sizeof *commands; i++)
        if (argc == commands[i].arguments + 2 && strcmp(argv[1], commands[i].name) == 0)
            return commands[i].run(argv + 2);
    fprintf(stderr, "unknown command\n");
    return 2;
}
