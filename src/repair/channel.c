#include "repair/channel.h"

#include <math.h>

static const double PI = 3.14159265358979323846;

const double channel_sizes_m[CHANNEL_SIZES] = {0.020, 0.025, 0.032, 0.040, 0.050, 0.063, 0.080, 0.100};
const double channel_pipes_m[CHANNEL_PIPES] = {0.016, 0.020, 0.025, 0.032, 0.040, 0.050, 0.075, 0.100};

static double manning_m3_s(double area_m2, double radius_m, double slope) {
    return area_m2 * pow(radius_m, 2.0 / 3) * sqrt(fmin(slope, 1)) / CHANNEL_MANNING_N;
}

double channel_square_m3_s(double side_m, double slope) {
    return manning_m3_s(side_m * side_m / 2, side_m / 4, slope);
}

double channel_pipe_m3_s(double bore_m, double slope) {
    return manning_m3_s(PI * bore_m * bore_m / 8, bore_m / 4, slope);
}

double channel_square_for_m(double flow_m3_s, double slope) {
    int i = 0;
    while (i + 1 < CHANNEL_SIZES && !(channel_square_m3_s(channel_sizes_m[i], slope) >= flow_m3_s)) i++;
    return channel_sizes_m[i];
}

double channel_pipe_for_m(double flow_m3_s, double slope) {
    int i = 0;
    while (i + 1 < CHANNEL_PIPES && !(channel_pipe_m3_s(channel_pipes_m[i], slope) >= flow_m3_s)) i++;
    return channel_pipes_m[i];
}
