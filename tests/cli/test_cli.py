"""The command line as a newcomer meets it: right paths, wrong words, wrong files.

usage: test_cli.py STANCH EXAMPLES [unittest arguments]

Every refusal is held to the same contract: exit 2 for wrong input or 1 for a failing machine, nothing on standard
output, one sentence or a list of faults on standard error, and the job as it was.
"""

import contextlib
import json
import os
import pwd
import re
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import unittest

STANCH, EXAMPLES = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
COMMANDS = ["new", "import", "export", "plan", "leak", "answer", "gauge", "overrule", "record", "check", "tank", "accept", "built", "handover", "report", "offer", "risk", "learn", "day", "at", "serve", "methods", "calc"]
WHEN_ABSENT = {"from_ft": 0, "to_ft": 0, "state": "uncut", "bar": "not_scanned"}
TRACES_OF_A_CRASH = re.compile(r"AddressSanitizer|runtime error|Assertion|core dumped|Sanitizer|\bnan\b|\binf\b")


class Case(unittest.TestCase):
    def setUp(self):
        self.dir = tempfile.mkdtemp(prefix="stanch-cli-")
        self.addCleanup(shutil.rmtree, self.dir, True)
        self.job = os.path.join(self.dir, "job.stanch")

    def run_stanch(self, *arguments, data=None):
        done = subprocess.run([STANCH, *arguments], cwd=self.dir, input=data, capture_output=True, timeout=300)
        out, err = done.stdout.decode(), done.stderr.decode()
        self.assertGreaterEqual(done.returncode, 0, f"{arguments} was killed by signal {-done.returncode}: {err}")
        self.assertIsNone(TRACES_OF_A_CRASH.search(err), err)
        return done.returncode, out, err

    def good(self, *arguments):
        code, out, err = self.run_stanch(*arguments)
        self.assertEqual(code, 0, f"{arguments}: {err}")
        return out

    def refused(self, *arguments, codes=(2,), saying=(), sentences=1):
        """Refused in at most so many sentences, which hold every word of `saying`."""
        code, out, err = self.run_stanch(*arguments)
        self.assertIn(code, codes, f"{arguments}: {out}{err}")
        self.assertEqual(out, "", arguments)
        self.assertTrue(err.strip(), arguments)
        self.assertLessEqual(len(err.strip().splitlines()), sentences, f"too many sentences: {err}")
        for word in saying:
            self.assertIn(word, err)
        return err

    def demo(self):
        self.good("new", self.job)
        self.good("import", self.job, os.path.join(EXAMPLES, "pump-house.json"))

    def plan(self):
        """The plan without the crack planes, which take seconds; test_the_job_sheet has them on."""
        return self.good("plan", self.job, "--planes", "off")

    def export(self, kind="json"):
        return self.good("export", self.job, "--as", kind)

    def write(self, name, content):
        path = os.path.join(self.dir, name)
        with open(path, "w", encoding="utf-8") as file:
            file.write(content if isinstance(content, str) else json.dumps(content))
        return path

    def assert_narrow(self, out):
        for line in out.splitlines():
            self.assertLessEqual(len(line), 80, line)


class Help(Case):
    def test_help_is_a_table_of_contents(self):
        out = self.good("--help")
        for command in COMMANDS:
            self.assertRegex(out, rf"(?m)^\s*(stanch )?{command}\b")
        self.assert_narrow(out)

    def test_no_argument_points_to_help(self):
        code, out, err = self.run_stanch()
        self.assertEqual(code, 2)
        self.assertIn("--help", out + err)

    def test_version(self):
        self.assertRegex(self.good("--version"), r"^stanch \d+\.\d+\.\d+\n$")

    def test_the_manual_has_every_option(self):
        with open(os.path.join(EXAMPLES, os.pardir, "packaging", "stanch.1"), encoding="utf-8") as file:
            manual = re.sub(r"\\f[BIRP]", "", file.read()).replace("\\-", "-")
        shared = manual[manual.index(".SH OPTIONS OF SEVERAL"):manual.index(".SH EXIT STATUS")]
        entries = manual[:manual.index(".SH OPTIONS OF SEVERAL")].split(".TP\n")
        for command in COMMANDS:
            mine = "".join(entry for entry in entries if f"stanch {command}" in entry.split("\n")[0])
            self.assertTrue(mine, command)
            for option in re.findall(r"^  (--[a-z-]+)", self.good(command, "--help"), re.M):
                self.assertRegex(mine + shared, re.escape(option) + r"(?![a-z-])", f"{command} {option}")
        heads = [entry.split("\n")[0] for entry in entries if "stanch " in entry.split("\n")[0]]
        self.assertEqual(len(heads), len(set(heads)), "a command stands twice")

    def test_every_command_has_help(self):
        for command in COMMANDS:
            out = self.good(command, "--help")
            self.assertIn(command, out)
            self.assert_narrow(out)


class Methods(Case):
    def test_the_list(self):
        out = self.good("methods")
        self.assert_narrow(out)
        for word in ("slot_plug", "inject_polyurethane", "rout and flexible seal", "engineer first"):
            self.assertIn(word, out)
        self.assertEqual(len(out.splitlines()), 15)

    def test_the_table_is_one_page(self):
        """66 lines of 80 columns: a page of plain text (common practice)."""
        out = self.good("methods", "--table")
        self.assert_narrow(out)
        self.assertLessEqual(len(out.splitlines()), 66)
        self.assertTrue(out.isascii())
        rows = re.findall(r"(?m)^ ?(\d+)  \S", out)
        self.assertEqual([int(row) for row in rows], list(range(1, len(rows) + 1)))
        self.assertGreater(len(rows), 20)
        for words in ("STOP open", "moves, dry to drip", "rout and flexible seal", "ACI 224.1R", "from memory"):
            self.assertIn(words, out)

    def test_wrong_words(self):
        self.refused("methods", "coat", saying=["coat"])
        self.refused("methods", "--tabel", saying=["--table"])


class WrongWords(Case):
    def test_nearest_command(self):
        for wrong, right in (("pln", "plan"), ("imprt", "import"), ("raport", "report"), ("anser", "answer")):
            self.refused(wrong, saying=[wrong, right])

    def test_a_word_like_nothing(self):
        self.refused("xylophone", saying=["xylophone", "--help"])

    def test_missing_arguments(self):
        for command in ("new", "import", "export", "plan", "leak", "answer", "gauge", "overrule", "record", "check", "report"):
            self.refused(command)
        self.demo()
        self.refused("import", self.job)
        self.refused("leak", self.job)
        self.refused("report", self.job)
        self.refused("answer", self.job, "S1")
        self.refused("gauge", self.job, "S1")
        self.refused("overrule", self.job, "S1")

    def test_too_many_arguments(self):
        self.demo()
        before = self.export()
        self.refused("plan", self.job, "twice")
        self.refused("leak", self.job, "N1", "N2")
        self.assertEqual(self.export(), before)

    def test_unknown_option(self):
        self.refused("plan", "--colour", self.job, saying=["--colour"])
        self.refused("new", self.job, "--units", "cubits", saying=["cubits", "metric"])
        self.assertFalse(os.path.exists(self.job))

    def test_nearest_mark(self):
        self.demo()
        self.refused("leak", self.job, "N12b", saying=["N12b", "N12"])
        self.refused("answer", self.job, "S9", "offset", "--by", "A. Sample", "--text", "seen", saying=["S9"])

    def test_unknown_form_of_export(self):
        self.demo()
        self.refused("export", self.job, "--as", "cvs", saying=["cvs", "csv"])


