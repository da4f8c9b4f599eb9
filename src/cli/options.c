#include "cli/options.h"

#include "cli/wrap.h"
#include "core/text.h"

#include <stdio.h>
#include <string.h>

static void print_help(const options_table *t) {
    printf("stanch %s%s%s%s\n\n", t->command, *t->operands ? " " : "", t->operands,
           t->n_items ? " [options]" : "");
    wrap_print(stdout, "", t->about, 0);
    if (t->n_items) printf("\n");
    for (size_t i = 0; i < t->n_items; i++) {
        char left[40];
        snprintf(left, sizeof left, "  %s%s%s", t->items[i].name, t->items[i].value ? " " : "",
                 t->items[i].value ? t->items[i].value : "");
        char label[48];
        snprintf(label, sizeof label, "%-26s", left);
        wrap_print(stdout, label, t->items[i].help, 26);
    }
}

static status unknown_option(const options_table *t, const char *word, fault *why) {
    const char *names[20];
    size_t n = 0;
    for (; n < t->n_items && n < 20; n++) names[n] = t->items[n].name;
    int near = text_nearest(word, names, n);
    if (near >= 0)
        return fault_set(why, E_INPUT, "%s: no option %.60s; did you mean %s?", t->command, word,
                         names[near]);
    return fault_set(why, E_INPUT, "%s: no option %.60s; see stanch %s --help", t->command, word, t->command);
}

/* "--as csv" or "--as=csv". Returns how many further words were used. */
static status take_option(const options_table *t, int left, char **argv, int *used, fault *why) {
    const char *word = argv[0], *equals = strchr(word, '=');
    size_t length = equals ? (size_t)(equals - word) : strlen(word);
    *used = 0;
    for (size_t i = 0; i < t->n_items; i++) {
        const options_item *item = &t->items[i];
        if (strlen(item->name) != length || strncmp(item->name, word, length) != 0) continue;
        if (!item->value) {
            if (equals) return fault_set(why, E_INPUT, "%s: %s takes no value", t->command, item->name);
            *item->given = true;
            return OK;
        }
        if (equals)
            *item->text = equals + 1;
        else if (left > 1) {
            *item->text = argv[1];
            *used = 1;
        } else
            return fault_set(why, E_INPUT, "%s: %s needs a value: %s", t->command, item->name, item->value);
        if (item->given) *item->given = true;
        return OK;
    }
    return unknown_option(t, word, why);
}

static status check_operands(const options_table *t, size_t n, char **operands, fault *why) {
    if (n < t->least)
        return fault_set(why, E_INPUT, "%s: too few words; use: stanch %s %s", t->command, t->command,
                         t->operands);
    if (n > t->most)
        return fault_set(why, E_INPUT, "%s: one word too many: %.60s; use: stanch %s %s", t->command,
                         operands[t->most], t->command, t->operands);
    return OK;
}

/* "-0.3" is a value below 0; no option begins with a digit. */
static bool is_number(const char *word) {
    double value;
    return text_to_number(word, &value);
}

status options_read(const options_table *t, int argc, char **argv, size_t *n, bool *done, fault *why) {
    bool ended = false;
    *n = 0;
    *done = false;
    for (int i = 1; i < argc; i++) {
        if (!ended && strcmp(argv[i], "--") == 0) {
            ended = true;
            continue;
        }
        if (ended || argv[i][0] != '-' || argv[i][1] == '\0' || is_number(argv[i])) {
            argv[1 + (*n)++] = argv[i];
            continue;
        }
        if (strcmp(argv[i], "--help") == 0 || strcmp(argv[i], "-h") == 0) {
            print_help(t);
            *done = true;
            return OK;
        }
        int used;
        status code = take_option(t, argc - i, argv + i, &used, why);
        if (code != OK) return code;
        i += used;
    }
    return check_operands(t, *n, argv + 1, why);
}
