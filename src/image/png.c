/* PNG by libpng's simplified interface, which returns faults as words. */
#include "image/image_parts.h"

#include <png.h>

status image_read_png(const void *bytes, size_t length, image *out, fault *why) {
    png_image in = {.version = PNG_IMAGE_VERSION};
    const png_color white = {255, 255, 255};
    if (!png_image_begin_read_from_memory(&in, bytes, length))
        return fault_set(why, E_FORMAT, "the PNG cannot be read: %s", in.message);
    in.format = PNG_FORMAT_RGB;
    status code = image_make(in.width, in.height, out, why);
    if (code == OK && !png_image_finish_read(&in, &white, out->rgb, 0, NULL))
        code = fault_set(why, E_FORMAT, "the PNG is damaged or cut short: %s", in.message);
    if (code == OK && (in.warning_or_error & PNG_IMAGE_ERROR) != 0)
        code = fault_set(why, E_FORMAT, "the PNG is damaged: %s", in.message);
    png_image_free(&in);
    if (code != OK) image_free(out);
    return code;
}
