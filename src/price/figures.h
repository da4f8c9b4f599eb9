/* figures.h - with how many decimals quantity and rate must be printed so that whoever multiplies them gets the amount beside them.
 *
 * An amount is rounded to cents from the figures as they are, not as they are shown: 32.7333 h at 52.00 are 1702.13, and "32.73 h"
 * would come to 1701.96.   Threads  no shared state. */
#ifndef STANCH_PRICE_FIGURES_H
#define STANCH_PRICE_FIGURES_H

typedef struct {
    int quantity, rate; /* decimals, 2 to FIGURES_MOST */
} figures_decimals;

enum { FIGURES_MOST = 6 };

/* The fewest that do; 2 of a rate in whole cents, else at least 4. Where no decimals do, those least ones: the amount is then not
 * their product. */
figures_decimals figures_of(double quantity, double rate, double amount);

#endif
