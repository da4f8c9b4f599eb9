/* install_page.h - the words of install.c: a page without script, and its style. Threads  no shared state. */
#ifndef STANCH_WEB_INSTALL_PAGE_H
#define STANCH_WEB_INSTALL_PAGE_H

#include "core/text.h"

extern const char install_style[];

/* Append the page. `address` is where the work goes on afterwards; it is escaped. */
void install_page_write(const char *fingerprint, const char *address, text *out);

#endif
