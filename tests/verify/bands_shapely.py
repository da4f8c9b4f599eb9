"""bands_shapely.py BANDS_BENCH - the bands kernel against Shapely on random faces, openings, lines and folds.

Flat walls must agree to 1e-9 of the value, item by item. A folded wall is checked by Shapely laying the second
face flat beside the first: lines straight, so that both draw the same polygons. Exit 77 (skipped) without Shapely.
"""
import json
import math
import random
import subprocess
import sys
import tempfile

try:
    from shapely import affinity
    from shapely.geometry import LineString, Polygon
    from shapely.ops import unary_union
except ImportError:
    sys.exit(77)

SEED, CASES = 7, 40


def on(a, b, by):
    length = math.dist(a, b)
    return [b[0] + (b[0] - a[0]) / length * by, b[1] + (b[1] - a[1]) / length * by]


def shapes(line, data):
    points, by = line["points"], line["extend_mm"] / 1000
    run = LineString([on(points[1], points[0], by)] + points + [on(points[-2], points[-1], by)])
    half = data["slot_width_mm"] / 2000
    return (run, run.buffer(half, resolution=16, cap_style=2, join_style=1),
            run.buffer(half + data["band_mm"] / 1000, resolution=16, cap_style=2, join_style=1))


def expected(data, solid, lines):
    """What a flat wall holds: totals, and each line alone."""
    d, u = data["slot_depth_mm"] / 1000, math.radians(data["undercut_deg"])
    items, bands = [], []
    for line in lines:
        run, slot, band = (s.intersection(solid) for s in shapes(line, data))
        items.append({"line_length_m": run.length, "slot_area_m2": slot.area, "band_area_m2": band.area,
                      "slot_volume_m3": slot.area * d + run.length * d * d * math.tan(u),
                      "wash_area_m2": band.area + run.length * 2 * d * (1 / math.cos(u) + math.tan(u))})
        bands.append(band)
    total = {k: sum(i[k] for i in items) for k in items[0]}
    union = unary_union(bands).area
    total["overlap_saved_m2"] = total["band_area_m2"] - union
    total["wash_area_m2"] -= total["overlap_saved_m2"]
    total["band_area_m2"] = union
    return total, items


def slot_of(rng):
    return {"slot_width_mm": rng.choice([20, 25, 40]), "slot_depth_mm": rng.choice([20, 37, 60]),
            "undercut_deg": rng.choice([0, 0, 8]), "band_mm": rng.choice([100, 150, 250])}


def flat_wall(rng):
    """A wall with a gable and openings, and bent lines all over it, some over the edge."""
    outline = [[0, 0], [8, 0], [8, 2.5], [rng.uniform(3, 5), rng.uniform(3, 4)], [0, 2.5]]
    openings = [[[1, 0], [2, 0], [2, 2], [1, 2]],
                [[5, 1], [rng.uniform(6, 7), 1.2], [rng.uniform(6, 7), 2], [5.1, 2.1]]]
    solid = Polygon(outline)
    for opening in openings:
        solid = solid.difference(Polygon(opening))
    lines = []
    while len(lines) < rng.randint(1, 15):
        at, points = [rng.uniform(0, 8), rng.uniform(0, 2.5)], []
        for _ in range(rng.randint(2, 6)):
            points.append(at)
            at = [at[0] + rng.uniform(-0.7, 0.7), at[1] + rng.uniform(-0.7, 0.7)]
        run = LineString(points)
        if run.intersects(solid) and run.is_simple:
            lines.append({"face": "N", "points": points, "extend_mm": rng.choice([0, 300])})
    data = {"faces": [{"id": "N", "outline": outline, "openings": openings}], "lines": lines, **slot_of(rng)}
    return data, solid


def folded_wall(rng):
    """Two rectangles of unlike height that meet at u = 4; the second drawn turned, shifted, perhaps mirrored."""
    height, other = rng.uniform(2, 3), rng.uniform(3, 4)
    first = [[0, 0], [4, 0], [4, height], [0, height]]
    second = Polygon([(4, 0), (7, 0), (7, other), (4, other)])
    turn, flip = rng.uniform(-180, 180), rng.choice([-1, 1])

    def place(shape):
        shape = affinity.scale(shape, yfact=flip, origin=(0, 0))
        return affinity.translate(affinity.rotate(shape, turn, origin=(0, 0)), 3.3, -1.7)

    drawn = [list(p) for p in place(second).exterior.coords[:-1]]
    side = [list(p) for p in place(LineString([(4, 0), (4, height)])).coords]
    lines = []
    for _ in range(rng.randint(1, 8)):
        # straight, ending before the fold, clear of its upper end, and long enough to go on over it or beside it
        a = [rng.uniform(2, 3.5), rng.uniform(0.6, height - 0.6)]
        b = [rng.uniform(a[0], 3.99), min(max(a[1] + rng.uniform(-0.3, 0.3), 0.6), height - 0.6)]
        lines.append({"face": "N", "points": [a, b], "extend_mm": 200})
    data = {"faces": [{"id": "N", "outline": first}, {"id": "E", "outline": drawn}],
            "folds": [{"a": ["N", [[4, 0], [4, height]]], "b": ["E", side]}], "lines": lines, **slot_of(rng)}
    return data, Polygon(first).union(second)


def compute(bench, data):
    with tempfile.NamedTemporaryFile("w", suffix=".json") as file:
        json.dump(data, file)
        file.flush()
        return json.loads(subprocess.run([bench, file.name], check=True, capture_output=True, text=True).stdout)


def differs(found, wanted, where):
    bad = 0
    for key, value in wanted.items():
        if not abs(found[key] - value) <= 1e-9 * max(abs(value), 1e-3):
            print(f"seed {SEED}, {where}: {key} is {found[key]!r}, by Shapely {value!r}")
            bad += 1
    return bad


def main():
    rng, bad = random.Random(SEED), 0
    for case in range(CASES):
        for make in (flat_wall, folded_wall):
            data, solid = make(rng)
            found = compute(sys.argv[1], data)
            total, items = expected(data, solid, data["lines"])
            bad += differs(found["total"], total, f"{make.__name__} {case}")
            for i, item in enumerate(items):
                bad += differs(found["items"][i], item, f"{make.__name__} {case} line {i}")
    print(f"{2 * CASES} walls, {bad} differences (seed {SEED})")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
