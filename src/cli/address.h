/* address.h - the option --address: where the page stands, for the QR codes of papers. Threads  no shared state. */
#ifndef STANCH_CLI_ADDRESS_H
#define STANCH_CLI_ADDRESS_H

#include "core/fault.h"

/* OK for http:// or https:// without a / at its end, and for NULL: no address. Else E_INPUT. */
status address_read(const char *address, fault *why);

#endif
