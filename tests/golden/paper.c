#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "paper.h"

#include "core/mem.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char folder[] = "/tmp/stanch-paper-XXXXXX";
static bool made;

const char *own_folder(void) {
    if (!made) assert_non_null(mkdtemp(folder));
    made = true;
    return folder;
}

const char *in_folder(const char *name) {
    static char path[4][128];
    static int turn;
    turn = (turn + 1) % 4;
    snprintf(path[turn], sizeof path[turn], "%s/%s", own_folder(), name);
    return path[turn];
}

int paper_drop(const char *const names[]) {
    if (!made) return 0;
    for (size_t i = 0; names[i]; i++) remove(in_folder(names[i]));
    return rmdir(folder);
}

text output_of(const char *command) {
    text out = {0};
    FILE *pipe = popen(command, "r");
    assert_non_null(pipe);
    char part[4096];
    for (size_t n; (n = fread(part, 1, sizeof part, pipe)) > 0;) text_add_bytes(&out, part, n);
    pclose(pipe);
    return out;
}

sheet_box box_of(const sheet_item *t) {
    double width = sheet_text_width(t->words, t->height, t->bold);
    double left = t->align == ALIGN_LEFT ? 0 : t->align == ALIGN_MIDDLE ? width / 2 : width;
    return (sheet_box){t->at.x - left, t->at.y - 0.2 * t->height, width, 0.95 * t->height};
}

bool inside(const sheet *s, double x, double y) {
    return x >= -0.01 && x <= s->width + 0.01 && y >= -0.01 && y <= s->height + 0.01; /* NaN is not */
}

static void check_words(const char *words, const char *const never[]) {
    for (size_t i = 0; never[i]; i++)
        if (strstr(words, never[i])) fail_msg("\"%s\" has \"%s\" in it", words, never[i]);
}

void check_texts_but(const sheet *s, const char *const never[]) {
    sheet_box *boxes = arena_get(s->memory, s->n_items, sizeof *boxes);
    size_t n = 0;
    assert_non_null(boxes);
    for (size_t i = 0; i < s->n_items; i++) {
        const sheet_item *t = &s->items[i];
        if (t->kind != ITEM_TEXT) continue;
        sheet_box box = box_of(t);
        if (!inside(s, box.x, box.y) || !inside(s, box.x + box.width, box.y + box.height))
            fail_msg("\"%s\" leaves the sheet", t->words);
        check_words(t->words, never);
        for (size_t k = 0; k < n; k++)
            if (box.x < boxes[k].x + boxes[k].width - 0.01 && boxes[k].x < box.x + box.width - 0.01 &&
                box.y < boxes[k].y + boxes[k].height - 0.01 && boxes[k].y < box.y + box.height - 0.01)
                fail_msg("\"%s\" lies on another text", t->words);
        boxes[n++] = box;
    }
}
