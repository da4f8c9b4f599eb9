/* scan.h - a stored body read in one pass, since a job may hold 100,000 of them; only for src/record.
 *
 * It reads what record_write_body writes, without escapes, in the order of record_fields, and does not look again at the
 * characters of texts and numbers that were checked when the record was kept. Whatever else it meets it leaves to the
 * reader of JSON in general, who reads it or says what is wrong. */
#ifndef STANCH_RECORD_SCAN_H
#define STANCH_RECORD_SCAN_H

#include "record/record.h"

/* True: *out is as record_read_body has it; its texts point into `body`, which is cut up. */
bool record_scan(char *body, record *out);

#endif
