#include "report/code.h"

#include <qrencode.h>
#include <string.h>

status code_make(const char *content, arena *memory, code_cells *out, fault *why) {
    size_t length = strlen(content);
    *out = (code_cells){0};
    if (length == 0 || length > CODE_TEXT_MOST)
        return fault_set(why, E_INPUT, "text of a QR code has %zu bytes; it must have 1 to %d", length,
                         CODE_TEXT_MOST);
    QRcode *made = QRcode_encodeString8bit(content, 0, QR_ECLEVEL_M);
    if (!made) return fault_memory(why); /* the only fault left: the length was checked */
    size_t side = (size_t)made->width;
    bool *black = arena_get(memory, side * side, sizeof *black);
    if (black)
        for (size_t i = 0; i < side * side; i++) black[i] = made->data[i] & 1;
    QRcode_free(made);
    if (!black) return fault_memory(why);
    *out = (code_cells){side, black};
    return OK;
}

/* One path: a rectangle for each run of black cells in a row. */
static void add_runs(const code_cells *code, text *to) {
    for (size_t y = 0; y < code->side; y++)
        for (size_t x = 0; x < code->side;) {
            size_t end = x;
            while (end < code->side && code->black[y * code->side + end]) end++;
            if (end > x)
                text_print(to, "M%zu %zuh%zuv1h-%zuz", x + CODE_QUIET, y + CODE_QUIET, end - x, end - x);
            x = end > x ? end : x + 1;
        }
}

status code_svg(const char *content, arena *memory, text *to, fault *why) {
    code_cells code;
    status result = code_make(content, memory, &code, why);
    if (result != OK) return result;
    size_t side = code.side + 2 * CODE_QUIET;
    text_print(
        to,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %zu %zu\" shape-rendering=\"crispEdges\">"
        "<rect width=\"%zu\" height=\"%zu\" fill=\"#fff\"/><path fill=\"#000\" d=\"",
        side, side, side, side);
    add_runs(&code, to);
    text_add(to, "\"/></svg>\n");
    return to->failed ? fault_memory(why) : OK;
}
