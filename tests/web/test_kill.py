"""Power cuts: the server is killed under load, again and again; what it acknowledged is there.

usage: test_kill.py STANCH EXAMPLES [ROUNDS]

Writers send records (ids of their own) and edits (a rising number in a note of their own leak), and remember what was
acknowledged. After each SIGKILL the server starts again on the same files: every acknowledged record is there once, every
note is at least at its last acknowledged number, and every photo that was acknowledged is a whole picture.
"""

import json
import os
import random
import shutil
import signal
import sys
import threading
import uuid

from serving import Server, folder_with_job

STANCH, EXAMPLES = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
ROUNDS = int(sys.argv[3]) if len(sys.argv) > 3 else 50
WRITERS = ["N1", "E1", "W1", "C1"]
JSON = {"Content-Type": "application/json"}


class Writer(threading.Thread):
    """One person: sends records, then an edit, until the server is gone."""

    def __init__(self, server, mark, kept):
        super().__init__(daemon=True)
        self.server, self.mark, self.kept = server, mark, kept

    def post(self, path, body):
        answer = self.server.ask("POST", path, body=json.dumps(body), headers={**JSON, "X-Stanch-Token": self.server.token})
        return json.loads(answer.body) if answer is not None and answer.code == 200 else None

    def records(self):
        batch = [{"id": str(uuid.uuid4()), "mark": self.mark, "what": "note", "at": "2026-03-01T09:30:00Z", "by": "N. N.",
                  "device": "0f8fad5b-d9cb-469f-a165-708677289501", "seen": 0, "text": "cut under power"} for _ in range(3)]
        answer = self.post("/api/jobs/pump/records", {"records": batch})
        if answer:
            self.kept["records"].update(r["id"] for r in answer["results"] if r["state"] == "kept")

    def edit(self):
        survey = self.server.ask("GET", "/api/jobs/pump/survey")
        if survey is None or survey.code != 200:
            return
        survey = json.loads(survey.body)
        leak = next(d for d in survey["survey"]["defects"] if d["mark"] == self.mark)
        number = self.kept["tried"][self.mark] = self.kept["tried"][self.mark] + 1
        leak["notes"] = [f"round {number}"]
        change = {"what": "defect", "key": self.mark, "before": survey["hashes"]["defects"][self.mark], "after": leak}
        if self.post("/api/jobs/pump/edit", {"changes": [change]}):
            self.kept["notes"][self.mark] = number

    def run(self):
        try:
            while True:
                self.records()
                self.edit()
        except (OSError, ValueError, AttributeError):
            return  # the server was killed


def log_in(server):
    answer = server.ask("GET", "/api/session")
    server.cookie = answer.headers["set-cookie"].split(";")[0]
    server.token = json.loads(answer.body)["token"]


def look(server, kept):
    """What the server has now, against what was acknowledged."""
    have = [r["id"] for r in json.loads(server.ask("GET", "/api/jobs/pump/records?after=0").body)["records"]]
    assert len(have) == len(set(have)), "a record stands twice"
    lost = kept["records"] - set(have)
    assert not lost, f"{len(lost)} acknowledged records are gone"
    survey = json.loads(server.ask("GET", "/api/jobs/pump/survey").body)["survey"]
    for leak in survey["defects"]:
        if leak["mark"] in kept["notes"]:
            number = int(leak["notes"][0].split()[1])
            assert kept["notes"][leak["mark"]] <= number <= kept["tried"][leak["mark"]], f"{leak['mark']} is at {number}"


def main():
    seed = int(os.environ.get("SEED", random.randrange(10**6)))
    print(f"seed {seed}, {ROUNDS} rounds")
    random.seed(seed)
    folder = folder_with_job(STANCH, EXAMPLES)
    kept = {"records": set(), "notes": {}, "tried": dict.fromkeys(WRITERS, 0)}
    try:
        for _ in range(ROUNDS):
            server = Server(STANCH, folder)
            log_in(server)
            look(server, kept)
            writers = [Writer(server, mark, kept) for mark in WRITERS]
            for writer in writers:
                writer.start()
            threading.Event().wait(random.uniform(0.05, 0.4))
            server.process.send_signal(signal.SIGKILL)
            server.process.wait()
            for writer in writers:
                writer.join(20)
        server = Server(STANCH, folder)
        log_in(server)
        look(server, kept)
        server.stop()
        print(f"{len(kept['records'])} records and {sum(kept['notes'].values())} edits acknowledged, none lost")
        assert kept["records"] and sum(kept["notes"].values()) > 0, "no load at all"
    finally:
        shutil.rmtree(folder, True)


main()
