#include "cli/address.h"

#include "core/text.h"

#include <string.h>

status address_read(const char *address, fault *why) {
    if (!address) return OK;
    size_t length = strlen(address);
    bool http = strncmp(address, "http://", 7) == 0 || strncmp(address, "https://", 8) == 0;
    if (!http || length > 200 || address[length - 1] == '/' || !text_is_utf8(address, length))
        return fault_set(
            why, E_INPUT,
            "--address is %.100s; it must be like https://192.0.2.7:8466, without a / at its end", address);
    return OK;
}
