/* calc_main.c - `stanch calc` alone, for the test of its contract: the calculations need no job and no
 * library of drawing or geometry. */
#include "cli/calc.h"

#include <gsl/gsl_errno.h>

int main(int argc, char **argv) {
    gsl_set_error_handler_off();
    return cli_calc(argc, argv);
}
