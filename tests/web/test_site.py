#!/usr/bin/python3
"""The server on the network of a site, as the phones meet it: HTTPS by its own authority, joining, roles, sessions,
how often one may try.

test_site.py STANCH SOURCES [PART ...]
"""
import hashlib
import http.client
import json
import os
import re
import shutil
import sqlite3
import ssl
import subprocess
import sys
import tempfile
import time
import urllib.parse

STANCH, SOURCES = sys.argv[1:3]
PASS = "wet gloves, dry wall"
RANK = {"nobody": 0, "viewer": 1, "foreman": 2, "estimator": 3}


def same(got, wanted, about):
    if got != wanted:
        raise AssertionError(f"{about}: expected {wanted!r}, got {got!r}")


def has(text, part, about):
    if part not in text:
        raise AssertionError(f"{about}: no {part!r} in {text!r}")


class Server:
    """`stanch serve` on a folder of its own, with its greeting read."""

    def __init__(self, *options, folder=None):
        self.folder = folder or tempfile.mkdtemp(prefix="stanch-site-")
        if not folder:
            subprocess.run([STANCH, "new", f"{self.folder}/north.stanch"], check=True, stdout=subprocess.DEVNULL)
        self.process = subprocess.Popen([STANCH, "serve", self.folder, "--site", "--port", "0", "--address", "127.0.0.1",
                                         *options], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        self.address = self.process.stdout.readline().decode().strip().rstrip("/")
        if not self.address:
            raise AssertionError("no start: " + self.process.stderr.read().decode())
        self.port = int(self.address.rsplit(":", 1)[1])
        os.set_blocking(self.process.stdout.fileno(), False)
        self.greeting, end = "", time.monotonic() + 10
        while time.monotonic() < end and not self.greeting.endswith("▀\n"):
            more = self.process.stdout.read()
            self.greeting += more.decode() if more else ""
            if not more:
                time.sleep(0.02)
                if self.known():
                    break

    def known(self):
        """Somebody is: then there is no invitation to wait for."""
        with sqlite3.connect(f"file:{self.folder}/stanch-people.db?mode=ro", uri=True) as db:
            return db.execute("SELECT count(*) FROM person").fetchone()[0] > 0

    def trust(self):
        """A TLS context that trusts this site's authority and nobody else."""
        found = re.search(r"http://127\.0\.0\.1:(\d+)/\n", self.greeting)
        c = http.client.HTTPConnection("127.0.0.1", int(found[1]), timeout=10)
        c.request("GET", "/stanch-authority.crt")
        r = c.getresponse()
        der = r.read()
        same(r.getheader("Content-Type"), "application/x-x509-ca-cert", "the type of the authority")
        shown = re.sub(r"[^0-9A-F]", "", self.greeting.split("SHA-256 there:")[1].split("\n\n")[0])
        same(hashlib.sha256(der).hexdigest().upper(), shown, "the fingerprint on the terminal")
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
        context.load_verify_locations(cadata=der)
        return context

    def stop(self, keep=False):
        self.process.terminate()
        same(self.process.wait(20), 0, "the exit code of serve: " + self.process.stderr.read().decode())
        self.process.stdout.close()
        self.process.stderr.close()
        if not keep:
            shutil.rmtree(self.folder)


class Browser:
    def __init__(self, server, trust):
        self.server, self.trust = server, trust
        self.cookie, self.token, self.said = None, None, ""

    def ask(self, method, path, body=None, **more):
        headers = {"User-Agent": "a browser of the test"}
        if body is not None or method not in ("GET", "HEAD"):
            headers["Content-Type"] = more.get("type", "application/json")
        if self.cookie:
            headers["Cookie"] = self.cookie
        if self.token and more.get("token", True):
            headers["X-Stanch-Token"] = self.token
        c = http.client.HTTPSConnection("127.0.0.1", self.server.port, timeout=30, context=self.trust)
        if not self.trust:
            c = http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=30)
        data = json.dumps(body) if isinstance(body, dict) else body
        c.request(method, path, body=data, headers=headers)
        r = c.getresponse()
        raw = r.read()
        self.said = r.getheader("Set-Cookie") or ""
        if self.said:
            value = self.said.split(";")[0]
            self.cookie = value if value.split("=")[1] else None
        c.close()
        answer = json.loads(raw) if "json" in (r.getheader("Content-Type") or "") and raw else {}
        if r.status == 200 and path in ("/api/session", "/api/login", "/api/join"):
            self.token = answer["token"]
        return r.status, answer

    def must(self, method, path, body=None):
        code, answer = self.ask(method, path, body)
        same(code, 200, f"{method} {path} {answer}")
        return answer

    def refused(self, wanted, sentence, method, path, body=None, **more):
        code, answer = self.ask(method, path, body, **more)
        same(code, wanted, f"{method} {path} {answer}")
        has(answer.get("fault", ""), sentence, f"{method} {path}")
        return answer


