/* offer.h - the verbs of the offer: what the price may come out as; an offer printed, kept, and printed again to the same bytes.
 *
 * Errors, threads  as ops.h. */
#ifndef STANCH_OPS_OFFER_H
#define STANCH_OPS_OFFER_H

#include "ops/ops.h"
#include "risk/risk.h"

/* The risk of a planned job, in the arena of the plan. */
status ops_risk(const ops_job *job, const spread_options *options, risk_result *out, fault *why);
/* As docs/page.md has it, with figures as texts. */
status ops_risk_json(const plan *p, const risk_result *risk, text *out, fault *why);

typedef struct {
    const char *on; /* YYYY-MM-DD, printed */
    spread_options options;
    const char *link;  /* as report_options */
    bool without_risk; /* nothing is said of what the price may come out as */
} ops_offer_request;

typedef struct {
    long long number;
    double total, p20, p50, p80;
    char currency[4];
} ops_offer_result;

/* Plan the job as it stands, count its risk, make PDF and XLSX, and keep them in the job with all they were made from. What is
 * kept as inputs is what was planned: the survey is read from that JSON. Crack planes are left out: no line of the
 * price reads them, only the bore of a relief tube and with it some grams of plug, cents between one leak and another. */
status ops_offer_make(const char *path, const ops_offer_request *request, const ops_actor *actor,
                      ops_offer_result *out, fault *why);

/* The same documents, appended to `pdf` and `xlsx`, with nothing kept: number 0, and they say that they are a draft. */
status ops_offer_draft(const char *path, const ops_offer_request *request, text *pdf, text *xlsx,
                       ops_offer_result *out, fault *why);

/* {"offers": [{"number","on","by","program","total","p50","p80","currency","pdf_sha256"}]} */
status ops_offers_json(const char *path, text *out, fault *why);

/* E_STATE unless the document of that number is of `kind` ("offer", "handover"): they are counted in one row. */
status ops_offer_is(const char *path, long long number, const char *kind, fault *why);

/* The kept bytes of one document ("pdf", "xlsx"), appended. E_STATE: no such offer. */
status ops_offer_document(const char *path, long long number, const char *ending, text *out, fault *why);

/* Is the PDF that is made from the kept inputs the one that is kept? Only told where this is the program version that made it
 * (*told). */
status ops_offer_repeat(const char *path, long long number, bool *told, bool *same, fault *why);

#endif
