"""The job file under force: killed at random moments, written by two at once, on a full disk.

store_torture.py TOOL kill|two|full      TOOL is store_tool; exit 77: not possible here (mounting needs root).
"""
import os
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time

TOOL = sys.argv[1]
ROUNDS = int(os.environ.get("STANCH_KILLS", "200"))


def tool(*arguments):
    done = subprocess.run([TOOL, *arguments], capture_output=True, text=True, timeout=120)
    return done.returncode, done.stdout, done.stderr


def verify(job, acknowledged):
    """Every acknowledged record is there, the file is sound, and the program itself can read it."""
    code, out, err = tool("show", job)
    assert code == 0, err
    db = sqlite3.connect(job)
    assert db.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert db.execute("PRAGMA foreign_key_check").fetchall() == []
    have = {mark for (mark,) in db.execute("SELECT mark FROM result WHERE stage = 'torture'")}
    db.close()
    missing = acknowledged - have
    assert not missing, f"{len(missing)} committed records lost, such as {sorted(missing)[:3]}"
    return out.splitlines()


def start(job, name):
    return subprocess.Popen([TOOL, "commit", job, name], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def told(name, out):
    # the last line may have been cut by the kill
    return {f"{name}-{line}" for line in out.split("\n")[:-1]}


def torture_kill(folder):
    seed = int(os.environ.get("STANCH_SEED", "20240611"))
    print("seed", seed)
    dice = random.Random(seed)
    job = os.path.join(folder, "job.stanch")
    assert tool("create", job, "1", "20")[0] == 0
    acknowledged, mid_work = set(), 0
    for i in range(ROUNDS):
        child = start(job, f"k{i}")
        child.stdout.readline()  # it is at work
        time.sleep(dice.random() * 0.05)
        child.send_signal(signal.SIGKILL)
        out, err = child.communicate()
        assert child.returncode == -signal.SIGKILL, err
        acknowledged |= told(f"k{i}", "0\n" + out)
        mid_work += os.path.exists(job + "-wal")
        verify(job, acknowledged)
    print(f"{ROUNDS} kills, {mid_work} with the log open, {len(acknowledged)} records, none lost")
    assert mid_work > ROUNDS / 2


def torture_two(folder):
    job = os.path.join(folder, "job.stanch")
    assert tool("create", job, "2", "20")[0] == 0
    names = ["a", "b"]
    children = [start(job, name) for name in names]
    time.sleep(3)
    acknowledged = set()
    for name, child in zip(names, children):
        child.send_signal(signal.SIGKILL)
        out, err = child.communicate()
        assert child.returncode == -signal.SIGKILL, err
        mine = told(name, out)
        assert len(mine) > 5, f"{name} was starved: {len(mine)}"
        acknowledged |= mine
    verify(job, acknowledged)
    print(f"two processes, {len(acknowledged)} records, none lost")


def torture_full(folder):
    disk = os.path.join(folder, "disk")
    os.mkdir(disk)
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", disk], capture_output=True).returncode != 0:
        print("no tmpfs can be mounted here")
        sys.exit(77)
    try:
        job = os.path.join(disk, "job.stanch")
        assert tool("create", job, "3", "10")[0] == 0
        before = verify(job, set())
        for free in (0, 20, 60, 150, 300):
            room = os.statvfs(disk)
            filler = os.path.join(disk, "filler")
            with open(filler, "wb") as f:
                f.write(b"x" * max(0, room.f_bavail * room.f_frsize - free * 1024))
            code, out, err = tool("save", job, "4", "3000")
            assert code == 1 and "no room left on the disk; nothing was changed" in err and err.count("\n") == 1, (free, code, err)
            other = os.path.join(disk, "new.stanch")
            code, out, err = tool("create", other, "5", "3000")
            assert code == 1 and "new.stanch: cannot be" in err and "no room left" in err, (free, code, err)
            assert sorted(os.listdir(disk)) in (["filler", "job.stanch"], ["filler", "job.stanch", "job.stanch-shm", "job.stanch-wal"]), os.listdir(disk)
            os.remove(filler)
            assert verify(job, set()) == before
        assert tool("save", job, "6", "10")[0] == 0
        print("a full disk costs nothing")
    finally:
        subprocess.run(["umount", disk], check=True)


folder = tempfile.mkdtemp(prefix="stanch-torture-")
try:
    {"kill": torture_kill, "two": torture_two, "full": torture_full}[sys.argv[2]](folder)
finally:
    shutil.rmtree(folder, ignore_errors=True)
