"""docs/survey.schema.json against the example files and random surveys in both systems, and against spoiled ones.

test_schema.py PROJECT TOOL      TOOL is store_tool; exit 77: no jsonschema here.
"""
import copy
import glob
import json
import os
import subprocess
import sys

try:
    import jsonschema
except ImportError:
    print("no jsonschema here")
    sys.exit(77)

project, tool = sys.argv[1:3]
with open(os.path.join(project, "docs", "survey.schema.json"), encoding="utf-8") as f:
    schema = json.load(f)
jsonschema.Draft202012Validator.check_schema(schema)
validator = jsonschema.Draft202012Validator(schema)


def faults(document):
    return [f"{'/'.join(map(str, e.absolute_path))}: {e.message[:120]}" for e in validator.iter_errors(document)]


checked = 0
for path in sorted(glob.glob(os.path.join(project, "examples", "*.json"))):
    with open(path, encoding="utf-8") as f:
        document = json.load(f)
    if not isinstance(document, dict) or "stanch_survey" not in document:
        continue
    assert not faults(document), (path, faults(document)[:5])
    checked += 1
for seed in range(1, 31):
    for system in ("metric", "us"):
        out = subprocess.run([tool, "json", str(seed), system], capture_output=True, check=True).stdout
        document = json.loads(out)
        assert not faults(document), (seed, system, faults(document)[:5])
        checked += 1

with open(os.path.join(project, "fuzz", "corpus", "survey_json", "whole.json"), encoding="utf-8") as f:
    whole = json.load(f)
assert not faults(whole), faults(whole)
with open(os.path.join(project, "fuzz", "corpus", "survey_json", "waterstop.json"), encoding="utf-8") as f:
    waterstop = json.load(f)
assert not faults(waterstop), faults(waterstop)
with open(os.path.join(project, "fuzz", "corpus", "survey_json", "gauges.json"), encoding="utf-8") as f:
    gauges = json.load(f)
assert not faults(gauges), faults(gauges)
with open(os.path.join(project, "fuzz", "corpus", "survey_json", "gauges_us.json"), encoding="utf-8") as f:
    gauges_us = json.load(f)
assert not faults(gauges_us), faults(gauges_us)
with open(os.path.join(project, "fuzz", "corpus", "survey_json", "work.json"), encoding="utf-8") as f:
    work = json.load(f)
assert not faults(work), faults(work)
with open(os.path.join(project, "fuzz", "corpus", "survey_json", "work_us.json"), encoding="utf-8") as f:
    work_us = json.load(f)
assert not faults(work_us), faults(work_us)

with open(os.path.join(project, "fuzz", "corpus", "survey_json", "proof.json"), encoding="utf-8") as f:
    proof = json.load(f)
assert not faults(proof), faults(proof)
with open(os.path.join(project, "fuzz", "corpus", "survey_json", "proof_us.json"), encoding="utf-8") as f:
    proof_us = json.load(f)
assert not faults(proof_us), faults(proof_us)


def spoil(change, base=whole):
    document = copy.deepcopy(base)
    change(document)
    assert faults(document), "the schema let a spoiled document pass"


