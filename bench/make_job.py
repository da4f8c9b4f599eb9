#!/usr/bin/env python3
"""make_job.py - a survey of any size: LEAKS leaks on FACES walls in one row, from a seed. Survey JSON to standard output.

usage: make_job.py LEAKS FACES [SEED]

Walls are 12 m x 4 m and folded one to the next. Leaks are a mix near that of the demo job (mostly cracks), each with
stations, cover readings and, for some, timed flow. The same arguments give the same bytes.
"""

import json
import random
import sys

WIDTH, HEIGHT = 12.0, 4.0


def stations(draw, length):
    wet = draw.choice([["run", "drip", "seep", "damp"], ["drip", "seep", "seep", "dry"], ["damp", "damp", "dry", "dry"]])
    width = draw.choice([0.15, 0.2, 0.25, 0.3])
    rows = []
    for i, word in enumerate(wet):
        bar = draw.choice(["none", "none", "crossing"])
        row = {"chainage_m": round(length * i / 4, 3), "width_mm": round(width - 0.03 * i, 3), "wetness": word, "bar": bar}
        if bar == "crossing":
            row.update(cover_mm=55, bar_diameter_mm=12)
        rows.append(row)
    return rows


def crack(draw, face, mark):
    u, v, rise = round(draw.uniform(1, 11), 2), round(draw.uniform(0.1, 1.5), 2), round(draw.uniform(1, 2.2), 2)
    points = [[u, v], [round(u + draw.uniform(-0.1, 0.1), 3), round(v + rise / 2, 3)],
              [round(u + draw.uniform(-0.1, 0.1), 3), round(v + rise, 3)]]
    leak = {"mark": mark, "kind": "crack", "parts": [{"face": face, "points": points}], "stations": stations(draw, rise)}
    if leak["stations"][0]["wetness"] == "run":
        leak["flows"] = [{"from_m": 0, "to_m": round(rise / 4, 3), "volume_l": round(draw.uniform(0.2, 1), 2), "time_s": 60}]
    leak["signs"] = ["settled"]
    return leak


def joint(draw, face, mark):
    u = round(draw.uniform(0.5, 7), 2)
    return {"mark": mark, "kind": "joint", "parts": [{"face": face, "points": [[u, 0.15], [u + 4, 0.15]]}],
            "stations": stations(draw, 4)}


def hole(draw, face, mark):
    at = [round(draw.uniform(0.5, 11.5), 2), round(draw.uniform(0.5, 3.5), 2)]
    return {"mark": mark, "kind": "tie_hole", "diameter_mm": 26, "parts": [{"face": face, "points": [at]}],
            "stations": [{"chainage_m": 0, "wetness": draw.choice(["damp", "seep", "drip"])}]}


def pipe(draw, face, mark):
    leak = hole(draw, face, mark)
    leak.update(kind="penetration", diameter_mm=draw.choice([60, 110, 160]))
    return leak


def honeycomb(draw, face, mark):
    u, v = round(draw.uniform(0.5, 11), 2), round(draw.uniform(0.2, 3), 2)
    ring = [[u, v], [round(u + 0.4, 3), v], [round(u + 0.45, 3), round(v + 0.3, 3)], [u, round(v + 0.35, 3)]]
    return {"mark": mark, "kind": "honeycomb", "parts": [{"face": face, "points": ring}],
            "stations": [{"chainage_m": 0, "wetness": "seep"}]}


def survey(leaks, faces, seed):
    draw = random.Random(seed)
    outline = [[0, 0], [WIDTH, 0], [WIDTH, HEIGHT], [0, HEIGHT]]
    walls = [{"id": f"W{i}", "lie": "wall", "thickness_m": 0.35, "elevation_m": 0, "outline": outline} for i in range(faces)]
    folds = [{"a": [f"W{i}", [[WIDTH, 0], [WIDTH, HEIGHT]]], "b": [f"W{i + 1}", [[0, 0], [0, HEIGHT]]]}
             for i in range(faces - 1)]
    makers = [crack] * 12 + [joint] * 3 + [hole] * 3 + [pipe, honeycomb]
    site = {"name": f"generated: {leaks} leaks on {faces} faces, seed {seed}", "currency": "EUR", "retained_top_m": 3.8,
            "today": {"level_m": 3.0, "known": "measured"}, "crew": 2, "shift_h": 8, "days_to_start": 14}
    defects = [draw.choice(makers)(draw, f"W{i % faces}", f"L{i}") for i in range(leaks)]
    return {"stanch_survey": 1, "units": "metric", "site": site, "faces": walls, "folds": folds, "defects": defects}


if __name__ == "__main__":
    if len(sys.argv) not in (3, 4):
        sys.exit(__doc__)
    json.dump(survey(int(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]) if len(sys.argv) > 3 else 1), sys.stdout)
    print()
