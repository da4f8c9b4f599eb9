"""bands_shapely.py BANDS_BENCH [LINES] [FACES] [RUNS] - the bands kernel beside Shapely on the same lines.

Both buffer each line (slot and band), clip to the face, measure, and unite per face. Prints both medians and
their ratio (above 1: ours is quicker) and fails when an area differs by more than 1e-9 of itself.
"""
import json
import random
import statistics
import subprocess
import sys
import tempfile
import time

from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union
from shapely.prepared import prep

SLOT_M, BAND_M, EXTEND_M = 0.025, 0.150, 0.300


def make(lines, faces, seed):
    """A wall of 12 m by 4 m a face with two windows; cracks of 2 to 7 points anywhere on it."""
    rng = random.Random(seed)
    window = [[2, 1], [3.2, 1], [3.2, 2.4], [2, 2.4]]
    walls = [{"id": f"W{f}", "outline": [[0, 0], [12, 0], [12, 4], [0, 4]],
              "openings": [window, [[u + 5, v] for u, v in window]]} for f in range(faces)]
    made = []
    while len(made) < lines:
        u, v = rng.uniform(0.2, 11.8), rng.uniform(0.2, 3.8)
        points = [[u, v]]
        for _ in range(rng.randint(1, 6)):
            step_u, step_v = rng.uniform(-0.5, 0.5), rng.uniform(-0.5, 0.5)
            if 0.1 <= u + step_u <= 11.9 and 0.1 <= v + step_v <= 3.9:
                u, v = u + step_u, v + step_v
                points.append([u, v])
        if len(points) > 1 and not any(2 <= p <= 3.2 or 7 <= p <= 8.2 for p, _ in points):
            made.append({"face": walls[len(made) % faces]["id"], "points": points, "extend_mm": 300})
    return {"faces": walls, "lines": made, "slot_width_mm": 25, "slot_depth_mm": 37, "band_mm": 150}


def extended(points, extend_m):
    def on(a, b):
        length = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5
        return [b[0] + (b[0] - a[0]) / length * extend_m, b[1] + (b[1] - a[1]) / length * extend_m]
    return [on(points[1], points[0])] + points + [on(points[-2], points[-1])]


def shapely_bands(data):
    own, union, slots, length = 0.0, 0.0, 0.0, 0.0
    by_face = {}
    for line in data["lines"]:
        by_face.setdefault(line["face"], []).append(line)
    for face in data["faces"]:
        solid = Polygon(face["outline"], face["openings"])
        ready = prep(solid)
        bands = []
        for line in by_face.get(face["id"], []):
            run = LineString(extended(line["points"], EXTEND_M))
            slot = run.buffer(SLOT_M / 2, resolution=16, cap_style=2, join_style=1)
            band = run.buffer(SLOT_M / 2 + BAND_M, resolution=16, cap_style=2, join_style=1)
            if not ready.covers(band):
                slot, band, run = slot.intersection(solid), band.intersection(solid), run.intersection(solid)
            slots += slot.area
            own += band.area
            length += run.length
            bands.append(band)
        union += unary_union(bands).area
    return {"line_length_m": length, "slot_area_m2": slots, "band_area_m2": union, "overlap_saved_m2": own - union}


def main():
    bench = sys.argv[1]
    lines, faces, runs = (int(sys.argv[i]) if len(sys.argv) > i else d for i, d in ((2, 1000), (3, 1), (4, 7)))
    data = make(lines, faces, 1)
    with tempfile.NamedTemporaryFile("w", suffix=".json") as file:
        json.dump(data, file)
        file.flush()
        out = subprocess.run([bench, file.name, str(runs)], check=True, capture_output=True, text=True).stdout
    ours = json.loads(out)
    times = []
    for _ in range(runs):
        begin = time.perf_counter()
        theirs = shapely_bands(data)
        times.append(time.perf_counter() - begin)
    worst = max(abs(ours["total"][k] - v) / abs(v) for k, v in theirs.items())
    shapely_s = statistics.median(times)
    print(f"bands, {lines} lines on {faces} faces: ours {ours['seconds']:.4f} s, Shapely {shapely_s:.4f} s, "
          f"ratio {shapely_s / ours['seconds']:.2f}, largest difference {worst:.1e} (median of {runs} runs)")
    return 0 if worst <= 1e-9 else 1


if __name__ == "__main__":
    sys.exit(main())
