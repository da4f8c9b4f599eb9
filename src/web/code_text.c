#include "web/code_text.h"

#include <qrencode.h>

enum { MARGIN = 4, COLUMNS = 80 };

/* Light outside of the code. */
static bool is_light(const QRcode *code, int x, int y) {
    if (x < 0 || y < 0 || x >= code->width || y >= code->width) return true;
    return (code->data[y * code->width + x] & 1) == 0;
}

static void add_line(const QRcode *code, int y, text *out) {
    static const char *const blocks[] = {" ", "\xE2\x96\x84", "\xE2\x96\x80",
                                         "\xE2\x96\x88"}; /* lower, upper, full */
    for (int x = -MARGIN; x < code->width + MARGIN; x++) {
        int upper = is_light(code, x, y), lower = y + 1 < code->width + MARGIN && is_light(code, x, y + 1);
        text_add(out, blocks[2 * upper + lower]);
    }
    text_add(out, "\n");
}

status code_text(const char *words, text *out, fault *why) {
    QRcode *code = QRcode_encodeString8bit(words, 0, QR_ECLEVEL_L);
    if (!code) return fault_set(why, E_INPUT, "the address is too long for a QR code");
    status result = OK;
    if (code->width + 2 * MARGIN > COLUMNS)
        result = fault_set(why, E_INPUT, "the address is too long for a QR code of %d columns", COLUMNS);
    for (int y = -MARGIN; y < code->width + MARGIN && result == OK; y += 2) add_line(code, y, out);
    QRcode_free(code);
    if (result == OK && out->failed) return fault_memory(why);
    return result;
}