class WrongFiles(Case):
    def test_missing_job(self):
        for arguments in (["plan", self.job], ["leak", self.job, "N1"], ["export", self.job, "--as", "json"],
                          ["report", self.job, self.dir]):
            self.refused(*arguments, codes=(1, 2), saying=["job.stanch"])
            self.assertEqual(os.listdir(self.dir), [], "a missing job must not be made")

    def test_an_existing_job_is_not_overwritten(self):
        self.demo()
        before = self.export()
        self.refused("new", self.job, codes=(1, 2), saying=["job.stanch"])
        self.assertEqual(self.export(), before)

    def test_not_a_job(self):
        path = self.write("letter.stanch", "Dear Sir, the wall leaks.\n" * 100)
        self.refused("plan", path, codes=(1, 2), saying=["letter.stanch"])
        other = os.path.join(self.dir, "other.stanch")
        with sqlite3.connect(other) as base:
            base.execute("CREATE TABLE notes(line TEXT)")
        self.refused("plan", other, codes=(1, 2), saying=["other.stanch"])

    def test_a_folder_for_a_job(self):
        self.refused("plan", self.dir, codes=(1, 2))

    def test_missing_import(self):
        self.demo()
        before = self.export()
        self.refused("import", self.job, "absent.json", codes=(1, 2), saying=["absent.json"])
        self.assertEqual(self.export(), before)

    def test_unknown_kind_of_import(self):
        self.demo()
        path = self.write("walls.txt", "N1 leaks\n")
        self.refused("import", self.job, path, saying=["walls.txt"], sentences=10)

    def test_every_fault_is_listed_and_nothing_changes(self):
        self.demo()
        before = self.export()
        wall = {"id": "X", "lie": "wal", "thickness_m": -1, "elevation_m": 0, "outline": [[0, 0], [1, 0]], "colour": 3}
        bad = self.write("bad.json", {"stanch_survey": 1, "units": "metric", "faces": [wall]})
        good = self.write("good.json", {"stanch_survey": 1, "units": "metric", "site": {"name": "Changed"}})
        code, out, err = self.run_stanch("import", self.job, good, bad)
        self.assertEqual((code, out), (2, ""))
        for word in ("bad.json", "faces[0]", "lie", "wall", "thickness_m", "-1", "outline", "colour"):
            self.assertIn(word, err)
        self.assertGreaterEqual(len(err.strip().splitlines()), 4)
        self.assertEqual(self.export(), before, "all or nothing")

    def test_faults_of_a_spreadsheet_name_line_and_column(self):
        self.demo()
        before = self.export()
        path = self.write("bad.csv", "mark,kind,face,u_m,v_m,width_mm,wetness\n"
                                     "X1,crack,N,1,1,0.2,wett\nX1,crack,N,1,2,-4,drip\n")
        code, out, err = self.run_stanch("import", self.job, path)
        self.assertEqual((code, out), (2, ""))
        for word in ("bad.csv", "line 2", "wett", "line 3", "-4"):
            self.assertIn(word, err)
        self.assertEqual(self.export(), before)

    def test_a_read_only_folder(self):
        if os.geteuid() == 0:
            self.skipTest("root may write anywhere")
        os.chmod(self.dir, 0o500)
        self.addCleanup(os.chmod, self.dir, 0o700)
        self.refused("new", self.job, codes=(1, 2), saying=["job.stanch"])


class InAndOut(Case):
    def test_an_import_says_what_it_brought(self):
        self.good("new", self.job)
        out = self.good("import", self.job, os.path.join(EXAMPLES, "pump-house.json"))
        self.assert_narrow(out.replace(self.dir, ""))
        self.assertIn(": 11 faces, 20 leaks,", out)
        self.assertNotIn("New or changed", out)
        brings = {"stanch_survey": 1, "units": "metric", "rates": [{"id": "cut_slot_h_m", "value": 0.9, "basis": "own"}],
                  "prices": [{"id": "labour_h", "price": 60}, {"id": "crane_day", "price": 900}],
                  "tanks": [{"id": "T1", "capacity_l": 200000, "plan_area_m2": 50, "depth_m": 4, "criterion": "awwa_d110"}]}
        file = self.write("brings.json", brings)
        self.assertIn("1 tank. New or changed: 1 rate, 2 prices. Next:", " ".join(self.good("import", self.job, file).split()))
        self.assertNotIn("New or changed", self.good("import", self.job, file))

    def test_import_export_import_changes_nothing(self):
        self.demo()
        first = self.export()
        self.good("import", self.job, self.write("again.json", first))
        self.assertEqual(self.export(), first)
        for kind, name in (("csv", "again.csv"), ("geojson", "again.geojson")):
            self.good("import", self.job, self.write(name, self.export(kind)))
            self.assertEqual(self.export(), first, kind)

    def test_a_fresh_job_from_an_export_is_the_same(self):
        self.demo()
        first = self.export()
        other = os.path.join(self.dir, "other.stanch")
        self.good("new", other)
        self.good("import", other, self.write("all.json", first))
        self.assertEqual(self.good("export", other, "--as", "json"), first)

    def test_us_units_read_back_exactly(self):
        self.good("new", self.job, "--units", "us")
        self.good("import", self.job, os.path.join(EXAMPLES, "small-us.json"))
        out = json.loads(self.export())
        with open(os.path.join(EXAMPLES, "small-us.json"), encoding="utf-8") as file:
            typed = json.load(file)
        self.assertEqual(out["units"], "us")
        for got, want in zip(out["defects"], typed["defects"]):
            for name in ("parts", "stations", "flows"):
                for a, b in zip(got[name] if name in want else [], want.get(name, [])):
                    self.assertEqual({**WHEN_ABSENT, **a}, {**WHEN_ABSENT, **b})
        for name in ("air_f", "wall_f", "leak_water_f", "mix_f", "retained_top_ft"):
            self.assertEqual(out["site"][name], typed["site"][name])

    def test_a_spreadsheet_with_decimal_commas(self):
        self.demo()
        self.good("import", self.job, os.path.join(EXAMPLES, "stations.csv"))
        found = [d for d in json.loads(self.export())["defects"] if d["mark"] == "W3"]
        self.assertEqual([s["width_mm"] for s in found[0]["stations"]], [0.25, 0.2, 0.15, 0.05])

    def test_gauges_go_in_and_out(self):
        self.demo()
        self.good("import", self.job, os.path.join(EXAMPLES, "gauges.csv"))
        table = self.export("gauges")
        self.assertTrue(table.startswith("mark,gauge,on,width_mm,temperature_c\nS2,1,2024-02-12,"), table[:60])
        self.assertIn("\nS2,1,2025-04-14,0.38,7.5\n", table)
        first = self.export()
        self.good("import", self.job, self.write("again.csv", table))
        self.assertEqual(self.export(), first, "the same readings again are passed over")
        other = self.write("other.csv", "mark,gauge,on,width_mm,temperature_c\nS2,1,2025-04-14,0.4,7.5\n"
                                        "S22,,2025-04-14,0.4,7.5\n")
        code, out, err = self.run_stanch("import", self.job, other)
        self.assertEqual((code, out), (2, ""))
        for words in ("line 3: no leak is marked S22; did you mean S2?",):
            self.assertIn(words, err)
        self.refused("import", self.job, self.write("one.csv", "".join(open(other, encoding="utf-8").readlines()[:2])),
                     saying=["line 2", "S2, gauge 1 on 2025-04-14", "0.38 mm", "0.4 mm"])
        self.assertEqual(self.export(), first)

    def test_weather_goes_in(self):
        self.demo()
        air = self.write("air.csv", "on,air_c\n" + "".join(f"2025-01-{d:02d},{d / 10}\n" for d in range(1, 31)))
        bare = self.write("bare.csv", "mark,on,width_mm\nN1,2025-01-20,0.3\nN1,2025-01-27,0.31\n")
        self.refused("import", self.job, bare, saying=["N1, reading of 2025-01-20: no temperature"])
        self.good("import", self.job, bare, air)
        self.assertEqual(len(json.loads(self.export())["site"]["air"]), 30)
        rows = [f"2001,{m},{d},{h},0,?,{m}.5,0,80{',0' * 12},2" for m, n in enumerate((31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31), 1)
                for d in range(1, n + 1) for h in range(1, 25)]
        head = ["LOCATION,nowhere"] + ["invented"] * 7
        self.good("import", self.job, self.write("year.epw", "\n".join(head + rows)))
        year = json.loads(self.export())["site"]["typical_year_c"]
        self.assertEqual((len(year), year[0], year[31], year[364]), (365, 1.5, 2.5, 12.5))
        rows[9] = rows[9].replace("1.5", "99.9")
        self.refused("import", self.job, self.write("hole.epw", "\n".join(head + rows)),
                     saying=["line 18", "dry bulb is missing (99.9)"])

    def test_a_forecast_and_hours_of_work_go_in(self):
        self.demo()
        table = os.path.join(EXAMPLES, "forecast.csv")
        self.good("import", self.job, table)
        site = json.loads(self.export())["site"]
        self.assertEqual((site["forecast"]["from"], len(site["forecast"]["hours"])), ("2026-03-02T00:00", 96))
        self.assertEqual(site["forecast"]["hours"][0], [5.2, 95, 6])
        self.assertEqual([w["name"] for w in site["work"]["workers"]], ["worker A", "worker B", "worker C", "worker D"])
        first = self.export()
        self.good("import", self.job, self.write("again.json", first))
        self.assertEqual(self.export(), first)
        with open(table, encoding="utf-8") as f:
            rows = f.readlines()
        self.refused("import", self.job, self.write("gap.csv", "".join(rows[:10] + rows[11:])),
                     saying=["line 11", "is the hour 2026-03-02T09:00; 2026-03-02T08:00 must come next"])
        self.refused("import", self.job, self.write("late.json", json.dumps({"stanch_survey": 1, "units": "metric", "site": {
            "work": {"starts_h": 18, "workers": [{"name": "a", "cuts": True}]}}})), sentences=4,
                     saying=["it must end by 24 h, not at 26.5 h", "no worker places", "no worker mixes"])
        self.assertEqual(self.export(), first)

    def test_the_template_is_imported_as_it_is(self):
        self.demo()
        before = self.export()
        self.good("import", self.job, self.write("form.csv", self.good("export", "--template")))
        self.assertEqual(self.export(), before)

    def test_export_to_a_file(self):
        self.demo()
        path = os.path.join(self.dir, "walls.dxf")
        self.good("export", self.job, "--as", "dxf", path)
        self.assertGreater(os.path.getsize(path), 1000)


