#!/usr/bin/env python3
"""The linear system of a crack plane by SciPy beside ours: the same heads to 1e-8, and how much longer SciPy takes.

usage: plane_scipy.py PLANE_BENCH [UNKNOWNS]     UNKNOWNS defaults to 20000 (a check); 1e6 is the bench

Our time is everything (mesh, assembly, solution, flows); SciPy's is spsolve alone. Exit 77 without SciPy.
"""

import json
import os
import subprocess
import sys
import tempfile
import time

try:
    import numpy
    import scipy.sparse
    import scipy.sparse.linalg
except ImportError:
    print("SciPy is not there: skipped")
    sys.exit(77)


def read(path):
    with open(path, "rb") as file:
        n, entries = numpy.fromfile(file, numpy.int32, 2)
        starts, rows = numpy.fromfile(file, numpy.int32, n + 1), numpy.fromfile(file, numpy.int32, entries)
        values, load, ours = (numpy.fromfile(file, numpy.float64, count) for count in (entries, n, n))
    lower = scipy.sparse.csc_matrix((values, rows, starts), shape=(n, n))
    strict = lower - scipy.sparse.diags(lower.diagonal())
    return (lower + strict.T).tocsc(), load, ours


def main():
    unknowns = sys.argv[2] if len(sys.argv) > 2 else "20000"
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "system")
        told = json.loads(subprocess.run([sys.argv[1], unknowns, path], check=True, capture_output=True, text=True).stdout)
        matrix, load, ours = read(path)
    start = time.perf_counter()
    theirs = scipy.sparse.linalg.spsolve(matrix, load)
    seconds = time.perf_counter() - start
    apart = numpy.max(numpy.abs(theirs - ours)) / numpy.max(numpy.abs(theirs))
    print(f"unknowns {told['unknowns']}, entries of the factor {told['factor_entries']:.4g}, peak {told['peak_mb']} MB")
    print(f"ours {told['ours_s']:.3f} s; CHOLMOD alone {told['cholmod_s']:.3f} s, ratio {told['ratio']:.2f} (aim at 1e6: 1.25)")
    print(f"SciPy {seconds:.3f} s, ratio {seconds / told['ours_s']:.2f} (aim at 1e6: at least 2.4)")
    print(f"largest difference of the heads {apart:.1e} (limit 1e-8)")
    sys.exit(0 if apart <= 1e-8 else 1)


main()
