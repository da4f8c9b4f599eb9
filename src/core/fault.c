#include "core/fault.h"

#include "core/mem.h"
#include "core/text.h"

#include <assert.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

struct fault_list {
    char **texts;
    size_t kept, count;
    bool lost;
};

__attribute__((format(printf, 3, 0))) static void format_sentence(char *into, size_t size, const char *format,
                                                                  va_list args) {
    int wanted = vsnprintf(into, size, format, args);
    if (wanted >= 0 && (size_t)wanted >= size) text_cut_utf8(into, size - 1);
    for (char *c = into; *c; c++)
        if ((unsigned char)*c < 0x20) *c = ' ';
}

status fault_set(fault *why, status code, const char *format, ...) {
    assert(code != OK);
    if (!why) return code;
    va_list args;
    va_start(args, format);
    why->code = code;
    format_sentence(why->text, sizeof why->text, format, args);
    va_end(args);
    return code;
}

int fault_exit(status code) {
    switch (code) {
    case OK: return 0;
    case E_INPUT:
    case E_STATE:
    case E_FORMAT: return 2;
    case E_BUSY:
    case E_IO:
    case E_MEMORY: return 1;
    }
    return 1;
}

fault_list *fault_list_new(void) {
    fault_list *list = mem_zero(1, sizeof *list);
    if (!list) return NULL;
    list->texts = mem_zero(FAULT_LIST_KEPT, sizeof *list->texts);
    if (!list->texts) {
        mem_free(list);
        return NULL;
    }
    return list;
}

void fault_list_free(fault_list *list) {
    if (!list) return;
    for (size_t i = 0; i < list->kept; i++) mem_free(list->texts[i]);
    mem_free(list->texts);
    mem_free(list);
}

void fault_list_add(fault_list *list, const char *format, ...) {
    char sentence[600];
    va_list args;
    va_start(args, format);
    format_sentence(sentence, sizeof sentence, format, args);
    va_end(args);
    list->count++;
    if (list->kept == FAULT_LIST_KEPT) return;
    char *copy = mem_copy_text(sentence);
    if (copy)
        list->texts[list->kept++] = copy;
    else
        list->lost = true;
}

void fault_list_memory(fault_list *list) {
    list->count++;
    list->lost = true;
}

size_t fault_list_count(const fault_list *list) {
    return list->count;
}

size_t fault_list_kept(const fault_list *list) {
    return list->kept;
}

const char *fault_list_text(const fault_list *list, size_t at) {
    assert(at < list->kept);
    return list->texts[at];
}

status fault_list_status(const fault_list *list, fault *why) {
    if (list->lost) return fault_memory(why);
    if (list->count == 0) return OK;
    if (list->count == 1) return fault_set(why, E_INPUT, "%s", list->texts[0]);
    return fault_set(why, E_INPUT, "%zu faults, the first: %s", list->count, list->texts[0]);
}