class Plan(Case):
    def test_the_job_sheet(self):
        self.demo()
        out = self.good("plan", self.job)
        with open(os.path.join(EXAMPLES, "pump-house.json"), encoding="utf-8") as file:
            for defect in json.load(file)["defects"]:
                self.assertRegex(out, rf"(?m)\b{re.escape(defect['mark'])}\b")
        self.assertIn("STOP", out)
        self.assertIn("ASK", out)
        self.assert_narrow(out)
        self.assertEqual(self.good("plan", self.job), out, "same job, same sheet")

    def test_what_changed_since_the_last_plan_is_told_until_the_next(self):
        self.demo()
        self.assertNotIn("Changed since", self.plan())
        with open(os.path.join(EXAMPLES, "pump-house.json"), encoding="utf-8") as file:
            survey = json.load(file)
        survey["site"]["design"]["level_m"] += 1
        survey["defects"][0]["mark"] = "N1b"
        self.good("import", self.job, self.write("again.json", survey))
        out = self.plan()
        self.assertIn("Changed since the last plan\n", out)
        self.assertRegex(out, r"(?m)^N1b +leak new \(was none\)$")
        self.assertRegex(out, r"(?m)^N12 +head 4\.90 m \(was 3\.90 m\);")
        self.assertRegex(out, r"(?m)^job +total, without tax [0-9.]+ EUR \(was")
        self.assert_narrow(out)
        self.assertEqual(self.plan(), out, "the same inputs keep them")

    def test_the_plan_as_json_has_the_sizes_of_the_sheet(self):
        """S2 opens and closes: 20 mm of groove, since under water a seal is 20 mm deep and never deeper than wide; no rule for
        its movement asks for more. An injection: 45 degrees through 350 mm, ports at most 150 mm apart."""
        self.demo()
        self.good("overrule", self.job, "N1", "inject_polyurethane", "--by", "A. Sample", "--why", "no slot wanted here")
        plan = json.loads(self.good("plan", self.job, "--planes", "off", "--json"))
        leaks = {leak["mark"]: leak["design"] for leak in plan["leaks"]}
        seal, injection = leaks["S2"]["flexible"], leaks["N1"]["injection"]
        self.assertEqual([round(seal[name]) for name in ("width_mm", "depth_mm", "groove_depth_mm", "backer_mm")], [20, 20, 45, 25])
        self.assertEqual(leaks["S2"]["why"]["movement"], "cyclic")
        self.assertEqual(leaks["S2"]["why"]["gauges"][0]["gauge"], "1")
        self.assertAlmostEqual(seal["movement_mm"], leaks["S2"]["why"]["movement_mm"])
        self.assertAlmostEqual(injection["offset_mm"], 175)
        self.assertAlmostEqual(injection["hole_length_mm"], 247.487, 3)
        self.assertLessEqual(injection["spacing_mm"], 150)
        self.assertEqual(sorted(port["order"] for port in injection["ports"]), list(range(1, len(injection["ports"]) + 1)))
        self.assertEqual((leaks["N1"]["by_table"], leaks["N1"]["overruled_why"]), ("slot and plug", "no slot wanted here"))
        self.assertNotIn("injection", leaks["S1"], "a STOP has no design")
        self.works_of_the_demo(plan["works"])

    def works_of_the_demo(self, works):
        """Who does what when: local times beside the minutes, each step after what it waits for, people by name."""
        tasks = {task["id"]: task for task in works["tasks"]}
        self.assertEqual(len(tasks), len(works["tasks"]))
        self.assertEqual(works["start_on"], "2026-03-02")
        self.assertEqual(works["makespan_min"], max(task["end_min"] for task in works["tasks"] if task["step"] != "mist"))
        self.assertGreaterEqual(works["makespan_min"], works["lower_bound_min"])
        self.assertFalse(works["late"])
        for task in works["tasks"]:
            self.assertEqual(sum(task["people"].values()), len(task["workers"]), task["id"])
            for after in task["after"]:
                self.assertGreaterEqual(task["start_min"], tasks[after["task"]]["end_min"] + after["least_min"])
            for batch in task["batches"]:
                self.assertLessEqual(batch["placed_min"], batch["use_by_min"])
        first = min(works["tasks"], key=lambda task: task["start_min"])
        self.assertEqual(first["start"], f"2026-03-02T{first['start_min'] // 60:02}:{first['start_min'] % 60:02}")

    def test_planning_does_not_touch_the_survey(self):
        self.demo()
        before = self.export()
        self.plan()
        self.assertEqual(self.export(), before)

    def test_every_leak_is_explained(self):
        self.demo()
        for defect in json.loads(self.export())["defects"]:
            out = self.good("leak", self.job, defect["mark"], "--planes", "off")
            self.assertIn(defect["mark"], out)
            self.assert_narrow(out)

    def test_every_change_is_logged_with_who_and_when(self):
        self.demo()
        self.refused("import", self.job, self.write("bad.json", "{"), saying=["bad.json"])
        self.plan()
        self.good("answer", self.job, "S1", "growing", "--by", "A. Sample", "--text", "pinned, checked")
        with contextlib.closing(sqlite3.connect(self.job)) as job:
            rows = job.execute('SELECT at, "by", through, what FROM change ORDER BY seq').fetchall()
        self.assertEqual([row[3] for row in rows], ["new job job", "import pump-house.json: 11 faces, 20 leaks in the job",
                                                    "answer S1 growing by A. Sample"])
        for at, by, through, _ in rows:
            self.assertRegex(at, r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ$")
            self.assertEqual((by, through), (pwd.getpwuid(os.getuid()).pw_name, "command"))

    def test_a_gauge_is_read(self):
        self.demo()
        words = ["gauge", self.job, "N1", "-0.02", "--on", "2025-05-05", "--gauge", "top", "--temperature", "9"]
        self.assertIn("kept", self.good(*words, "--by", "A. Sample"))
        first = self.export()
        self.assertIn("there already", self.good(*words))
        self.assertEqual(self.export(), first)
        found = [d for d in json.loads(first)["defects"] if d["mark"] == "N1"][0]["readings"]
        self.assertEqual(found, [{"gauge": "top", "on": "2025-05-05", "width_mm": -0.02, "temperature_c": 9}])
        with contextlib.closing(sqlite3.connect(self.job)) as job:
            rows = job.execute('SELECT "by", what FROM change ORDER BY seq').fetchall()
        self.assertEqual(rows[2:], [("A. Sample", "gauge N1 top on 2025-05-05: -0.02 mm")])
        for change, saying in (
            ({3: "0.4"}, ["was read as -0.02 mm already, and now as 0.4 mm"]),
            ({2: "N99"}, ["N99", "did you mean"]),
            ({3: "wide"}, ["WIDTH is wide; it must be a number"]),
            ({3: "51"}, ["width is 51 mm; it must lie in -50 to 50 mm"]),
            ({5: "5 May"}, ["5 May"]),
            ({9: "warm"}, ["--temperature is warm"]),
            ({9: "99"}, ["temperature is 99"]),
            ({4: "--date"}, ["--date"]),
        ):
            self.refused(*[change.get(i, word) for i, word in enumerate(words)], saying=saying)
        self.refused(*words[:-2], "--gauge", "low", saying=["no temperature, and the site has no log of the air"])
        self.assertEqual(self.export(), first)

    def test_a_method_is_overruled(self):
        self.demo()
        before = self.export()
        why = ["--by", "A. Sample", "--why", "load passes here", "--on", "2025-05-05"]
        self.good("overrule", self.job, "N1", "inject_epoxy", *why)
        found = [d for d in json.loads(self.export())["defects"] if d["mark"] == "N1"][0]["overrule"]
        self.assertEqual(found, {"method": "inject_epoxy", "by": "A. Sample", "on": "2025-05-05", "why": "load passes here"})
        self.good("plan", self.job, "--planes", "off")
        for words, saying in (
            (["N1", "inject_epoxi", *why], ["inject_epoxi", "slot_plug", "watch"]),
            (["N1", "engineer", *why], ["engineer", "must be one of"]),
            (["N99", "coat", *why], ["N99", "did you mean"]),
            (["N1", "coat", "--by", "A. Sample"], ["--why"]),
            (["N1", "coat", "--why", "x"], ["--by"]),
            (["N1", *why], ["which method"]),
            (["N1", "coat", "--withdraw", *why], ["--withdraw takes no method"]),
            (["N1", "coat", *why[:4], "--on", "soon"], ["soon"]),
        ):
            self.refused("overrule", self.job, *words, saying=saying)
        self.assertIn("table decides again", self.good("overrule", self.job, "N1", "--withdraw", "--by", "A. Sample"))
        self.assertEqual(self.export(), before)

    def test_the_day_of_a_crew(self):
        """The works of the demo begin on Monday 2 March 2026."""
        self.demo()
        page, bars = (os.path.join(self.dir, name) for name in ("day.pdf", "day.svg"))
        day = self.good("day", self.job, "2026-03-02", "--planes", "off", "--pdf", page, "--svg", bars, "--date", "2026-03-01",
                        "--address", "https://192.0.2.7:8466")
        self.assertEqual(self.good("day", self.job, "1", "--planes", "off"), day)
        for line in day.splitlines():
            self.assertLessEqual(len(line), 79, line)
        for words in ("Mon 2 March 2026, day 1", "People: worker ", "Hold points", "Batches", "use by ", "Cautions", "points, A(8)"):
            self.assertIn(words, day)
        with open(page, "rb") as file:
            self.assertTrue(file.read().startswith(b"%PDF"))
        with open(bars, encoding="utf-8") as file:
            self.assertIn("Mon 2 March 2026, by person", file.read())
        everything = self.good("day", self.job, "all", "--planes", "off")
        self.assertTrue(everything.startswith(day))
        self.assertGreater(everything.count(", day "), 5)
        self.refused("day", self.job, "2026-03-07", "--planes", "off", saying=["Sat 7 March 2026", "Mon 9 March 2026"])
        self.refused("day", self.job, "monday", "--planes", "off", saying=["monday", "YYYY-MM-DD"])
        self.refused("day", self.job, saying=["DATE"])
        self.refused("day", self.job, "1", "--planes", "off", "--pdf", os.path.join(self.dir, "no", "day.pdf"), codes=(1,), saying=["day.pdf"])
        self.good("new", self.job + "2")
        self.refused("day", self.job + "2", "1", saying=["no works"])

    def test_the_works_at_another_temperature(self):
        """2.5 min of set at 20 C is 1.1 min at 35 C and 6.1 at 5 C (Arrhenius, 40 kJ/mol), so batches shrink in the heat."""
        self.demo()
        self.plan()
        hot = json.loads(self.good("at", self.job, "35", "--json"))
        plug = next(row for row in hot["batches"] if row["step"] == "plug")
        self.assertGreater(int(plug["at"]["batches"]), int(plug["now"]["batches"]))
        self.assertRegex(plug["at"]["set"], r"^1 min")
        self.assertIn("set after", self.good("at", self.job, "35"))
        self.assertIn("may not be placed below", self.good("at", self.job, "4"))
        self.refused("at", self.job, "99", saying=["0 °C to 60 °C"])
        self.refused("at", self.job, "warm", saying=["TEMPERATURE is warm"])

    def test_the_price_with_its_risk(self):
        self.demo()
        out = self.good("risk", self.job, "--runs", "2000")
        self.assert_narrow(out)
        figures = {name: float(re.search(rf"^{name}\D.* ([0-9.]+) EUR$", out, re.M)[1]) for name in ("P20", "P50", "P80", "Contingency")}
        planned = float(re.search(r"^Price as planned +([0-9.]+) EUR$", out, re.M)[1])
        self.assertIn(f"{planned:.2f}", self.good("plan", self.job, "--planes", "off"))
        self.assertLess(figures["P20"], figures["P50"])
        self.assertLess(figures["P50"], figures["P80"])
        self.assertAlmostEqual(figures["Contingency"], figures["P80"] - planned, delta=0.011)
        self.assertEqual(sum(line.endswith("#") for line in out.split("BY KIND")[0].split("\n")), 10)
        self.assertEqual(out, self.good("risk", self.job, "--runs", "2000", "--seed", "1"))
        self.assertNotEqual(out, self.good("risk", self.job, "--runs", "2000", "--seed", "2"))
        told = json.loads(self.good("risk", self.job, "--runs", "2000", "--json"))
        self.assertEqual((told["state"], told["runs"], told["seed"], told["correlation"]), ("counted", 2000, 1, 0.2))
        self.assertEqual(told["p80"].replace("\u00a0", ""), f"{figures['P80']:.2f} EUR")
        self.assertAlmostEqual(sum(g["share"] for g in told["groups"]), 1)
        self.assertLessEqual(len(told["inputs"]), 30)
        for words, saying in ((["--runs", "99"], "runs is 99; it must lie in 100 to 200000"), (["--runs", "0"], "--runs is 0"),
                              (["--runs", "1.5"], "--runs is 1.5"), (["--seed", "-1"], "--seed is -1")):
            self.refused("risk", self.job, *words, saying=[saying])
        empty = os.path.join(os.path.dirname(self.job), "nothing.stanch")
        self.good("new", empty)
        self.refused("risk", empty, saying=["nothing to price"])

    def test_an_answer_opens_the_design(self):
        self.demo()
        stopped = self.plan()
        for finding in ("growing", "offset"):
            self.good("answer", self.job, "S1", finding, "--by", "A. Sample", "--text", "pinned, checked")
        self.assertNotEqual(self.plan(), stopped)
        self.refused("answer", self.job, "S1", "groing", "--by", "A. Sample", "--text", "x", saying=["growing"])
        self.refused("answer", self.job, "S1", "growing", "--text", "x", saying=["--by"])

    def test_an_empty_job_is_planned(self):
        self.good("new", self.job)
        self.good("plan", self.job)

    def test_the_document(self):
        self.demo()
        paper = os.path.join(self.dir, "paper")
        self.good("report", self.job, paper, "--planes", "off")
        names = os.listdir(paper)
        for ending in (".pdf", ".svg", ".dxf", ".xlsx"):
            self.assertTrue([n for n in names if n.endswith(ending)], f"no {ending} among {names}")

    def codes(self, paper):
        """Every QR code of a PDF, read by zbar, an independent reader."""
        subprocess.run(["pdftoppm", "-r", "150", "-gray", "-png", paper, os.path.join(self.dir, "p")], check=True)
        pages = sorted(n for n in os.listdir(self.dir) if n.endswith(".png"))
        return subprocess.run(["zbarimg", "-q", "--raw", "-Sdisable", "-Sqrcode.enable", *pages], cwd=self.dir, capture_output=True, text=True).stdout.split()

    def test_a_day_sheet_carries_the_address_of_its_day(self):
        """As docs/page.md has it, "Works"; tests/page opens such an address."""
        self.demo()
        sheet = os.path.join(self.dir, "day.pdf")
        self.good("day", self.job, "4", "--planes", "off", "--pdf", sheet, "--address", "https://192.0.2.7:8466")
        stem = os.path.splitext(os.path.basename(self.job))[0]
        self.assertEqual(self.codes(sheet), [f"https://192.0.2.7:8466/#/job/{stem}/works/day/2026-03-05"])

    def test_step_cards_carry_codes_that_a_reader_understands(self):
        """The link, then the mark."""
        self.demo()
        paper = os.path.join(self.dir, "paper")
        self.good("report", self.job, paper, "--planes", "off", "--address", "https://192.0.2.7:8466")
        read = self.codes(os.path.join(paper, "plan.pdf"))
        marks = [d["mark"] for d in json.loads(self.export())["defects"]]
        stem = os.path.splitext(os.path.basename(self.job))[0]
        self.assertEqual(sorted(read), sorted(f"https://192.0.2.7:8466/#/job/{stem}/wall/{m}" for m in marks))
        self.refused("report", self.job, paper, "--address", "192.0.2.7", saying=["--address", "https://"])


class Records(Case):
    """What was done at the wall: kept once, listed, corrected; the survey and its plan do not see it."""

    def setUp(self):
        super().setUp()
        self.demo()

    @staticmethod
    def one(number, **more):
        return {"id": f"00000000-0000-4000-8000-{number:012}", "mark": "E3", "what": "start", "step": "cut", "seen": 0,
                "at": "2024-03-01T09:30:00Z", "device": "00000000-0000-4000-8000-00000000000b", "by": "K. K.", **more}

    def test_a_record_is_kept_and_listed(self):
        before = self.export()
        self.assertEqual(self.good("record", self.job, "--list"), "no records\n")
        out = self.good("record", self.job, "E3", "finish", "--step", "cut", "--by", "N. N.", "--length", "3.0", "--depth", "37",
                        "--at", "2024-03-01T09:30:00Z", "--text", "a_b " + "as drawn but for the last third " * 4)
        self.assertEqual(out, "E3 finish: kept as record 1\n")
        self.good("record", self.job, "site", "found", "--air", "-2.5")
        self.good("record", self.job, "E3", "correction", "--about", "1", "--depth", "42")
        out = self.good("record", self.job, "--list")
        self.assert_narrow(out)
        for piece in ("   1  2024-03-01 09:30  E3        finish      cut           N. N.\n", "length 3 m, depth 37 mm, text a_b as drawn",
                      "air -2.5 °C", "about record 1, depth 42 mm"):
            self.assertIn(piece, out)
        self.assertNotIn("air", self.good("record", self.job, "--list", "--mark", "E3"))
        self.assertEqual(self.export(), before)

    def test_a_file_of_records_is_taken_once(self):
        self.good("record", self.job, "E3", "start", "--step", "cut", "--by", "N. N.")
        path = self.write("r.json", {"records": [self.one(1), self.one(2, what="hold", by="")]})
        for told in ("1 kept, 0 there already, 1 refused; the last record is number 2\n", "0 kept, 1 there already, 1 refused; the last record is number 2\n"):
            code, out, err = self.run_stanch("record", self.job, "--from", path)
            self.assertEqual((code, out), (2, told))
            self.assertIn("record 2 (00000000-0000-4000-8000-000000000002): by: is missing", err)
        out = self.good("record", self.job, "--list")
        self.assert_narrow(out)
        self.assertIn("conflict of 1 and 2: E3, cut: N. N. and K. K. both recorded start", out)
        self.good("record", self.job, "E3", "settled", "--about", "1", "--other", "2", "--by", "N. N.")
        self.assertNotIn("conflict", self.good("record", self.job, "--list"))
        data = json.dumps({"records": [self.one(4)]}).encode()
        self.assertEqual(self.run_stanch("record", self.job, "--from", "-", data=data)[0], 0)

    def test_a_us_job_speaks_feet(self):
        job = os.path.join(self.dir, "us.stanch")
        self.good("new", job, "--units", "us")
        self.good("record", job, "site", "found", "--length", "10", "--depth", "1.5")
        self.assertIn("length 10 ft, depth 1.5 in", self.good("record", job, "--list"))

    def tank(self):
        self.good("import", self.job, self.write("tank.json", {"stanch_survey": 1, "units": "metric", "tanks": [
            {"id": "T1", "capacity_l": 200000, "plan_area_m2": 50, "depth_m": 4, "criterion": "awwa_d110"}]}))

    def test_proofs_and_readings(self):
        self.tank()
        self.good("record", self.job, "site", "level", "--tank", "T1", "--level", "-3.2", "--pan", "10", "--rain", "1",
                  "--tank-water", "18", "--by", "N. N.")
        self.good("record", self.job, "N1", "proof", "--hand", "dry", "--blotter", "clean", "--drips", "0", "--begin", "0", "--end", "0.5",
                  "--water-level", "2.5", "--by", "N. N.")
        self.good("record", self.job, "E3", "found", "--wetness", "run")
        self.good("record", self.job, "E3", "deviation", "--by", "N. N.", "--text", "a bar lay there")
        out = " ".join(self.good("record", self.job, "--list").split())
        for piece in ("tank T1, level -3.2 mm, pan level 10 mm, rain 1 mm, tank water 18 °C", "from 0 m, to 0.5 m, hand dry, blotter clean, drips per "
                      "min 0, water level 2.5 m", "wetness run", "text a bar lay there"):
            self.assertIn(piece, out)
        for words, saying in (
            (["site", "level", "--tank", "T2", "--level", "1", "--by", "x"], ["no tank T2", "nearest is T1"]),
            (["E3", "level", "--tank", "T1", "--level", "1", "--by", "x"], ["the reading of a tank stands at"]),
            (["N1", "proof", "--hand", "dry", "--begin", "0", "--end", "900", "--by", "x"], ["to: is 900.000 m", "N1 is"]),
            (["E3", "proof", "--hand", "dry"], ["by: is missing"]),
            (["E3", "found", "--wetness", "soaked"], ["dry, damp, seep, drip, run, jet"]),
            (["E3", "used", "--material", "plug-genric", "--powder", "1"], ["no material plug-genric", "nearest is plug-generic"]),
            (["E3", "proof", "--hand", "dry", "--water-level", "2700", "--by", "x"], ["water_level: is 2700 m", "below"]),
            (["E3", "photo", "--photo", "none.jpg"], ["none.jpg", "beside the job file"]),
        ):
            self.refused("record", self.job, *words, saying=saying)

    def check(self, *more):
        """Exit status and what was said by stanch check, which writes to standard output in both cases."""
        code, out, err = self.run_stanch("check", self.job, *more)
        self.assertEqual(err, "")
        if "--json" not in more:
            self.assert_narrow(out)
        return code, " ".join(out.split())

    def test_the_chain(self):
        code, out = self.check()
        self.assertEqual(code, 0)
        self.assertIn("records 0, naming 0 photos", out)
        for word in ("start", "finish", "start"):
            self.good("record", self.job, "E3", word, "--step", "cut", "--by", "N. N.")
        code, out = self.check()
        self.assertEqual(code, 0)
        head = re.search(r"head (3:[0-9a-f]{64}) whole: every record follows from the one before it", out).group(1)
        self.assertEqual(self.check("--head", head)[0], 0)
        code, out = self.check("--json", "--head", head)
        told = json.loads(out)
        self.assertEqual((code, told["records"], told["known"], told["breaks"]), (0, 3, True, []))
        self.assertEqual(f"{told['head_seq']}:{told['head_hash']}", head)
        self.refused("check", self.job, "--head", "3:abc", saying=["--head is 3:abc", "64 digits"])
        self.refused("check", self.job, "--head", "x" + head, saying=["--head"])
        self.refused("check", os.path.join(self.dir, "none"), codes=(1,), saying=["none"])
        db = sqlite3.connect(self.job)
        db.executescript("DROP TRIGGER record_stays; DROP TRIGGER record_is_kept; DELETE FROM record WHERE seq = 3;"
                         "UPDATE sqlite_sequence SET seq = 2 WHERE name = 'record'")
        db.close()
        self.assertEqual(self.check()[0], 0)  # the file alone cannot tell
        code, out = self.check("--head", head)
        self.assertEqual(code, 3)
        self.assertIn("head given: does not stand in the log - record 3, which the head given names, is not there: the log was cut broken: 1 break", out)
        db = sqlite3.connect(self.job)
        db.execute("UPDATE record SET mark = 'N1' WHERE seq = 1")
        db.commit()
        db.close()
        code, out = self.check()
        self.assertEqual(code, 3)
        self.assertRegex(out, "record 1 \\(N1, start, id [0-9a-f-]{36}\\): its content is not what it was")

    def test_what_is_wrong_is_said(self):
        for words, saying in (
            (["E33", "start"], ["E33", "nearest mark is E3"]),
            (["E3", "strt"], ["strt", "start, finish"]),
            (["E3", "start", "--step", "plugg"], ["plugg", "did you mean plug?"]),
            (["E3", "found"], ["found says nothing"]),
            (["E3", "hold", "--step", "scan"], ["by: is missing"]),
            (["E3", "found", "--depth", "x"], ["--depth", "must be a number"]),
            (["E3", "found", "--depth", "-1"], ["depth_mm", "is -1", "0 to 20000 mm"]),
            (["E3", "start", "--at", "9:30"], ["9:30", "2026-03-01T09:30:00Z"]),
            (["E3", "start", "--at", "2099-01-01T00:00:00Z"], ["not be more than 24 h after now"]),
            (["E3", "correction", "--about", "7"], ["--about is 7", "no record of that number"]),
            (["E3", "start", "--lenght", "1"], ["--lenght", "--length"]),
            (["E3", "start", "--mark", "E3"], ["--mark goes with --list"]),
            (["E3"], ["stanch record JOB MARK WHAT"]),
            ([], ["stanch record JOB MARK WHAT"]),
            (["--list", "--by", "x"], ["--list takes"]),
            (["E3", "start", "--list"], ["--list takes"]),
            (["--from", self.write("bad.json", "{"), ], ["line 1"]),
            (["--from", self.write("no.json", {"record": []})], ["record"]),
        ):
            self.refused("record", self.job, *words, saying=saying)
        self.refused("record", self.job, "--from", os.path.join(self.dir, "none"), codes=(1,), saying=["none"])
        self.refused("record", os.path.join(self.dir, "none"), "E3", "start", codes=(1,), saying=["none"])
        self.assertEqual(self.good("record", self.job, "--list"), "no records\n")


class Built(Case):
    """What was built against what was planned, from the command line."""

    def setUp(self):
        super().setUp()
        self.demo()

    def built(self):
        out = self.good("built", self.job)
        self.assert_narrow(out)
        self.assertEqual([line for line in out.splitlines() if line != line.rstrip()], [])
        return out

    def test_nothing_recorded(self):
        out = self.built()
        self.assertIn("nothing is recorded yet", out)
        self.assertIn("Nothing recorded: N1, N12", out)
        self.assertRegex(out, r"(?m)^Total, without tax, EUR +0\.00$")
        self.assertIn("Not recorded, so not billed: Set up at the leaks,", out)

    def test_a_morning_at_a_leak(self):
        at = ["--by", "N. N.", "--at"]
        self.good("record", self.job, "N1", "start", "--step", "cut", "--people", "2", *at, "2024-03-01T08:00:00Z")
        self.good("record", self.job, "N1", "finish", "--step", "cut", "--length", "3.5", "--depth", "37", *at, "2024-03-01T09:30:00Z")
        self.good("record", self.job, "N1", "used", "--step", "plug", "--powder", "50", *at, "2024-03-01T10:00:00Z")
        self.good("record", self.job, "N1", "correction", "--about", "3", "--powder", "5", *at, "2024-03-01T10:05:00Z")
        self.good("record", self.job, "N1", "deviation", "--step", "plug", "--text", "a hollow behind", *at, "2024-03-01T10:10:00Z")
        out = self.built()
        self.assertIn("2024-03-01 to 2024-03-01\n", out)
        self.assertRegex(out, r"(?m)^  Slot length +3\.00 m +3\.50 m +differs\n      no reason given$")
        self.assertRegex(out, r"(?m)^  Depth +37 mm +37 mm$")
        self.assertRegex(out, r"(?m)^  Fast-setting plug powder +2\.5 kg +5\.0 kg +differs\n      a hollow behind$")
        self.assertRegex(out, r"(?m)^  Hours +5\.7 h +3\.0 h$")
        self.assertRegex(out, r"(?m)^Cut and chip +3\.00 h x +52\.00 +156\.00$")
        document = json.loads(self.good("built", self.job, "--json"))
        leak = next(one for one in document["leaks"] if one["mark"] == "N1")
        self.assertEqual(leak["hours"], 3)
        self.assertEqual([line["seqs"] for line in leak["lines"] if line["label"] == "Fast-setting plug powder"], [[4]])
        self.assertEqual((document["first"], document["people"]), ("2024-03-01", ["N. N."]))
        self.assertAlmostEqual(sum(bill["amount"] for bill in document["bills"]), document["total"], places=6)

    def test_the_offer_that_is_kept_sets_the_rates(self):
        at = ["--by", "N. N.", "--at", "2024-03-01T08:00:00Z"]
        self.good("record", self.job, "N1", "finish", "--step", "cut", "--hours", "3", *at)
        dearer = os.path.join(self.dir, "dearer.json")
        with open(dearer, "w", encoding="utf-8") as file:
            json.dump({"stanch_survey": 1, "units": "metric", "prices": [{"id": "labour_h", "label": "Labour", "unit": "h", "price": 104}]}, file)
        self.good("offer", self.job, os.path.join(self.dir, "paper"), "--date", "2024-02-01", "--runs", "300")
        self.good("import", self.job, dearer)
        self.assertRegex(self.built(), r"(?m)^Cut and chip +3\.00 h x +52\.00 +156\.00$")
        self.good("offer", self.job, os.path.join(self.dir, "paper"), "--date", "2024-02-02", "--runs", "300")
        self.assertRegex(self.built(), r"(?m)^Cut and chip +3\.00 h x +104\.00 +312\.00$")

    def test_wrong_words(self):
        self.refused("built", saying=["JOB"])
        self.refused("built", os.path.join(self.dir, "none"), codes=(1,), saying=["none"])


class Accept(Case):
    """Is it proved dry: tests at the leaks and readings of a tank, from the command line."""

    TANK = {"stanch_survey": 1, "units": "metric", "tanks": [{"id": "T1", "capacity_l": 200000, "plan_area_m2": 50, "depth_m": 4,
                                                              "criterion": "awwa_d110", "filled_on": "2024-03-01", "pan": "open"}]}
    READINGS = "hours,level_mm,pan_level_mm,tank_water_c\n0,3712,180,11\n24,3711.3,179.4,11\n48,3710.6,178.8,11\n72.5,3709.9,178.2,11\n"

    def setUp(self):
        super().setUp()
        self.demo()

    def proof(self, mark, day, level="2.70", hand="dry", paper="clean", *more):
        self.good("record", self.job, mark, "proof", "--by", "N. N.", "--hand", hand, "--blotter", paper, "--water-level", level,
                  "--at", f"2024-03-{day:02}T09:30:00Z", *more)

    def accept(self, *words):
        out = self.good("accept", self.job, "--date", "2024-03-12", *words)
        if "--json" not in words:
            self.assert_narrow(out)
            self.assertEqual([line for line in out.splitlines() if line != line.rstrip()], [])
        return out

    def test_nothing_done_is_open(self):
        out = self.accept()
        self.assertIn("class agreed: BS 8102 grade 2", out)
        self.assertIn("verdict: Open: no work is recorded on 20 leaks.", out)
        self.assertRegex(out, r"(?m)^N1 +open +0\.900 l/min$")
        self.assertNotIn("to be looked at again", out)

    def test_from_the_last_coat_to_the_next_look(self):
        for mark in ("N1", "E2", "P2"):
            self.good("record", self.job, mark, "finish", "--step", "last_coat", "--by", "N. N.", "--at", "2024-03-01T15:00:00Z")
        self.proof("N1", 10)
        self.proof("E2", 10, "1.00")
        self.proof("P2", 10, "2.70", "wet", "marked", "--drips", "6")
        out = self.accept()
        self.assertIn("verdict: Not tight: 1 leak does not keep what is asked.", out)
        self.assertRegex(out, r"(?m)^N1 +kept +2\.55 of 2\.55 m +BS 8102 grade 3 +0\.900 -> 0 l/min$")
        self.assertRegex(out, r"(?m)^P2 +broken +none +12\.0 l/min$")
        said = " ".join(out.split())
        self.assertIn("Fails BS 8102 grade 2: 6.0 drips a minute.", said)
        self.assertIn("The water stood at 1.00 m, lower than at the survey", said)
        self.assertIn("Not proven, which is not dry", said)
        self.assertIn("saved, on 1 leak: 0.900 l/min, 473 m³ a year", out)
        self.assertRegex(out, r"(?m)^  2024-03-11  24 h        overdue  N1$")
        self.assertRegex(out, r"(?m)^  2024-03-17  7 d         waiting  N1$")
        self.assertRegex(out, r"(?m)^  no date     high water  waiting  N1$")
        document = json.loads(self.accept("--json"))
        leaks = {leak["mark"]: leak for leak in document["leaks"]}
        self.assertEqual([leaks[m]["verdict"] for m in ("N1", "E2", "P2", "N3")], ["kept", "not proven", "broken", "open"])
        self.assertEqual(document["counts"], {"kept": 1, "broken": 1, "not_proven": 1, "open": 17})

    def test_a_tank_is_read_and_judged(self):
        self.good("import", self.job, self.write("tank.json", self.TANK))
        path = self.write("t.csv", self.READINGS)
        hour_0 = ("--by", "N. N.", "--from", "2024-03-05T08:00:00Z")
        self.assertIn("tank T1: 4 readings kept.", self.good("tank", self.job, "T1", path, *hour_0))
        self.assertIn("tank T1: 0 readings kept, all were there.", self.good("tank", self.job, "T1", path, *hour_0))
        out = self.accept()
        self.assertRegex(out, r"(?m)^tank T1  pass  by AWWA D110, 4 readings$")
        self.assertIn("level 3711.3 mm", self.good("record", self.job, "--list"))

    def test_a_bad_file_of_readings_keeps_nothing(self):
        self.good("import", self.job, self.write("tank.json", self.TANK))
        bad = self.write("t.csv", "at,level_mm,tank_water_c\n2024-03-05T08:00:00Z,high,11\nmonday,5,200\n")
        said = self.refused("tank", self.job, "T1", bad, "--by", "N. N.", sentences=5,
                            saying=["line 2: level_mm: \"high\" is no number", "line 3: tank_water_c: is 200", "4 faults; no reading was kept"])
        self.assertIn('line 3: at is "monday"', said)
        self.assertEqual(self.good("record", self.job, "--list"), "no records\n")
        for words, saying in (
            (["T2", bad, "--by", "N. N."], ["the job has no tank T2; did you mean T1"]),
            (["T1", bad], ["--by NAME is missing"]),
            (["T1", bad, "--by", "N. N.", "--from", "8:00"], ["from is \"8:00\"", "2026-03-01T09:30:00Z"]),
            (["T1", bad, "--from"], ["--from"]),
            (["T1"], ["tank"]),
        ):
            self.refused("tank", self.job, *words, saying=saying)
        self.refused("tank", self.job, "T1", os.path.join(self.dir, "none.csv"), "--by", "N. N.", codes=(1,), saying=["none.csv"])

    def test_the_looks_as_a_calendar(self):
        path = os.path.join(self.dir, "looks.ics")
        self.refused("accept", self.job, "--calendar", path, saying=["no look is due on a day that is known"])
        self.assertFalse(os.path.exists(path))
        self.good("record", self.job, "N1", "finish", "--step", "last_coat", "--by", "N. N.", "--at", "2024-03-01T15:00:00Z")
        self.proof("N1", 10)
        self.assertTrue(self.accept("--calendar", path).endswith(f"\n{path}\n"))
        check = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "golden", "check_ical.py")
        said = subprocess.run(["/usr/bin/python3", check, path, "looks"], capture_output=True, timeout=60, check=True).stdout.decode()
        self.assertTrue(said.startswith("skip") or said == "agrees\n", said)
        with open(path, "rb") as file:
            first = file.read()
        self.accept("--calendar", path)
        with open(path, "rb") as file:
            self.assertEqual(file.read(), first)

    def test_what_is_wrong_is_said(self):
        self.refused("accept", os.path.join(self.dir, "none"), codes=(1,), saying=["none"])
        self.refused("accept", self.job, "--date", "monday", saying=["monday"])
        self.refused("accept", self.job, "--jason", saying=["--json"])


