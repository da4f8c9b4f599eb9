/* code_text.h - a QR code for the terminal: two rows of modules a line, in half blocks of UTF-8.
 *
 * Drawn light on dark as a terminal is, with the light margin of 4 modules that the code asks for (ISO/IEC 18004);
 * the light modules are the printed ones. Threads  no shared state. */
#ifndef STANCH_WEB_CODE_TEXT_H
#define STANCH_WEB_CODE_TEXT_H

#include "core/fault.h"
#include "core/text.h"

/* Append the code of `words` to *out. E_INPUT: too long for 80 columns. */
status code_text(const char *words, text *out, fault *why);

#endif
