#include "hydraulics/plane_parts.h"

int plane_sets_root(int *parent, int of) {
    while (parent[of] != of) {
        parent[of] = parent[parent[of]]; /* halve the way for the next who asks */
        of = parent[of];
    }
    return of;
}

void plane_sets_unite(int *parent, int a, int b) {
    a = plane_sets_root(parent, a);
    b = plane_sets_root(parent, b);
    if (a < b)
        parent[b] = a;
    else
        parent[a] = b;
}
