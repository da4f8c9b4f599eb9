/* channel.h - how wide a drain must be: open-channel flow in a square channel and in a round pipe, both half full.
 *
 * Model   Q = A R^(2/3) S^(1/2)/n (Manning).  Square of side c, half full: A = c^2/2, R = c/4.  Pipe of bore D, half full:
 *         A = pi D^2/8, R = D/4. Solved for c and D, then the next stocked size.
 * Source  Manning's formula and n = 0.011 of smooth plastic: values from memory. Half full: our default, so that lime may
 *         settle and the flow may double.
 * Units   SI.   Limits  slope up to 1 (a vertical channel is taken as 1: more carries more).   Threads  no shared state. */
#ifndef STANCH_REPAIR_CHANNEL_H
#define STANCH_REPAIR_CHANNEL_H

#define CHANNEL_MANNING_N 0.011   /* smooth plastic, value from memory */
#define CHANNEL_LEAST_SLOPE 0.005 /* laid with a fall of 0.5 % where the leak has less, our default */

/* Sides and bores in stock (our defaults), the smallest first. */
enum { CHANNEL_SIZES = 8, CHANNEL_PIPES = 8 };
extern const double channel_sizes_m[CHANNEL_SIZES], channel_pipes_m[CHANNEL_PIPES];

/* Flow of a square channel, and of a pipe, half full. All > 0. */
double channel_square_m3_s(double side_m, double slope);
double channel_pipe_m3_s(double bore_m, double slope);

/* The smallest stocked size that carries the flow >= 0; the largest when none does. */
double channel_square_for_m(double flow_m3_s, double slope);
double channel_pipe_for_m(double flow_m3_s, double slope);

#endif
