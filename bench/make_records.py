#!/usr/bin/env python3
"""make_records.py - the records of a job as its crew might have made them, from its plan. Invented, to show the tool.

usage: make_records.py PLAN.json [SEED]        PLAN.json: stanch plan JOB --json, with works
       make_records.py --tank                  readings of a tank test as CSV
       make_records.py --photo                 a drawing in place of a photo, as PNG

The works are done as planned, give or take: hours differ, a slot is cut deeper and says why, one finish is taken back, a crack that
was dry is found damp, the last leaks are proved at too low a water, one still drips. The same arguments give the same bytes.
"""

import datetime
import json
import math
import random
import struct
import sys
import uuid
import zlib

FOLDER = uuid.UUID("4f0d7c5a-6a0e-4d27-9b55-3f2b7f5c0a11")  # of our own: ids from it are the same each time
PHOTO = "6e5330fd-7b94-5021-9cb7-c1d5fb9fc4ba.jpg"  # in examples/pump-house-photos: what --photo draws, as JPEG
DEVICE = "7b1c9c1e-5d3a-4c8e-8f21-0c6a5e9d2b40"
TIME = "%Y-%m-%dT%H:%M:%SZ"
MATERIALS = {"plug": "plug", "first_coat": "first coat", "pack": "dry-pack", "last_coat": "last coat"}
LEVELS = {"E": 2.92, "C": 3.31}  # water behind the tank's wall, and over the soffit: lower than at the survey
LEVEL, LEVEL_PIT = 2.63, 2.63
STILL_DRIPS, NOT_LOOKED_AT = "W2", "N4"


class Log:
    def __init__(self):
        self.records = []

    def add(self, mark, what, at, **more):
        n = len(self.records)
        record = {"id": str(uuid.uuid5(FOLDER, f"{n} {mark} {what}")), "mark": mark, "what": what, "at": at.strftime(TIME),
                  "device": DEVICE, "seen": n}
        record.update({k: v for k, v in more.items() if v is not None})
        self.records.append(record)
        return record["id"]


def weather(at):
    return {"air_c": round(9 + 3 * math.sin((at.hour - 9) / 24 * 2 * math.pi), 1), "wall_c": 10.5, "humidity_percent": 80}


def used(log, draw, leak, step, at, by):
    for mix in leak["takeoff"].get("mixes", []):
        if mix["step"] == MATERIALS.get(step):
            times = draw.uniform(0.92, 1.12)
            log.add(leak["mark"], "used", at, step=step, by=by, material=mix["material"], powder_kg=round(mix["powder_kg"] * times, 2),
                    water_l=round(mix["water_l"] * times, 2))


def found(log, draw, leak, at, by):
    slots = leak["design"].get("slots", [])
    if not slots:
        return
    length = sum(s["to_m"] - s["from_m"] for s in slots)
    depth = sum(s["depth_mm"] * (s["to_m"] - s["from_m"]) for s in slots) / length if length else slots[0]["depth_mm"]
    deeper = draw.random() < 0.15
    depth = round(depth * (1.25 if deeper else draw.uniform(0.97, 1.06)))
    wetness = "seep" if leak["mark"] == "N12" else None
    # A hole has no length, a patch no width: what is 0 was not measured.
    log.add(leak["mark"], "found", at, step="cut", by=by, length_m=round(length * draw.uniform(0.98, 1.05), 2) or None, depth_mm=depth,
            width_mm=round(leak["design"]["slot_width_mm"] * draw.uniform(0.96, 1.08)) or None, wetness=wetness)
    if deeper:
        log.add(leak["mark"], "deviation", at, step="cut", by=by, text="Cut deeper: the outer concrete was loose, sound only below.")
    if leak["mark"] == "N5":
        log.add("N5", "deviation", at, by=by, text="Stood by for a pump that was late.")


def is_last(task):
    """Of a task that was split, the last part; what was used is told there, once."""
    words = task["id"].split()
    return "of" not in words[-2:] or words[-3] == words[-1]