def invitation_of(text):
    return re.search(r"#/join\?i=([0-9a-f]{32})", text)[1]


def joined(server, trust, name, invitation):
    b = Browser(server, trust)
    b.must("POST", "/api/join", {"invitation": invitation, "name": name, "passphrase": PASS})
    return b


def crew(server):
    """One person a role."""
    trust = server.trust()
    people = {"estimator": joined(server, trust, "Ana", invitation_of(server.greeting))}
    for role in ("foreman", "viewer"):
        made = people["estimator"].must("POST", "/api/people/invite", {"role": role})
        people[role] = joined(server, trust, role.capitalize(), made["invitation"])
    people["nobody"] = Browser(server, trust)
    return people


# ---- the parts ----


def test_tls(server, people):
    """Only who trusts the authority gets through, under every name of the certificate and no other."""
    import socket
    trust = people["nobody"].trust
    for name, good in (("127.0.0.1", True), ("localhost", True), ("other.example", False)):
        try:
            with socket.create_connection(("127.0.0.1", server.port), timeout=10) as plain:
                with trust.wrap_socket(plain, server_hostname=name) as s:
                    same(s.version() in ("TLSv1.3", "TLSv1.2"), True, s.version())
            same(good, True, f"the name {name}")
        except ssl.SSLCertVerificationError:
            same(good, False, f"the name {name}")
    try:
        http.client.HTTPSConnection("127.0.0.1", server.port, timeout=10,
                                    context=ssl.create_default_context()).request("GET", "/")
        raise AssertionError("a stranger trusts the authority")
    except ssl.SSLCertVerificationError:
        pass


def test_no_old_tls(server, people):
    """RFC 8996: TLS 1.0 and 1.1 are not spoken, however the other end asks (security level 0 lets the test ask)."""
    import socket
    for version, good in ((ssl.TLSVersion.TLSv1_1, False), (ssl.TLSVersion.TLSv1_2, True)):
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
        context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
        context.set_ciphers("ALL:@SECLEVEL=0")
        context.minimum_version = context.maximum_version = version
        try:
            with socket.create_connection(("127.0.0.1", server.port), timeout=10) as plain:
                context.wrap_socket(plain).close()
            same(good, True, f"{version} was taken")
        except (ssl.SSLError, ConnectionResetError):
            same(good, False, f"{version} was refused")


def test_install_page(server, people):
    found = re.search(r"http://127\.0\.0\.1:(\d+)/\n", server.greeting)
    for path, code in (("/", 200), ("/install.css", 200), ("/api/session", 404), ("/api/jobs", 404),
                       ("/.stanch-site/authority.pem", 404), ("/stanch-people.db", 404)):
        c = http.client.HTTPConnection("127.0.0.1", int(found[1]), timeout=10)
        c.request("GET", path)
        r = c.getresponse()
        page = r.read().decode()
        same(r.status, code, path)
        if path == "/":
            has(page, server.address, "the page names the address")


def test_cookie(server, people):
    b = joined(server, people["nobody"].trust, "Cleo",
               people["estimator"].must("POST", "/api/people/invite", {"role": "viewer"})["invitation"])
    attributes = [a.strip() for a in b.said.split(";")]
    for wanted in ("Secure", "HttpOnly", "SameSite=Strict", "Path=/"):
        has(attributes, wanted, b.said)
    same(any(a.startswith("Domain") for a in attributes), False, "a domain in " + b.said)
    same(b.must("GET", "/api/session")["token"], b.token, "the token")
    same(b.token in b.said, False, "the token in the cookie")
    session = b.must("GET", "/api/session")
    same((session["who"], session["role"], session["local"], session["site"]), ("Cleo", "viewer", False, True), "session")
    b.must("POST", "/api/logout", {})
    has(b.said.replace(" ", ""), "Max-Age=0", b.said)
    same(b.must("GET", "/api/session")["role"], "nobody", "after logging out")