spoil(lambda d: d.pop("units"))
spoil(lambda d: d.update(units="us"))  # its members are metric
spoil(lambda d: d.update(rate=[]))
spoil(lambda d: d["defects"][0].update(kind="hole"))
spoil(lambda d: d["defects"][0].pop("parts"))
spoil(lambda d: d["defects"][0]["stations"][0].pop("wetness"))
spoil(lambda d: d["defects"][0]["stations"][0].update(width_mm=51))
spoil(lambda d: d["defects"][0]["stations"][0].update(width_in=0.01))
spoil(lambda d: d["defects"][0]["parts"][0]["points"].append([1, 2, 3]))
spoil(lambda d: d["faces"][0]["outline"].__delitem__(slice(2, None)))
spoil(lambda d: d["faces"][0].pop("thickness_m"))
spoil(lambda d: d["site"]["today"].pop("known"))
spoil(lambda d: d["answers"][0].update(on="yesterday"))
spoil(lambda d: d["rates"][0].update(basis="guess"))
spoil(lambda d: d["defects"][0].update(waterstop="yes"), waterstop)
spoil(lambda d: d["defects"][0].update(cutoff_mm=0), waterstop)
spoil(lambda d: d["defects"][0].update(cutoff_in=6), waterstop)
spoil(lambda d: d["defects"][0]["open"][0].pop("to_m"), waterstop)
spoil(lambda d: d["defects"][0]["open"][0].update(from_m=-1), waterstop)
spoil(lambda d: d["defects"][0]["open"][0].update(from_ft=1), waterstop)
spoil(lambda d: d["defects"][0]["overrule"].update(method="engineer"), gauges)
spoil(lambda d: d["defects"][0]["overrule"].pop("why"), gauges)
spoil(lambda d: d["defects"][0].update(exclude=["engineer"]), gauges)
spoil(lambda d: d["defects"][0]["readings"][0].pop("on"), gauges)
spoil(lambda d: d["defects"][0]["readings"][0].pop("width_mm"), gauges)
spoil(lambda d: d["defects"][0]["readings"][0].update(width_mm=51), gauges)
spoil(lambda d: d["defects"][0]["readings"][1].update(temperature_f=40), gauges)
spoil(lambda d: d["defects"][0].update(movement_mm=-1), gauges)
spoil(lambda d: d["defects"][1].update(depth_mm=0), gauges)
spoil(lambda d: d["faces"][0].update(far_side="shut"), gauges)
spoil(lambda d: d["site"].update(healing="none"), gauges)
spoil(lambda d: d["site"].update(typical_year_c=[1] * 364), gauges)
spoil(lambda d: d["site"]["air"][0].update(air_f=1), gauges)
spoil(lambda d: d["materials"][0].update(resin="tar"), gauges)
spoil(lambda d: d["materials"][1].update(movement_percent=0), gauges)
spoil(lambda d: d["site"]["typical_year_f"].pop(), gauges_us)
spoil(lambda d: d["defects"][0]["readings"][0].update(width_mm=0.3, width_in=None), gauges_us)
spoil(lambda d: d["faces"][0].update(access="rope"), work)
spoil(lambda d: d["faces"][0].update(turn=0), work)
spoil(lambda d: d["faces"][0].update(turn=1.5), work)
spoil(lambda d: d["site"].update(still_air=1), work)
spoil(lambda d: d["site"].update(humidity_percent=101), work)
spoil(lambda d: d["site"]["work"].update(start_on="monday"), work)
spoil(lambda d: d["site"]["work"].update(starts_h=25), work)
spoil(lambda d: d["site"]["work"].update(days=["monday"]), work)
spoil(lambda d: d["site"]["work"].update(days=[]), work)
spoil(lambda d: d["site"]["work"]["holidays"].append("2026-03-19"), work)
spoil(lambda d: d["site"]["work"]["plant"].update(saw=1), work)
spoil(lambda d: d["site"]["work"]["plant"].update(lift=0.5), work)
spoil(lambda d: d["site"]["work"]["workers"][0].pop("name"), work)
spoil(lambda d: d["site"]["work"]["workers"][0].update(skill="cuts"), work)
spoil(lambda d: d["site"]["forecast"].pop("from"), work)
spoil(lambda d: d["site"]["forecast"].update({"from": "2026-03-02T07:30"}), work)
spoil(lambda d: d["site"]["forecast"]["hours"][0].pop(), work)
spoil(lambda d: d["site"]["forecast"]["hours"][0].append(1), work_us)
spoil(lambda d: d.update(typical_hours=[[1, 80, 5]] * 8759), work)
spoil(lambda d: d["site"].update(high_water_on="soon"), proof)
spoil(lambda d: d["site"].update(warranty=2), proof)
spoil(lambda d: d["defects"][1].update(moved_from=""), proof)
spoil(lambda d: d["defects"][1].update(found_on="later"), proof)
spoil(lambda d: d["rates"][0].update(low=-1), proof)
spoil(lambda d: d["prices"][0].update(high="60"), proof)
spoil(lambda d: d["tanks"][0].pop("id"), proof)
spoil(lambda d: d["tanks"][0].pop("criterion"), proof)
spoil(lambda d: d["tanks"][0].pop("capacity_l"), proof)
spoil(lambda d: d["tanks"][0].update(capacity_gal=1), proof)
spoil(lambda d: d["tanks"][0].update(plan_area_m2=0), proof)
spoil(lambda d: d["tanks"][0].update(depth_m=101), proof)
spoil(lambda d: d["tanks"][0].update(wetted_area_ft2=1), proof)
spoil(lambda d: d["tanks"][0].update(criterion="dry"), proof)
spoil(lambda d: d["tanks"][0].update(pan="lost"), proof)
spoil(lambda d: d["tanks"][0].update(pan_factor=0), proof)
spoil(lambda d: d["tanks"][0].update(level_mm=1), proof)
spoil(lambda d: d["tanks"][0].update(depth_m=4), proof_us)
print(checked, "documents pass, 74 spoiled ones do not")