class Offer(Case):
    """The offer: printed, kept, listed, printed again to the same bytes; or a draft."""

    def setUp(self):
        super().setUp()
        self.demo()
        self.folder = os.path.join(self.dir, "paper")

    def offer(self, *more, folder=None):
        return self.good("offer", self.job, folder or self.folder, "--date", "2026-03-01", "--runs", "300", *more)

    def read(self, name):
        with open(os.path.join(self.folder, name), "rb") as file:
            return file.read()

    def damage(self, words):
        with contextlib.closing(sqlite3.connect(self.job)) as db:
            db.execute("DROP TRIGGER offer_is_kept")
            db.execute(words)
            db.commit()

    def test_printed_again_to_the_same_bytes(self):
        out = self.offer()
        self.assert_narrow("\n".join(line for line in out.splitlines() if "/" not in line))
        for words in ("Offer 1 of 2026-03-01", "Price, without tax", "P50", "P80", "offer-1.pdf", "offer-1.xlsx"):
            self.assertIn(words, out)
        total = float(re.search(r"Price, without tax +([\d.]+) EUR", out)[1])
        self.assertEqual(total, json.loads(self.good("plan", self.job, "--planes", "off", "--json"))["price"]["total"])
        first = self.read("offer-1.pdf"), self.read("offer-1.xlsx")
        self.assertTrue(first[0].startswith(b"%PDF"))
        changed = json.loads(self.export())
        for rate in changed["rates"]:
            rate["value"] = rate.get("high", rate["value"])
        self.good("import", self.job, self.write("rates.json", {"stanch_survey": 1, "units": "metric", "rates": changed["rates"]}))
        self.assertIn("Offer 2 of", self.offer())
        shutil.rmtree(self.folder)
        self.assertIn("the same bytes", self.good("offer", self.job, "--again", "1", self.folder))
        self.assertEqual((self.read("offer-1.pdf"), self.read("offer-1.xlsx")), first)
        rows = self.good("offer", self.job, "--list").splitlines()
        self.assertEqual(len(rows), 2)
        self.assertRegex(rows[0], r"^ +1  2026-03-01 +[\d\xa0]+\.\d\d EUR  by ")
        self.assert_narrow("\n".join(rows))

    def test_a_draft_is_not_kept(self):
        self.assertIn("Draft of 2026-03-01: not kept", self.offer("--draft", "--without-risk"))
        self.assertTrue(self.read("offer-draft.pdf").startswith(b"%PDF"))
        self.assertEqual(self.good("offer", self.job, "--list"), "No offer is kept in this job.\n")

    def test_damage_is_named(self):
        self.offer()
        self.damage("UPDATE offer SET pdf = CAST(pdf || X'20' AS BLOB)")
        shutil.rmtree(self.folder)
        self.refused("offer", self.job, "--again", "1", self.folder, saying=["document 1", "PDF", "SHA-256"])
        self.assertFalse(os.path.exists(self.folder))

    def test_wrong_words(self):
        self.refused("offer", self.job, saying=["FOLDER"])
        self.refused("offer", self.job, "--list", self.folder, saying=["--list"])
        self.refused("offer", self.job, "--again", "1", self.folder, saying=["keeps no document 1"])
        self.refused("offer", self.job, "--again", "one", self.folder, saying=["--again is one"])
        self.refused("offer", self.job, self.folder, "--again", "1", "--draft", saying=["--draft"])
        self.refused("offer", self.job, self.folder, "--runs", "7", saying=["runs"])
        self.refused("offer", self.job, self.folder, "--seed", "-1", saying=["--seed"])
        self.refused("offer", self.job, self.folder, "--date", "today", saying=["date"])
        self.refused("offer", self.job, self.folder, "--address", "here", saying=["address"])