def work(log, draw, plan):
    leaks = {leak["mark"]: leak for leak in plan["leaks"]}
    tasks = [t for t in plan["works"]["tasks"] if t.get("mark") and t["step"] not in ("open", "mist", "prove", "setup")]
    for task in sorted(tasks, key=lambda t: (t["start_min"], t["mark"])):
        start, end = (datetime.datetime.fromisoformat(task[k]) for k in ("start", "end"))
        late = datetime.timedelta(minutes=round((end - start).total_seconds() / 60 * draw.uniform(-0.12, 0.08)))
        leak, by = leaks[task["mark"]], (task["workers"] or ["worker A"])[0]
        people = len(task["workers"]) or 1
        log.add(task["mark"], "start", start, step=task["step"], by=by, people=people)
        if task["step"] in ("scan", "stopped"):
            log.add(task["mark"], "hold", end, step=task["step"], by=by)
        if task["step"] == "cut" and is_last(task):
            found(log, draw, leak, end, by)
        if is_last(task):
            used(log, draw, leak, task["step"], end, by)
        done = log.add(task["mark"], "finish", end + late, step=task["step"], by=by, people=people, **weather(end))
        if task["mark"] == "N5" and task["step"] == "wash":
            log.add("N5", "correction", end + late, about=done, step="wash", by=by, text="Not done: the hose had burst. Washed after the break.")
            log.add("N5", "finish", end + late + datetime.timedelta(minutes=40), step="wash", by=by, people=people)
    log.add("N1", "photo", datetime.datetime(2026, 3, 17, 9, 30), step="prove", by="worker A", photo=PHOTO,
            text="After the last coat (drawn, no photo).")


def proofs(log, plan):
    for n, leak in enumerate(plan["leaks"]):
        mark = leak["mark"]
        treated = leak["design"].get("slots") or leak["design"]["method"] not in ("engineer first", "leave and watch")
        if not treated or mark == NOT_LOOKED_AT:
            continue
        level = LEVELS.get(mark[0], LEVEL)
        at = datetime.datetime(2026, 3, 17, 8, 0) + datetime.timedelta(minutes=10 * n)
        drips = mark == STILL_DRIPS
        log.add(mark, "proof", at, step="prove", by="worker A", hand="wet" if drips else "dry", blotter="marked" if drips else "clean",
                drips_per_min=6 if drips else 0, water_level_m=level, **({} if drips else {"air_c": 11}))
        if mark in ("N1", "N3", "W1"):  # looked at again after a day
            log.add(mark, "proof", at + datetime.timedelta(days=1), by="worker A", hand="dry", blotter="clean", drips_per_min=0, water_level_m=level)
    log.add("W2", "note", datetime.datetime(2026, 3, 17, 12, 0), by="worker A", text="Drips from the foot of the slot, 0.3 m long: to be packed again.")


def tank():
    draw = random.Random(7)
    print("at,level_mm,tank_water_c,pan_level_mm,rain_mm")
    start = datetime.datetime(2026, 3, 18, 8, 0)
    rain = {3: 1.6, 7: 0.4}
    level, pan = 3712.0, 180.0
    for i in range(11):  # every 12 h for 5 days; it loses 0.6 mm a day, the pan 1.3
        if i:
            level += -0.30 - 0.65 * 0.9 + rain.get(i, 0)
            pan += -0.65 + rain.get(i, 0)
        at = start + datetime.timedelta(hours=12 * i)
        print(f"{at.strftime(TIME)},{level + draw.gauss(0, 0.1):.1f},{11.2 + 0.2 * math.sin(i):.1f},{pan + draw.gauss(0, 0.1):.1f},{rain.get(i, 0):.1f}")


def photo():
    """A wall with the band of a repaired crack and a chalk stroke beside it."""
    draw, wide, high = random.Random(3), 480, 640
    rows = []
    for y in range(high):
        row = bytearray([0])
        middle = 240 + 14 * math.sin(y / 90) + 6 * math.sin(y / 23)
        for x in range(wide):
            grain, off = (draw.choice((-4, 0, 4)) if x % 4 == 0 and y % 2 == 0 else 0), abs(x - middle)
            grey = 168 + grain
            if off < 60:
                grey = 132 + grain // 2
            if off < 10:
                grey = 112 + grain // 2
            if 330 < x < 336 and 90 < y < 200:
                grey = 235
            row += bytes([max(0, grey - 4), max(0, grey - 2), grey])
        rows.append(bytes(row))

    def chunk(kind, body):
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", wide, high, 8, 2, 0, 0, 0)
    sys.stdout.buffer.write(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"".join(rows), 9)) + chunk(b"IEND", b""))


def main():
    if sys.argv[1:] == ["--tank"]:
        tank()
        return
    if sys.argv[1:] == ["--photo"]:
        photo()
        return
    if len(sys.argv) not in (2, 3):
        sys.exit(__doc__)
    with open(sys.argv[1], encoding="utf-8") as file:
        plan = json.load(file)
    log, draw = Log(), random.Random(int(sys.argv[2]) if len(sys.argv) == 3 else 1)
    work(log, draw, plan)
    proofs(log, plan)
    lines = ",\n".join("  " + json.dumps(r, ensure_ascii=False) for r in log.records)
    print('{"records": [\n' + lines + "\n]}")


main()
