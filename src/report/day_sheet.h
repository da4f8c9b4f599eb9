/* day_sheet.h - one day of the works for the crew that does it: texts that the terminal and the PDF page show alike.
 *
 * Shows only: times, people, batches and exposures come from works.h, hold points and cautions from the step cards, controls
 * from exposure.h. One crew a job: the people of the works.   Units  texts in those of the job.   Threads  as say.h. */
#ifndef STANCH_REPORT_DAY_SHEET_H
#define STANCH_REPORT_DAY_SHEET_H

#include "report/report.h"
#include "report/works_words.h"

/* What the same people do on a leak in one go is one row. */
typedef struct {
    const char *hours, *where, *task; /* "07:00-08:25", "N1", "Plug, 07:30 First coat, 07:50 Dry-pack" */
    const char *people, *plant;       /* plant "": none */
    int from_min, to_min;
    unsigned plant_bits;
} day_task;

typedef struct {
    const char *what;           /* "N1 first coat" */
    const char *mixed, *use_by; /* "07:00, 07:03", "07:02, 07:05"; many: "10, 07:00-07:27", "each in 2 min" */
    const char *take;           /* for each: "1.8 kg + 0.5 l", powder and water; a resin's volume */
    const char *measure;        /* the same, "0.6 + 0.2 tub", in tubs or cups */
} day_batch;

typedef struct {
    const char *where, *title; /* to be ticked with a name before the next step */
} day_hold;

typedef struct {
    const char *who, *vibration, *noise, *silica, *respirator;
    const char *sentence; /* "" or what is passed and what would help */
} day_person;

typedef struct {
    const char *first, *second; /* a label and its sentence */
} day_line;

typedef struct {
    int day;
    const char *title; /* "Thu 5 March 2026", "Day 3" */
    const char *site, *hours, *crew;
    const char *visits; /* curing visits, "" none */
    const char *date;   /* YYYY-MM-DD; NULL without a first day */
    const char *tub;    /* what tub and cup hold; "" without batches */
    day_task *tasks;
    size_t n_tasks;
    day_batch *batches;
    size_t n_batches;
    day_hold *holds;
    size_t n_holds;
    day_person *people;
    size_t n_people;
    day_line *controls; /* task, its tool and control */
    size_t n_controls;
    day_line *cautions; /* marks ("": all that day), caution */
    size_t n_cautions;
} day_sheet;

/* "3" (the third day) or a date. E_INPUT: neither; E_STATE: a date but no first day, or no work that day, with the next that has. */
status day_sheet_find(const works_plan *works, const char *word, say *words, int *day, fault *why);

/* True when somebody works on it. */
bool day_sheet_worked(const works_plan *works, int day);

/* In words->memory. E_MEMORY. */
status day_sheet_make(const plan *p, const works_plan *works, int day, say *words, day_sheet *out,
                      fault *why);

/* A page a day of the days from `first` to `last` with work, appended to *out. Faults as report_pdf. */
status report_day_pdf(const plan *p, const works_plan *works, const report_options *options,
                      const int days[2], text *out, fault *why);

#endif