class Handover(Case):
    """The document that stays with the owner: of the records, kept as it was handed over, or a draft."""

    def setUp(self):
        super().setUp()
        self.demo()
        self.pdf = os.path.join(self.dir, "handover.pdf")
        for what, step, *more in (("found", "cut", "--length", "2.9", "--depth", "38"), ("start", "last_coat"), ("finish", "last_coat", "--hours", "3")):
            self.good("record", self.job, "N1", what, "--step", step, "--by", "N. N.", "--at", "2024-03-01T15:00:00Z", *more)
        self.good("record", self.job, "N1", "proof", "--by", "N. N.", "--hand", "dry", "--blotter", "clean", "--water-level", "2.7",
                  "--at", "2024-03-10T09:30:00Z")

    def handover(self, *more):
        return self.good("handover", self.job, self.pdf, "--date", "2024-03-12", "--planes", "off", *more)

    def words(self):
        return subprocess.run(["pdftotext", "-layout", self.pdf, "-"], capture_output=True, text=True, check=True).stdout

    def kept(self):
        with contextlib.closing(sqlite3.connect(self.job)) as db:
            return db.execute("SELECT kind, \"on\", pdf, head_seq, head_hash, inputs, facts FROM offer").fetchall()

    def test_it_is_kept_as_it_was_handed_over(self):
        self.assertEqual(self.handover(), f"{self.pdf}: handover 1, kept in the job\n")
        with open(self.pdf, "rb") as file:
            first = file.read()
        (kind, on, pdf, seq, head, inputs, facts), = self.kept()
        self.assertEqual((kind, on, seq), ("handover", "2024-03-12", 4))
        self.assertEqual(pdf, first)
        self.assertEqual(json.loads(facts)["kept"], 1)
        self.assertEqual(len(json.loads(inputs)["defects"]), 20)
        self.assertIn(f"stanch check JOB --head 4:{head}", self.words())
        self.good("check", self.job, "--head", f"4:{head}")
        self.assertEqual(self.handover(), f"{self.pdf}: handover 2, kept in the job\n")
        with open(self.pdf, "rb") as file:
            self.assertEqual(file.read(), first)

    def test_handed_over_once_more(self):
        self.assertEqual(self.good("handover", self.job, "--list"), "No handover is kept in this job.\n")
        self.handover()
        with open(self.pdf, "rb") as file:
            kept = file.read()
        self.good("offer", self.job, self.dir, "--without-risk")
        self.assertRegex(self.good("handover", self.job, "--list"), r"^ +1  2024-03-12  by .+\n$")
        self.good("handover", self.job, self.pdf + "2", "--again", "1")
        with open(self.pdf + "2", "rb") as file:
            self.assertEqual(file.read(), kept)
        self.refused("handover", self.job, self.pdf, "--again", "2", saying=["document 2 is no handover", "stanch offer --again 2"])
        self.refused("offer", self.job, self.dir, "--again", "1", saying=["document 1 is no offer", "stanch handover --again 1"])
        self.refused("handover", self.job, self.pdf, "--again", "3", saying=["keeps no document 3"])
        self.refused("handover", self.job, self.pdf, "--again", "one", saying=["--again is one"])

    def test_a_draft_says_so_and_is_not_kept(self):
        self.assertEqual(self.handover("--draft"), f"{self.pdf}: a draft, not kept in the job\n")
        self.assertIn("DRAFT", self.words())
        self.assertEqual(self.kept(), [])

    def test_the_figures_of_the_records_stand_in_it(self):
        self.handover("--draft", "--address", "https://192.0.2.7:8466")
        words = self.words()
        for piece in ("2.90 m", "38 mm", "N. N.", "hand dry, blotter clean", "The log of this job had 4 records"):
            self.assertIn(piece, words)
        self.assertRegex(words, r"(?m)^ *N1 +crack, north wall: slot and plug +kept ")

    def test_what_is_wrong_is_said(self):
        none = os.path.join(self.dir, "none")
        self.refused("handover", none, self.pdf, codes=(1,), saying=["none"])
        self.refused("handover", self.job, self.pdf, "--date", "monday", saying=["monday"])
        self.refused("handover", self.job, saying=["FILE.pdf"])
        self.refused("handover", self.job, self.pdf, "--list", saying=["--list"])
        self.refused("handover", self.job, self.pdf, "--again", "1", "--draft", saying=["--draft"])
        self.refused("handover", self.job, os.path.join(none, "x.pdf"), "--draft", "--planes", "off", codes=(1,), saying=["x.pdf"])
        self.assertFalse(os.path.exists(self.pdf))


if __name__ == "__main__":
    unittest.main(argv=[sys.argv[0], *sys.argv[3:]])
