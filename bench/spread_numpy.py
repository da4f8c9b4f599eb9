"""spread_numpy.py SPREAD_BENCH [LEAKS RUNS] - the price with its risk, beside NumPy drawing the same samples.

NumPy draws the same number of columns as Latin hypercubes with the same rank correlation (scores, ranks by argsort,
triangles), sums them and correlates each with the sum; it counts no price. Both print seconds.
"""
import json
import math
import os
import subprocess
import sys
import tempfile
import time

import numpy

HERE = os.path.dirname(os.path.abspath(__file__))


def numpy_seconds(inputs, runs, correlation):
    start = time.perf_counter()
    generator = numpy.random.default_rng(1)
    r = 2 * math.sin(math.pi * correlation / 6)
    common, total = generator.standard_normal(runs), numpy.zeros(runs)
    kept = numpy.empty((inputs, runs), dtype=numpy.float32)
    for i in range(inputs):
        scores = math.sqrt(r) * common + math.sqrt(1 - r) * generator.standard_normal(runs)
        ranks = numpy.empty(runs)
        ranks[numpy.argsort(scores)] = numpy.arange(runs)
        u = (ranks + generator.random(runs)) / runs
        value = numpy.where(u < 1 / 3, numpy.sqrt(3 * u), 3 - numpy.sqrt(6 * (1 - u)))
        total += value
        kept[i] = value
    numpy.quantile(total, [0.1, 0.2, 0.5, 0.8, 0.9])
    for column in kept:
        numpy.corrcoef(column, total)
    return time.perf_counter() - start


def main():
    leaks, runs = (sys.argv[2:4] + ["300", "100000"])[:2] if len(sys.argv) > 2 else ("300", "100000")
    with tempfile.NamedTemporaryFile(suffix=".json") as survey:
        subprocess.run([sys.executable, os.path.join(HERE, "make_job.py"), leaks, "15"], stdout=survey, check=True)
        done = subprocess.run([sys.argv[1], survey.name, runs], capture_output=True, text=True)
        if done.returncode != 0:
            sys.exit(done.stderr)
    ours = json.loads(done.stdout)
    theirs = numpy_seconds(ours["inputs"], ours["runs"], ours["correlation"])
    print(json.dumps({**ours, "numpy_seconds": round(theirs, 2), "ratio": round(ours["seconds"] / theirs, 3)}))


main()
