"""Everybody at once: people read, write, try, plan, stop and print while others do the same, for a few seconds.

usage: test_load.py STANCH EXAMPLES [SECONDS]

Every answer is one that the contract knows, none is a fault of ours (5xx but "busy"), and the server ends cleanly; built with
the thread sanitizer it says nothing.
"""

import collections
import json
import os
import random
import re
import shutil
import sys
import threading
import time
import uuid

from serving import Server, folder_with_job

STANCH, EXAMPLES = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
SECONDS = float(sys.argv[3]) if len(sys.argv) > 3 else 6
JSON = {"Content-Type": "application/json"}
READ = ["/survey", "/plan", "/leaks/N1", "/leaks/W2", "/leaks/N12/order/2.svg", "/leaks/N1/plane.svg", "/faces/N.svg", "/records?after=0",
        "/day?date=2026-03-01", "/log", "/export?as=csv", "/report/plan.pdf"]
codes = collections.Counter()
wrong = []
lock = threading.Lock()


class Person(threading.Thread):
    def __init__(self, server, until, doing, seed):
        super().__init__(daemon=True)
        self.server, self.until, self.doing, self.random = server, until, doing, random.Random(seed)

    def ask(self, method, path, body=None):
        data = b"" if body is None else json.dumps(body).encode()
        headers = {"Cookie": self.cookie}
        if method != "GET":
            headers.update(JSON, **{"X-Stanch-Token": self.token})
        answer = self.server.ask(method, path, body=data, headers=headers, login=False, timeout=60)
        if answer is None:
            raise AssertionError(f"no answer to {method} {path}")
        with lock:
            codes[f"{method} {answer.code}"] += 1
            if answer.code >= 500 and answer.code != 503:
                wrong.append(f"{method} {path}: {answer}")
        return answer

    def arrive(self):
        answer = self.server.ask("GET", "/api/session", login=False, timeout=60)
        self.cookie = answer.headers["set-cookie"].split(";")[0]
        self.token = json.loads(answer.body)["token"]

    def read(self):
        self.ask("GET", "/api/jobs/pump" + self.random.choice(READ))

    def record(self):
        record = {"id": str(uuid.uuid4()), "mark": "N1", "what": "start", "step": "cut", "at": "2026-03-01T09:30:00Z", "by": "N. N.",
                  "device": str(uuid.uuid4()), "seen": 0}
        self.ask("POST", "/api/jobs/pump/records", {"records": [record, record]})

    def edit(self):
        survey = json.loads(self.ask("GET", "/api/jobs/pump/survey").body)
        leak = self.random.choice(survey["survey"]["defects"])
        leak["notes"] = [f"load {self.random.random()}"]
        change = {"what": "defect", "key": leak["mark"], "before": survey["hashes"]["defects"][leak["mark"]], "after": leak}
        self.ask("POST", "/api/jobs/pump/edit", {"changes": [change]})

    def work(self):
        what = self.random.choice(["plan", "report"])
        answer = self.ask("POST", f"/api/jobs/pump/{what}", {"planes": False} if what == "plan" else {})
        if answer.code != 200:
            return
        number = json.loads(answer.body)["work"]
        if self.random.random() < 0.3:
            self.ask("DELETE", f"/api/work/{number}")
        for _ in range(3):
            self.ask("GET", f"/api/work/{number}")
            time.sleep(0.05)

    def try_it(self):
        survey = json.loads(self.ask("GET", "/api/jobs/pump/survey").body)["survey"]
        self.ask("POST", "/api/jobs/pump/try", {"defect": next(d for d in survey["defects"] if d["mark"] == "N3")})

    def run(self):
        try:
            self.arrive()
            while time.monotonic() < self.until:
                getattr(self, self.doing)()
        except Exception as e:  # noqa: BLE001 - told in the main thread
            with lock:
                wrong.append(f"{self.doing}: {type(e).__name__}: {e}")


def main():
    folder = folder_with_job(STANCH, EXAMPLES)
    server = Server(STANCH, folder)
    until = time.monotonic() + SECONDS
    people = [Person(server, until, doing, i) for i, doing in enumerate(["read"] * 6 + ["record"] * 2 + ["edit"] * 2 + ["work"] * 2 + ["try_it"])]
    for person in people:
        person.start()
    for person in people:
        person.join()
    code, said = server.stop()
    shutil.rmtree(folder, True)
    print(dict(sorted(codes.items())))
    assert not wrong, wrong[:5]
    assert code == 0, f"exit {code}: {said}"
    assert not re.search(r"Sanitizer|runtime error", said), said[:60000]
    assert codes["GET 200"] > 20 and codes["POST 200"] > 5, "hardly any load"


main()
