#include "cli/wrap.h"

#include <stdbool.h>
#include <string.h>

static bool starts_character(char c) {
    return ((unsigned char)c & 0xC0) != 0x80;
}

int wrap_width(const char *text) {
    int n = 0;
    for (; *text; text++) n += starts_character(*text);
    return n;
}

void wrap_print(FILE *to, const char *label, const char *sentence, int indent) {
    int column = wrap_width(label);
    fputs(label, to);
    bool first = true;
    for (const char *at = sentence; *at;) {
        at += strspn(at, " ");
        size_t length = strcspn(at, " ");
        if (length == 0) break;
        int width = 0;
        for (size_t i = 0; i < length; i++) width += starts_character(at[i]);
        if (!first && column + 1 + width > WRAP_COLUMNS) {
            fprintf(to, "\n%*s", indent, "");
            column = indent;
            first = true;
        }
        if (!first) {
            fputc(' ', to);
            column++;
        }
        fwrite(at, 1, length, to);
        column += width;
        first = false;
        at += length;
    }
    fputc('\n', to);
}

void wrap_cell(FILE *to, const char *text, int columns) {
    int n = 0;
    const char *at = text;
    while (*at && n < columns) {
        fputc(*at++, to);
        while (*at && !starts_character(*at)) fputc(*at++, to);
        n++;
    }
    fprintf(to, "%*s", columns - n, "");
}
