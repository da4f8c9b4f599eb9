#include "cli/cli.h"

#include "cli/wrap.h"
#include "core/text.h"

#include <string.h>

int cli_fail(const fault *why) {
    fprintf(stderr, "stanch: %s\n", why->text);
    return fault_exit(why->code);
}

static void print_contents(const cli_command commands[], size_t count) {
    printf("stanch - sealing leaking concrete: from the survey to plan, price, document\n\n");
    for (size_t i = 0; i < count; i++)
        printf("  %-8s %-18s %s\n", commands[i].name, commands[i].operands, commands[i].summary);
    printf("\n  stanch COMMAND --help   what it takes\n"
           "  stanch calc --list      the calculations\n"
           "  stanch --version\n\n");
    wrap_print(
        stdout, "",
        "The tool sizes a water seal; it certifies no structure. Growing cracks, offset faces, bulging, soil "
        "in the water, prestress and "
        "cut bars go to a licensed engineer and the local code. Makers' data sheets govern the materials.",
        0);
}

static int wrong_word(const cli_command commands[], size_t count, const char *word) {
    const char *names[32];
    fault why;
    for (size_t i = 0; i < count && i < 32; i++) names[i] = commands[i].name;
    int near = text_nearest(word, names, count);
    if (near >= 0)
        fault_set(&why, E_INPUT, "no command %.60s; did you mean %s?", word, names[near]);
    else
        fault_set(&why, E_INPUT, "no command %.60s; stanch --help lists them", word);
    return cli_fail(&why);
}

/* A full disk or a closed pipe shows when the output is flushed. */
static int finish(int code) {
    if (fflush(stdout) == 0 && !ferror(stdout)) return code;
    fprintf(stderr, "stanch: the output could not be written\n");
    return 1;
}

int cli_run(const cli_command commands[], size_t count, int argc, char **argv) {
    const char *word = argc > 1 ? argv[1] : "--help";
    if (strcmp(word, "--help") == 0 || strcmp(word, "-h") == 0 || strcmp(word, "help") == 0) {
        print_contents(commands, count);
        return finish(argc > 1 ? 0 : 2);
    }
    if (strcmp(word, "--version") == 0) {
        printf("stanch %s\n", STANCH_VERSION);
        return finish(0);
    }
    for (size_t i = 0; i < count; i++)
        if (strcmp(commands[i].name, word) == 0) return finish(commands[i].run(argc - 1, argv + 1));
    return wrong_word(commands, count, word);
}
