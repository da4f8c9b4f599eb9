/* fault.h - what went wrong, as a code for the program and a sentence for the person.
 *
 * A function that can fail returns a `status`; its caller owns a `fault` that receives one sentence naming
 * the item, the value and the limit. Wrong data is a code; our own mistake is an assert. Where many faults
 * are to be told at once (an import), a `fault_list` gathers them. Threads  no shared state; one fault or
 * list belongs to one thread. */
#ifndef STANCH_CORE_FAULT_H
#define STANCH_CORE_FAULT_H

#include <stdbool.h>
#include <stddef.h>

typedef enum {
    OK = 0,
    E_INPUT,  /* the user's data is wrong: the sentence says what, where, the value and the limit */
    E_STATE,  /* the request does not fit the job as it stands (no such mark, a STOP unanswered) */
    E_FORMAT, /* a file is not what it should be: foreign, newer, truncated */
    E_BUSY,   /* another process holds the file */
    E_IO,     /* disk, permission, full */
    E_MEMORY  /* no memory */
} status;

typedef struct {
    status code;
    char text[600]; /* one sentence, UTF-8, no newline; empty when code is OK */
} fault;

/* Store code and sentence in *why (which may be NULL) and return code. A sentence too long is cut at a
 * character. */
status fault_set(fault *why, status code, const char *format, ...) __attribute__((format(printf, 3, 4)));

/* The fixed sentence for E_MEMORY. Returns E_MEMORY; in the open, so that an analyser knows that it is not
 * OK. */
static inline status fault_memory(fault *why) {
    fault_set(why, E_MEMORY, "not enough memory");
    return E_MEMORY;
}

/* Exit status of the command line for a code: 0 OK; 2 E_INPUT, E_STATE, E_FORMAT; 1 the machine failed. */
int fault_exit(status code);

/* A growing list of sentences; keeps the first FAULT_LIST_KEPT and counts the rest. */
enum { FAULT_LIST_KEPT = 1000 };
typedef struct fault_list fault_list;

/* A new empty list, or NULL without memory. The caller frees it. */
fault_list *fault_list_new(void);
void fault_list_free(fault_list *list); /* NULL is fine */

/* Append one sentence. Without memory the list remembers that it lost one: fault_list_status says E_MEMORY.
 */
void fault_list_add(fault_list *list, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Memory ran out while the list was being filled: counts as one, and fault_list_status says E_MEMORY. */
void fault_list_memory(fault_list *list);

size_t fault_list_count(const fault_list *list);                /* all that were added */
size_t fault_list_kept(const fault_list *list);                 /* at most FAULT_LIST_KEPT */
const char *fault_list_text(const fault_list *list, size_t at); /* borrowed; at < kept */

/* OK when empty; else E_INPUT (E_MEMORY when one was lost) with a sentence: the only fault, or the first and
 * the count. */
status fault_list_status(const fault_list *list, fault *why);

#endif
