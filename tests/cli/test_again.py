"""Work has begun: what was recorded is laid over the works, and what moved is said.

usage: test_again.py STANCH EXAMPLES [unittest arguments]
"""

import contextlib
import json
import os
import re
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import unittest

STANCH, EXAMPLES = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
MONDAY_10 = "1772445600"  # `date -u -d 2026-03-02T10:00Z +%s`
MOVED = "Moved since the last plan:"


class Again(unittest.TestCase):
    def setUp(self):
        self.dir = tempfile.mkdtemp(prefix="stanch-again-")
        self.addCleanup(shutil.rmtree, self.dir, True)
        self.job = os.path.join(self.dir, "job.stanch")
        self.run_stanch("new", self.job)
        self.run_stanch("import", self.job, os.path.join(EXAMPLES, "small-us.json"))
        with_day = json.loads(self.run_stanch("export", self.job, "--as", "json"))
        with_day["site"].setdefault("work", {})["start_on"] = "2026-03-02"
        path = os.path.join(self.dir, "day.json")
        with open(path, "w", encoding="utf-8") as file:
            json.dump(with_day, file)
        os.remove(self.job)
        self.run_stanch("new", self.job)
        self.run_stanch("import", self.job, path)

    def run_stanch(self, *arguments, code=0):
        environment = dict(os.environ, SOURCE_DATE_EPOCH=MONDAY_10, TZ="UTC")
        done = subprocess.run([STANCH, *arguments], capture_output=True, timeout=120, env=environment, check=False)
        self.assertEqual(done.returncode, code, done.stderr.decode())
        return (done.stdout if code == 0 else done.stderr).decode()

    def plan(self, *more):
        return self.run_stanch("plan", self.job, "--planes", "off", *more)

    def works(self, *more):
        return json.loads(self.plan("--json", *more))["works"]

    @staticmethod
    def tasks(works):
        return {task["id"]: task for task in works["tasks"] if task["step"] != "mist"}

    def finish(self, task, at):
        self.run_stanch("record", self.job, task["mark"], "finish", "--step", task["step"], "--by", "K. K.", "--at", at)

    def test_what_moved_is_said_and_the_rest_stays(self):
        before = self.tasks(self.works())
        self.assertNotIn(MOVED, self.plan())
        cut = min((t for t in before.values() if t["step"] == "cut"), key=lambda t: t["start_min"])
        self.finish(cut, "2026-03-02T15:00:00Z")
        out = self.plan("--now", "2026-03-02T15:00")
        self.assertIn(MOVED, out)
        self.assertTrue(all(len(line) <= 80 for line in out.splitlines()))
        self.assertRegex(out, rf"\n  {re.escape(cut['mark'])} wash: 2026-03-0\d \d\d:\d\d, was 2026-03-0\d \d\d:\d\d\n")
        self.assertNotIn(MOVED, self.plan("--now", "2026-03-02T15:00"), "planned twice at one moment, nothing moves")
        after = self.tasks(self.works("--now", "2026-03-02T15:00"))
        self.assertEqual((after[cut["id"]]["done"], after[cut["id"]]["end"]), (True, "2026-03-02T15:00"))
        self.assertEqual(after[cut["id"]]["workers"], cut["workers"], "who did it stays")
        for task in after.values():
            self.assertTrue(task["done"] or task["start"] >= "2026-03-02T15:00", task["id"])

    def test_the_clock_is_now_where_none_is_given(self):
        before = self.tasks(self.works())
        cut = min((t for t in before.values() if t["step"] == "cut"), key=lambda t: t["start_min"])
        self.finish(cut, "2026-03-02T09:00:00Z")
        for task in self.tasks(self.works()).values():
            self.assertTrue(task["done"] or task["start"] >= "2026-03-02T10:00", task["id"])

    def test_a_record_taken_back_and_works_that_are_damaged(self):
        before = self.tasks(self.works())
        cut = min((t for t in before.values() if t["step"] == "cut"), key=lambda t: t["start_min"])
        self.finish(cut, "2026-03-02T09:00:00Z")
        bodies = ["{", "[]", '{"tasks": 3}', '{"tasks": [3]}', '{"tasks": [{"id": "x", "step": "cut", "start_min": -1, "end_min": 2}]}',
                  '{"tasks": [{"id": "x", "step": "cut", "start_min": 5, "end_min": 1e300}]}', '{"tasks": [{"id": 7}], "workers": [1, null]}',
                  '{"workers": "x", "tasks": [{"id": "x", "step": "cut", "start_min": 1, "end_min": 2, "workers": [{}, "no", 3]}]}']
        for body in bodies:
            with contextlib.closing(sqlite3.connect(self.job)) as job:
                changed = job.execute("UPDATE result SET body = ? WHERE stage = 'works'", (body,)).rowcount
                job.commit()
            self.assertEqual(changed, 1)
            self.assertTrue(self.tasks(self.works())[cut["id"]]["done"], body)
        self.run_stanch("record", self.job, cut["mark"], "correction", "--about", "1", "--text", "not yet", "--by", "K. K.")
        self.assertFalse(self.tasks(self.works())[cut["id"]]["done"])

    def test_another_first_day(self):
        before = self.tasks(self.works())
        cut = min((t for t in before.values() if t["step"] == "cut"), key=lambda t: t["start_min"])
        self.finish(cut, "2026-03-02T09:00:00Z")
        self.works()
        survey = json.loads(self.run_stanch("export", self.job, "--as", "json"))
        survey["site"]["work"]["start_on"] = "2026-02-27"
        path = os.path.join(self.dir, "day.json")
        with open(path, "w", encoding="utf-8") as file:
            json.dump(survey, file)
        self.run_stanch("import", self.job, path)
        works = self.works()
        self.assertEqual(works["start_on"], "2026-02-27")
        self.assertEqual(works["moved"], [], "the days are the same, only counted from another")

    def test_works_that_cannot_be_leave_those_that_are_followed(self):
        before = self.tasks(self.works())
        cut = min((t for t in before.values() if t["step"] == "cut"), key=lambda t: t["start_min"])
        self.finish(cut, "2026-03-02T09:00:00Z")
        followed = self.tasks(self.works())
        good = json.loads(self.run_stanch("export", self.job, "--as", "json"))
        bad = json.loads(json.dumps(good))
        bad["site"]["shift_h"], bad["site"]["work"]["starts_h"] = 0.3, 8
        path = os.path.join(self.dir, "crew.json")
        for survey in (bad, good):
            with open(path, "w", encoding="utf-8") as file:
                json.dump(survey, file)
            self.run_stanch("import", self.job, path)
            works = self.works()
            self.assertEqual("problem" in works, survey is bad, works)
        self.assertEqual(works["moved"], [], "held against the works that were followed, not against the sentence")
        self.assertEqual({i: t["start"] for i, t in self.tasks(works).items()}, {i: t["start"] for i, t in followed.items()})

    def test_a_wrong_moment(self):
        for now in ("10:00", "2026-03-02", "2026-03-02T25:00", "2026-03-02T10:60", "2026-03-02T+1:00", "2026-02-30T10:00", "2026-03-02 10:00"):
            told = self.run_stanch("plan", self.job, "--now", now, code=2)
            self.assertEqual(told, f"stanch: the time is {now}; it must be YYYY-MM-DDTHH:MM\n")


if __name__ == "__main__":
    unittest.main(argv=[sys.argv[0], *sys.argv[3:]])
