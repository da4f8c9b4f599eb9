"""spread_numpy.py STANCH - `stanch calc spread` against NumPy on random items, with and without correlation.

NumPy draws its own plain samples by its own generator: the quantiles agree within the sampling error of both, the shares
within that of a correlation. Exit 77 (skipped) without NumPy.
"""
import json
import math
import random
import subprocess
import sys

try:
    import numpy
except ImportError:
    sys.exit(77)

SEED, CASES, RUNS = 11, 12, 100000
Z90 = 1.2815515655446004
PARTS = {"p10": 0.1, "p20": 0.2, "p50": 0.5, "p80": 0.8, "p90": 0.9}


def random_items(rng):
    items = []
    for i in range(rng.randint(2, 12)):
        middle, wide = rng.uniform(1, 100), rng.uniform(0.05, 0.5)
        if rng.random() < 0.5:
            item = {"distribution": "triangular", "low": middle * (1 - wide * rng.random()), "high": middle * (1 + wide)}
        else:
            item = {"distribution": "normal", "low": middle * (1 - wide), "high": middle * (1 + wide)}
        items.append({"name": str(i), "likely": middle, "unit_cost": rng.uniform(1, 50), **item})
    return items


def error_function(x):
    """Normal distribution function (Abramowitz and Stegun 7.1.26 errs by 1.5e-7, far below the sampling error)."""
    t = 1 / (1 + 0.3275911 * numpy.abs(x) / math.sqrt(2))
    tail = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))))
    half = tail * numpy.exp(-x * x / 2) / 2
    return numpy.where(x > 0, 1 - half, half)


def numpy_sample(items, correlation, generator):
    r = 2 * math.sin(math.pi * correlation / 6)
    matrix = numpy.full((len(items), len(items)), r)
    numpy.fill_diagonal(matrix, 1)
    scores = generator.multivariate_normal(numpy.zeros(len(items)), matrix, RUNS, method="cholesky")
    costs = []
    for item, z in zip(items, scores.T):
        low, likely, high = item["low"], item["likely"], item["high"]
        if item["distribution"] == "normal":
            value = likely + z * (high - likely) / Z90
        else:
            u, turn = error_function(z), (likely - low) / (high - low)
            value = numpy.where(u < turn, low + numpy.sqrt(u * (high - low) * (likely - low)),
                                high - numpy.sqrt((1 - u) * (high - low) * (high - likely)))
        costs.append(item["unit_cost"] * value)
    return numpy.array(costs)


def main():
    rng, generator = random.Random(SEED), numpy.random.default_rng(SEED)
    worst = 0.0
    for case in range(CASES):
        items, correlation = random_items(rng), rng.choice([0, 0.2, 0.6])
        data = {"items": items, "runs": RUNS, "seed": case, "correlation": correlation}
        done = subprocess.run([sys.argv[1], "calc", "spread"], input=json.dumps(data), capture_output=True, text=True)
        if done.returncode != 0:
            sys.exit(f"case {case}: {done.stderr}")
        ours, costs = json.loads(done.stdout), numpy_sample(items, correlation, generator)
        totals = costs.sum(axis=0)
        for name, p in PARTS.items():
            theirs = numpy.quantile(totals, p)
            step = 0.01  # density by a difference of quantiles
            density = 2 * step / (numpy.quantile(totals, p + step) - numpy.quantile(totals, p - step))
            error = math.sqrt(2 * p * (1 - p) / RUNS) / density
            off = abs(ours[name] - theirs) / error
            worst = max(worst, off)
            if off > 4:
                sys.exit(f"case {case}, correlation {correlation}: {name} is {ours[name]}, NumPy has {theirs}, "
                         f"off by {off:.1f} standard errors")
        squared = numpy.array([numpy.corrcoef(c, totals)[0, 1] ** 2 for c in costs])
        for item, share in zip(ours["items"], squared / squared.sum()):
            # a squared correlation errs by about 2 c (1 - c^2)/sqrt(n) in each sample; 4 of both, at most
            if abs(item["share"] - share) > 4 * 2 * 0.77 / math.sqrt(RUNS / 2) / squared.sum():
                sys.exit(f"case {case}: the share of {item['name']} is {item['share']}, NumPy has {share}")
    print(f"seed {SEED}, {CASES} cases: quantiles agree with NumPy, at most {worst:.1f} standard errors off")


main()