def test_invitations(server, people):
    ana, nobody = people["estimator"], people["nobody"]
    made = ana.must("POST", "/api/people/invite", {"role": "viewer"})
    same(invitation_of(made["address"]), made["invitation"], "the address")
    has(made["address"], server.address + "/#/join?i=", "the address")
    who = {"invitation": made["invitation"], "name": "Dora", "passphrase": PASS}
    nobody.refused(422, "passphrase: 5 characters", "POST", "/api/join", {**who, "passphrase": "short"})
    nobody.refused(422, "name: is empty", "POST", "/api/join", {**who, "name": "  "})
    nobody.refused(422, "role", "POST", "/api/join", {**who, "role": "estimator"})
    nobody.refused(409, "the name ANA is taken", "POST", "/api/join", {**who, "name": "ANA"})
    joined(server, nobody.trust, "Dora", made["invitation"])
    nobody.refused(409, "used already", "POST", "/api/join", {**who, "name": "Eve"})
    nobody.refused(409, "not known here", "POST", "/api/join", {**who, "invitation": "0" * 32})
    for wrong in ({"role": "nobody"}, {"role": "owner"}, {}, {"role": 3}):
        ana.refused(422, "role", "POST", "/api/people/invite", wrong)


def routes():
    """Method, address and least role of every row of the tables of docs/page.md, and of the program's own table."""
    rows = []
    with open(f"{SOURCES}/docs/page.md", encoding="utf-8") as f:
        for line in f:
            cells = [c.strip() for c in line.split("|")]
            if len(cells) < 4 or cells[2] not in RANK:
                continue
            method, address = re.match(r"(GET|POST|PUT|DELETE) ?(/\S+)", cells[1]).groups()
            rows.append((method, address, cells[2]))
    own = set()
    with open(f"{SOURCES}/src/web/routes.c", encoding="utf-8") as f:
        for method, pattern, role in re.findall(r'\{"(\w+)", "(/api/[^"]*)", WEB_(\w+),', f.read()):
            own.add((method, pattern, role.lower()))
    told = {(m, a.split("?")[0], r) for m, a, r in rows}
    same(told - own, set(), "in docs/page.md, not in routes.c")
    for row in sorted(own - told):
        rows.append(row)
    return rows


def fill(address):
    values = {"job": "north", "name": "Nobody", "id": "0" * 16, "mark": "Q1", "face": "Q", "n": "99", "photo": "x.jpg",
              "file": "plan.pdf", "day": "99", "tank": "T", "number": "99"}
    return re.sub(r"\{(\w+)\}", lambda m: values[m[1]], address.split("?")[0].rstrip(","))


def test_roles(server, people):
    """Every route, for every role: refused below its least one, with 401 for nobody and 403 for others."""
    rows = routes()
    same(len(rows) > 35, True, f"{len(rows)} routes")
    for method, address, least in rows:
        path = fill(address)
        for role, b in people.items():
            if path == "/api/logout" and role != "nobody":
                continue
            before = b.cookie
            code, answer = b.ask(method, path, None if method in ("GET", "DELETE") else "{}")
            about = f"{method} {path} as {role}: {answer}"
            if RANK[role] < RANK[least]:
                same(code, 401 if role == "nobody" else 403, about)
                has(answer["fault"], "log in" if role == "nobody" else f"this takes the role {least}; yours is {role}",
                    about)
            else:
                same(code in (401, 403) and path != "/api/login", False, about)
            b.cookie = before


def test_tokens(server, people):
    """No change without the token of this very session."""
    ana, viewer = people["estimator"], people["viewer"]
    own = ana.token
    for wrong in (None, "", "0" * 64, viewer.token, own[:-1], own + "0"):
        ana.token = wrong
        for method, address, least in routes():
            if method != "GET" and RANK[least] > 0 and "{" not in address:
                ana.refused(403, "token", method, address, "{}")
    ana.token = own
    same(ana.must("GET", "/api/session")["role"], "estimator", "still in")


