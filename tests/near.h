/* near.h - one comparison for the tests of numbers: found against wanted, with the tolerance beside it.
 * A test that prints what it found is read faster than one that says "assertion failed". */
#ifndef STANCH_TESTS_NEAR_H
#define STANCH_TESTS_NEAR_H

#include <math.h>
/* cmocka wants these before it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

/* |found - wanted| <= tolerance; NaN fails. */
#define near_absolute(found, wanted, tolerance)                                                              \
    do {                                                                                                     \
        double near_f = (found), near_w = (wanted), near_t = (tolerance);                                    \
        if (!(fabs(near_f - near_w) <= near_t))                                                              \
            fail_msg("%s is %.15g, wanted %.15g within %.3g", #found, near_f, near_w, near_t);               \
    } while (0)

/* |found - wanted| <= tolerance |wanted|. */
#define near_relative(found, wanted, tolerance)                                                              \
    near_absolute(found, wanted, (tolerance)*fabs((double)(wanted)))

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

#endif