def test_people(server, people):
    ana = people["estimator"]
    made = ana.must("POST", "/api/people/invite", {"role": "viewer"})
    finn = joined(server, ana.trust, "Finn Ü/1", made["invitation"])
    there = {p["name"]: p for p in ana.must("GET", "/api/people")["people"]}
    same(there["Finn Ü/1"]["role"], "viewer", "Finn")
    same(set(there["Ana"]), {"name", "role", "since", "last"}, "members")
    address = "/api/people/" + urllib.parse.quote("Finn Ü/1", safe="")
    finn.refused(403, "this takes the role estimator", "GET", "/api/people")
    ana.must("PUT", address, {"role": "foreman"})
    same(finn.must("GET", "/api/session")["role"], "foreman", "the new role at once")
    ana.refused(422, "role", "PUT", address, {"role": "nobody"})
    ana.refused(404, "nobody of that name", "PUT", "/api/people/Zoe", {"role": "viewer"})
    ana.refused(404, "nobody of that name", "DELETE", "/api/people/Zoe")
    ana.refused(409, "last estimator", "PUT", "/api/people/Ana", {"role": "viewer"})
    ana.refused(409, "last estimator", "DELETE", "/api/people/ana")
    ana.must("DELETE", address)
    finn.refused(401, "your session is over", "GET", "/api/sessions")


def test_sessions(server, people):
    ana = people["estimator"]
    made = ana.must("POST", "/api/people/invite", {"role": "viewer"})
    gus = joined(server, ana.trust, "Gus", made["invitation"])
    phone = Browser(server, ana.trust)
    phone.must("POST", "/api/login", {"name": "gus", "passphrase": PASS})
    own = gus.must("GET", "/api/sessions")["sessions"]
    same([s["who"] for s in own], ["Gus", "Gus"], "own sessions")
    same(sum(s["this"] for s in own), 1, "this one")
    same(own[0]["agent"], "a browser of the test", "agent")
    anas = next(s for s in ana.must("GET", "/api/sessions")["sessions"] if s["this"])
    gus.refused(404, "no such session", "DELETE", "/api/sessions/" + anas["id"])
    gus.must("DELETE", "/api/sessions/" + next(s["id"] for s in own if not s["this"]))
    phone.refused(401, "your session is over", "GET", "/api/sessions")
    phone.must("POST", "/api/login", {"name": "Gus", "passphrase": PASS})
    for s in ana.must("GET", "/api/sessions")["sessions"]:
        if s["who"] == "Gus":
            ana.must("DELETE", "/api/sessions/" + s["id"])
    for b in (gus, phone):
        b.refused(401, "your session is over", "GET", "/api/sessions")


def test_expired(server, people):
    """Idle for twelve hours, or thirty days old: the file is made older, since a test cannot wait."""
    ana = people["estimator"]
    for column, age in (("last", "-12 hours"), ("since", "-30 days")):
        made = ana.must("POST", "/api/people/invite", {"role": "viewer"})
        b = joined(server, ana.trust, "Ida " + column, made["invitation"])
        with sqlite3.connect(f"{server.folder}/stanch-people.db", timeout=10) as db:
            db.execute(f"UPDATE session SET {column} = strftime('%Y-%m-%dT%H:%M:%SZ', 'now', ?, '+60 seconds')"
                       " WHERE person = ?", (age, "Ida " + column))
        b.must("GET", "/api/sessions")
        with sqlite3.connect(f"{server.folder}/stanch-people.db", timeout=10) as db:
            db.execute(f"UPDATE session SET {column} = strftime('%Y-%m-%dT%H:%M:%SZ', 'now', ?, '-1 seconds')"
                       " WHERE person = ?", (age, "Ida " + column))
        b.refused(401, "your session is over", "GET", "/api/sessions")
        b.refused(401, "your session is over", "GET", "/api/sessions")


def test_no_secret(server, people):
    secrets = [PASS] + [b.token for b in people.values() if b.token]
    secrets += [b.cookie.split("=")[1] for b in people.values() if b.cookie]
    for name in ("", "-wal", "-shm"):
        path = f"{server.folder}/stanch-people.db{name}"
        same(os.stat(path).st_mode & 0o777, 0o600, path)
        with open(path, "rb") as f:
            bytes_of = f.read()
        for s in secrets:
            same(s.encode() in bytes_of, False, f"{s} in {path}")
    for name in ("stanch-people.db", ".stanch-site/authority.pem", ".stanch-site/server.pem"):
        for path in (f"/{name}", f"/api/jobs/{name}/survey", f"/api/jobs/..%2f{name}/survey"):
            code, _ = people["estimator"].ask("GET", path)
            same(code in (400, 404, 501), True, f"{path}: {code}")


def test_tries(server, people):
    """Last: it makes this address wait."""
    b = Browser(server, people["nobody"].trust)
    waits = []
    for i in range(8):
        code, answer = b.ask("POST", "/api/login", {"name": "Ana" if i % 2 else "Zoe", "passphrase": PASS + "!"})
        if code == 401:
            same(answer["fault"], "name or passphrase is not right", "the sentence")
        else:
            same(code, 429, str(answer))
            same(0 < answer["wait_s"] <= 15, True, str(answer))
            has(answer["fault"], f"wait {answer['wait_s']} s", "the sentence")
        waits.append(code)
    same(waits.count(429) >= 3 and waits[-1] == 429, True, str(waits))
    b.refused(429, "too many tries", "POST", "/api/login", {"name": "Ana", "passphrase": PASS})
    same(people["estimator"].must("GET", "/api/session")["role"], "estimator", "who is in stays in")


def test_restart():
    """People, sessions and the authority outlive a restart; nobody is invited twice."""
    server = Server()
    trust = server.trust()
    ana = joined(server, trust, "Ana", invitation_of(server.greeting))
    server.stop(keep=True)
    again = Server(folder=server.folder)
    same("join?i=" in again.greeting, False, again.greeting)
    back = Browser(again, trust)
    back.must("POST", "/api/login", {"name": "Ana", "passphrase": PASS})
    cookie = ana.cookie.split("=")[1]
    back.cookie = back.cookie.split("=")[0] + "=" + cookie
    same(back.must("GET", "/api/session")["who"], "Ana", "the session from before")
    again.stop()


def test_plain():
    """Without encryption: said at the start, and a cookie that plain HTTP can carry."""
    server = Server("--plain")
    has(server.greeting, "Nothing is encrypted", "the greeting")
    b = joined(server, None, "Ana", invitation_of(server.greeting))
    attributes = [a.strip() for a in b.said.split(";")]
    has(attributes, "HttpOnly", b.said)
    has(attributes, "SameSite=Strict", b.said)
    same("Secure" in attributes, False, b.said)
    same(os.path.exists(f"{server.folder}/.stanch-site"), False, "an authority nobody asked for")
    server.stop()


def test_given():
    """A certificate of the firm's own."""
    server = Server()
    trust = server.trust()
    server.stop(keep=True)
    pem = f"{server.folder}/.stanch-site/server.pem"
    own = Server("--certificate", pem, "--key", pem, folder=server.folder)
    same("takes the certificate" in own.greeting, False, own.greeting)
    same(Browser(own, trust).must("GET", "/api/session")["role"], "nobody", "through the given certificate")
    own.stop(keep=True)
    bad = subprocess.run([STANCH, "serve", server.folder, "--site", "--port", "0", "--certificate", pem, "--key",
                          f"{server.folder}/.stanch-site/authority.pem"], capture_output=True, timeout=20, check=False)
    same(bad.returncode, 2, bad.stderr.decode())
    has(bad.stderr.decode(), "is not the key of the certificate", "the sentence")
    shutil.rmtree(server.folder)


def main():
    together = [test_tls, test_no_old_tls, test_install_page, test_cookie, test_invitations, test_people, test_sessions, test_expired,
                test_no_secret, test_tokens, test_roles, test_tries]
    apart = [test_restart, test_plain, test_given]
    wanted = sys.argv[3:]
    server = Server()
    try:
        people = crew(server)
        for test in together:
            if not wanted or test.__name__[5:] in wanted:
                began = time.monotonic()
                test(server, people)
                print(f"{test.__name__[5:]}: {time.monotonic() - began:.2f} s", flush=True)
    finally:
        server.stop()
    for test in apart:
        if not wanted or test.__name__[5:] in wanted:
            began = time.monotonic()
            test()
            print(f"{test.__name__[5:]}: {time.monotonic() - began:.2f} s", flush=True)


main()
