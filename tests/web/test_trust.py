"""What the page's server refuses, and that a refusal costs nobody else anything.

usage: test_trust.py STANCH EXAMPLES [unittest arguments]

Each refusal is held to its code, to the headers that every answer has, and to a server that goes on.
"""

import json
import os
import re
import shutil
import signal
import subprocess
import sys
import threading
import time
import unittest

from serving import TRACES_OF_A_CRASH, Server, folder_with_job

STANCH, EXAMPLES = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
ALWAYS = {
    "content-security-policy": "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data: blob:; "
    "media-src 'self' blob:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; font-src 'self'; base-uri 'none'; "
    "form-action 'self'; frame-ancestors 'none'",
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}
UPLOAD = "/api/jobs/pump/import?name=walls.csv"
BYTES = {"Content-Type": "application/octet-stream"}


class Case(unittest.TestCase):
    """One server for all tests of a class; each test finds it alive and leaves it so."""

    options, limits = (), ""

    @classmethod
    def setUpClass(cls):
        cls.folder = folder_with_job(STANCH, EXAMPLES)
        cls.server = Server(STANCH, cls.folder, *cls.options, limits=cls.limits)
        if not cls.options:
            cls.log_in()

    @classmethod
    def log_in(cls):
        answer = cls.server.ask("GET", "/api/session")
        cls.server.cookie = answer.headers["set-cookie"].split(";")[0]
        cls.server.token = json.loads(answer.body)["token"]

    @classmethod
    def tearDownClass(cls):
        code, said = cls.server.stop()
        left = [f for f in os.listdir(cls.folder) if "upload" in f]
        shutil.rmtree(cls.folder, True)
        assert code == 0, f"exit {code}: {said}"
        assert not TRACES_OF_A_CRASH.search(said), said
        assert not left, left

    def tearDown(self):
        self.assertEqual(self.ask("GET", "/").code, 200, "the server goes on")

    def ask(self, *arguments, **more):
        answer = self.server.ask(*arguments, **more)
        self.assertIsNotNone(answer, f"no answer to {arguments[:2]}")
        return self.held(answer)

    def held(self, answer):
        for name, value in ALWAYS.items():
            self.assertEqual(answer.headers.get(name), value, f"{name} of {answer}")
        self.assertNotIn("access-control-allow-origin", answer.headers)
        return answer

    def refused(self, code, *arguments, saying="", **more):
        answer = self.ask(*arguments, **more)
        self.assertEqual(answer.code, code, f"{arguments}: {answer}")
        self.assertEqual(answer.headers["content-type"], "application/json")
        self.assertEqual(answer.headers["cache-control"], "no-store")
        if arguments[0] != "HEAD":
            self.assertIn(saying, json.loads(answer.body)["fault"])
        return answer


class Requests(Case):
    def test_every_answer_has_its_headers(self):
        self.assertEqual(self.ask("GET", "/api/session").headers["cache-control"], "no-store")
        self.assertEqual(self.ask("GET", "/").headers["cache-control"], "no-cache")
        # all other answers of this file come through held()

    def test_nothing_inline_in_the_page(self):
        page = self.ask("GET", "/").body.decode()
        self.assertNotRegex(page, r"(?i)<style|\sstyle\s*=|\son[a-z]+\s*=|javascript:")
        for script in re.findall(r"(?is)<script\b([^>]*)>(.*?)</script>", page):
            self.assertRegex(script[0], r"\ssrc=\"/")
            self.assertEqual(script[1].strip(), "")
        for address in re.findall(r"(?:src|href)=\"([^\"]*)\"", page):
            self.assertRegex(address, r"^(#|/(?!/))")
            self.assertEqual(self.ask("GET", address.split("#")[0] or "/").code, 200, address)

    def test_hashed_files_are_kept_for_ever(self):
        page = self.ask("GET", "/").body.decode()
        for address in re.findall(r"\"(/assets/[^\"]*)\"", page):
            answer = self.ask("GET", address)
            self.assertEqual(answer.headers["cache-control"], "public, max-age=31536000, immutable")
            packed = self.ask("GET", address, {"Accept-Encoding": "gzip, br"})
            self.assertIn(packed.headers.get("content-encoding"), (None, "br", "gzip"))
            self.assertLessEqual(len(packed.body), len(answer.body))
            self.assertEqual(packed.headers["vary"], "Accept-Encoding")

    def test_a_token_on_every_change(self):
        other = self.server.ask("GET", "/api/session", login=False)
        other_token = json.loads(other.body)["token"]
        for method, path in (("POST", "/api/jobs"), ("POST", "/api/jobs/pump/edit"), ("PUT", "/api/jobs/pump/day"), ("DELETE", "/api/work/1"),
                             ("POST", "/api/logout"), ("POST", "/api/jobs/pump/records"), ("POST", "/api/jobs/pump/plan"),
                             ("POST", "/api/jobs/pump/readings"), ("POST", "/api/jobs/pump/overrule"), ("POST", "/api/jobs/pump/works/at")):
            for wrong in (None, "", "0" * 64, self.server.token[:-1], self.server.token + "0", other_token):
                self.refused(403, method, path, {"X-Stanch-Token": wrong}, "{}", saying="token")
        self.refused(403, "POST", UPLOAD, {**BYTES, "X-Stanch-Token": None}, "x", saying="token")

    def test_who_is_not_known(self):
        self.refused(401, "GET", "/api/jobs", login=False, saying="log in")
        for cookie in ("", "stanch=1", f"stanch-{self.server.port}=" + "0" * 64, f"stanch-{self.server.port}=" + "0" * 5000,
                       self.server.cookie + "0", self.server.cookie.split("=")[1]):
            self.refused(401, "GET", "/api/jobs", {"Cookie": cookie}, login=False)
        self.refused(401, "POST", "/api/jobs", {"X-Stanch-Token": self.server.token}, "{}", login=False)

    def test_the_cookie(self):
        cookie = self.server.ask("GET", "/api/session", login=False).headers["set-cookie"]
        self.assertRegex(cookie, rf"^stanch-{self.server.port}=[0-9a-f]{{64}}; Path=/; HttpOnly; SameSite=Strict$")
        self.assertNotIn("set-cookie", self.ask("GET", "/api/session").headers)

    def test_foreign_hosts(self):
        for host in ("evil.example", "localhost.evil.example", "127.0.0.1.evil.example", "127.0.0.2", "", "a@localhost", "localhost:x",
                     f"evil.example:{self.server.port}"):
            self.refused(421, "GET", "/api/session", {"Host": host})
            self.refused(421, "GET", "/", {"Host": host})
        for host in ("localhost", "LOCALHOST:1", "[::1]:8466", "127.0.0.1"):
            self.assertEqual(self.ask("GET", "/api/session", {"Host": host}).code, 200, host)

    def test_no_host_or_two(self):
        with self.server.talk() as talk:
            talk.send("GET /api/session HTTP/1.0\r\n\r\n")
            self.assertEqual(self.held(talk.answer()).code, 400)
        with self.server.talk() as talk:
            talk.send("GET /api/session HTTP/1.1\r\nHost: 127.0.0.1\r\nHost: evil.example\r\n\r\n")
            self.assertEqual(self.held(talk.answer()).code, 400)

    def test_foreign_pages(self):
        here = f"http://127.0.0.1:{self.server.port}"
        self.assertEqual(self.ask("GET", "/api/session", {"Origin": here, "Sec-Fetch-Site": "same-origin"}).code, 200)
        for origin in ("http://evil.example", "null", f"https://127.0.0.1:{self.server.port}", f"http://localhost:{self.server.port}",
                       "http://127.0.0.1:3000", here + "0", ""):
            self.refused(403, "POST", "/api/jobs", {"Origin": origin}, "{}", saying="page")
            self.refused(403, "GET", "/api/session", {"Origin": origin}, saying="page")
        for site in ("cross-site", "same-site"):
            self.refused(403, "GET", "/api/session", {"Sec-Fetch-Site": site}, saying="page")
        self.assertEqual(self.ask("GET", "/", {"Sec-Fetch-Site": "cross-site"}).code, 200, "a link to the page")
        self.refused(405, "OPTIONS", "/api/jobs", {"Origin": here, "Access-Control-Request-Method": "POST"})

    def test_traversal(self):
        secret = os.path.join(self.folder, "..", os.path.basename(self.folder) + ".stanch")
        shutil.copy(os.path.join(self.folder, "pump.stanch"), secret)
        self.addCleanup(os.unlink, secret)
        name = os.path.basename(self.folder)
        ways = ["../" + name, "..%2f" + name, "%2e%2e%2f" + name, "%2e%2e/" + name, "..%5c" + name, "%252e%252e%252f" + name, "....//" + name,
                "%c0%ae%c0%ae%c0%af" + name, "%c0%af" + name, "%e0%80%af" + name, "%uff0e%uff0e/" + name, "%00" + name, "pump%00", "pump%00.stanch",
                "pump.stanch", ".", "..", "%2e", "%2e%2e", "pump%2f", "pump%2f.", "./pump", "PUMP", "pump%20", "%70ump%2f..%2fpump", "/pump", "//pump",
                "pump;x", "pump%0a", "~", "*", "%ff", "%", "%2", "%zz", "\xff", "\\", "C:\\pump"]
        for way in ways:
            for path in (f"/api/jobs/{way}/survey", f"/api/jobs/{way}/export?as=json", f"/{way}", f"/assets/{way}"):
                answer = self.ask("GET", path)
                self.assertIn(answer.code, (400, 404), f"{path}: {answer}")
                self.assertNotIn(b"defects", answer.body)
        for path in ("/../../../../etc/passwd", "/%2e%2e/%2e%2e/etc/passwd", "/..%2f..%2f..%2f..%2fetc/passwd", "/pump.stanch", "/.stanch-site/ca.key",
                     "/api/jobs/pump/photos/..%2f..%2f..%2fetc%2fpasswd", "/api/jobs/pump/photos/%2fetc%2fpasswd", "/api/jobs/pump/report/..%2fpump.stanch",
                     "/api/jobs/pump/photos/..", "/index.html/..", "//etc/passwd", "/./", "/api/../api/session"):
            answer = self.ask("GET", path)
            self.assertIn(answer.code, (400, 404, 409), f"{path}: {answer}")
            self.assertNotIn(b"root:", answer.body)

    def test_what_is_not_there(self):
        self.refused(404, "GET", "/nothing")
        self.refused(404, "GET", "/api/")
        self.refused(404, "GET", "/api/jobs/")
        self.refused(404, "POST", "/api/nothing", {}, "{}")
        self.refused(404, "GET", "/api/jobs/none/survey", saying="none")

    def test_methods(self):
        self.assertEqual(self.refused(405, "POST", "/api/session", {}, "{}").headers["allow"], "GET, HEAD")
        self.assertEqual(self.refused(405, "PUT", "/api/jobs", {}, "{}").headers["allow"], "GET, HEAD, POST")
        self.assertEqual(self.refused(405, "GET", "/api/login").headers["allow"], "POST")
        self.assertEqual(self.refused(405, "DELETE", "/").headers["allow"], "GET, HEAD")
        for method in ("TRACE", "PATCH", "BREW", "get", "CONNECT"):
            self.refused(405, method, "/api/jobs")

    def test_head_is_get_without_body(self):
        for path in ("/", "/api/session"):
            get, head = self.ask("GET", path), self.ask("HEAD", path)
            self.assertEqual(head.code, 200)
            for name in ("content-type", "content-length", "cache-control", "etag"):
                self.assertEqual(get.headers.get(name), head.headers.get(name), name)
        with self.server.talk() as talk:
            talk.send(f"HEAD / HTTP/1.1\r\nHost: localhost\r\n\r\nHEAD / HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")
            self.assertEqual(talk.answer(True).code, 200)
            self.assertEqual(talk.answer(True).code, 200)
            self.assertTrue(talk.ended())

    def test_what_the_browser_has(self):
        tag = self.ask("GET", "/").headers["etag"]
        for have in (tag, "W/" + tag, f'"x", {tag}', "*"):
            answer = self.ask("GET", "/", {"If-None-Match": have})
            self.assertEqual((answer.code, answer.body), (304, b""))
            self.assertEqual(answer.headers["etag"], tag)
        self.assertEqual(self.ask("GET", "/", {"If-None-Match": '"x"'}).code, 200)

    def test_content_types(self):
        for wrong in (None, "", "text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "application/json; charset=utf-8",
                      "application/jsonp", "application/octet-stream"):
            self.refused(415, "POST", "/api/jobs", {"Content-Type": wrong}, "{}", saying="application/json")
        self.refused(415, "POST", UPLOAD, {"Content-Type": "application/json"}, "x", saying="octet-stream")

    def test_what_is_no_json(self):
        for body in ("", "{", "[]", "3", '"x"', "null", "{}{}", "{} x", '{"a":1,"a":2}', '{"a":{"b":1,"b":1}}', "{'a':1}", '{"a":1,}', '{"a":NaN}',
                     '{"a":1e999}', b'{"a":"\xff"}', b'{"a":"\xc0\xae"}', b"\xef\xbb\xbf{}", '{"a":"\\ud800"}', '{"a":"\\u0000"}', b"{}\0", "{" * 4000,
                     "[" * 4000, '{"a":' * 4000 + "1" + "}" * 4000):
            if len(body) > 4096:
                self.refused(400, "POST", "/api/jobs/pump/edit", {}, body)
            else:
                self.refused(400, "POST", "/api/jobs", {}, body)
        self.refused(400, "POST", "/api/login", {}, '{"name":"a","name":"b"}', saying="duplicate")

    def test_a_delete_has_no_body(self):
        self.refused(413, "DELETE", "/api/work/1", {"Content-Length": "2"}, "{}")
        self.refused(413, "GET", "/api/session", {"Content-Length": "2"}, "{}")


class Sizes(Case):
    def test_too_long_by_its_length(self):
        for path, headers in (("/api/login", {"Content-Length": "5000"}), ("/api/jobs/pump/edit", {"Content-Length": "999999999999"}),
                              (UPLOAD, {**BYTES, "Content-Length": str(1 << 40)})):
            started = time.monotonic()
            self.refused(413, "POST", path, headers, b"", saying="at most")
            self.assertLess(time.monotonic() - started, 1, "at once, before the body")

    def patient(self, code, *arguments):
        """Asks again while the server has too much to take in: what the body before took is given back when it is over."""
        until = time.monotonic() + 30
        answer = self.ask(*arguments, timeout=60)
        while answer.code == 503 and time.monotonic() < until:
            time.sleep(0.05)
            answer = self.ask(*arguments, timeout=60)
        self.assertEqual(answer.code, code, f"{arguments[:2]}: {answer}")
        return answer

    def test_too_many_values(self):
        """A short body that is long once it is read."""
        for path, name, value in (("records", "records", "[]"), ("edit", "changes", "1"), ("edit", "changes", "{}")):
            path = "/api/jobs/pump/" + path
            self.assertIn(b"values", self.patient(413, "POST", path, {}, f'{{"{name}":[{",".join([value] * 250001)}]}}').body)
            self.patient(422, "POST", path, {}, f'{{"{name}":[{",".join([value] * 100000)}]}}')
        words = '[{,"\\' * 80000
        self.patient(200, "POST", "/api/jobs/pump/records", {}, json.dumps({"records": [{"text": words}]}))  # signs in a text are none

    def test_no_length(self):
        for length in ("-1", "1e3", "0x10", "99999999999999999999", "1, 1", ""):
            answer = self.server.ask("POST", "/api/jobs", {"Content-Length": length}, b"")
            self.assertTrue(answer is None or answer.code in (400, 413), f"{length}: {answer}")

    def chunked(self, path, total, piece=60000, **headers):
        """Sends so many bytes in chunks until the answer comes; (answer, bytes sent)."""
        all_headers = {"Host": "localhost", "Cookie": self.server.cookie, "X-Stanch-Token": self.server.token, "Transfer-Encoding": "chunked",
                       "Content-Type": "application/json", **{k.replace("_", "-"): v for k, v in headers.items()}}
        sent = 0
        with self.server.talk() as talk:
            talk.send(f"POST {path} HTTP/1.1\r\n" + "".join(f"{k}: {v}\r\n" for k, v in all_headers.items()) + "\r\n")
            try:
                while sent < total:
                    n = min(piece, total - sent)
                    talk.send(b"%x\r\n" % n + b" " * n + b"\r\n")
                    sent += n
                talk.send(b"0\r\n\r\n")
            except (BrokenPipeError, ConnectionResetError):
                pass
            return talk.answer(), sent

    def test_too_long_in_chunks(self):
        answer, _ = self.chunked("/api/login", 4096)
        self.assertEqual(self.held(answer).code, 400, "blanks are no JSON, but not too many")
        answer, _ = self.chunked("/api/login", 4097, 1000)
        self.assertEqual(self.held(answer).code, 413)
        answer, sent = self.chunked("/api/jobs/pump/edit", 1 << 28)
        self.assertEqual(self.held(answer).code, 413)
        self.assertLess(sent, 32 << 20, "while it streams, not at its end")

    def test_an_upload_too_long_in_chunks(self):
        answer, sent = self.chunked(UPLOAD, 1 << 30, 1 << 20, Content_Type="application/octet-stream")
        self.assertEqual(self.held(answer).code, 413)
        self.assertLess(sent, 100 << 20)
        self.assertEqual(self.uploads(), [])

    def uploads(self, wait=2.0):
        """What is left of uploads, after a moment."""
        until = time.monotonic() + wait
        while True:
            left = [f for f in os.listdir(self.folder) if f.startswith(".stanch-upload")]
            if not left or time.monotonic() > until:
                return left
            time.sleep(0.02)

    def test_an_upload_goes_whatever_happens(self):
        head = (f"POST {UPLOAD} HTTP/1.1\r\nHost: localhost\r\nCookie: {self.server.cookie}\r\nX-Stanch-Token: {self.server.token}\r\n"
                "Content-Type: application/octet-stream\r\nContent-Length: 1000\r\n\r\n")
        with self.server.talk() as talk:
            talk.send(head + "x" * 500)
            until = time.monotonic() + 5
            while time.monotonic() < until and not any(f.startswith(".stanch-upload") for f in os.listdir(self.folder)):
                time.sleep(0.02)
            self.assertEqual(len(self.uploads(0)), 1, "it is streamed to a file")
        self.assertEqual(self.uploads(), [], "a browser that goes away")
        self.ask("POST", UPLOAD, BYTES, b"no csv of ours")
        self.assertEqual(self.uploads(), [], "a file that is refused, or taken")

    def test_two_ways_to_end_a_body(self):
        """Nothing of a body is ever read as a request."""
        smuggled = "GET /api/jobs HTTP/1.1\r\nHost: localhost\r\n\r\n"
        for lines in ("Content-Length: 5\r\nTransfer-Encoding: chunked\r\n", "Content-Length: 5\r\nContent-Length: 6\r\n",
                      "Transfer-Encoding: gzip\r\n", "Transfer-Encoding: chunked, identity\r\n"):
            with self.server.talk() as talk:
                talk.send(f"POST /api/jobs HTTP/1.1\r\nHost: localhost\r\nCookie: {self.server.cookie}\r\nX-Stanch-Token: {self.server.token}\r\n"
                          f"Content-Type: application/json\r\n{lines}\r\n0\r\n\r\n{smuggled}")
                answer = talk.answer()
                self.assertTrue(answer is None or answer.code == 400, f"{lines}: {answer}")
                self.assertTrue(talk.ended(), lines)

    def test_a_refused_body_is_no_request(self):
        body = "GET /api/jobs HTTP/1.1\r\nHost: localhost\r\n\r\n"
        with self.server.talk() as talk:
            talk.send(f"POST /api/jobs HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n{body}")
            self.assertEqual(self.held(talk.answer()).code, 401)
            talk.send("GET /api/session HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")
            self.assertEqual(talk.answer().code, 200, "the short body was read to its end")
            self.assertTrue(talk.ended())

    def test_long_heads(self):
        self.refused(414, "GET", "/" + "a" * 9000)
        answer = self.server.ask("GET", "/", {"X": "a" * 100000})
        self.assertTrue(answer is None or answer.code in (413, 414, 431), answer)
        self.assertEqual(self.ask("GET", "/", {"X": "a" * 20000}).code, 200)

    def test_expect_continue(self):
        with self.server.talk() as talk:
            talk.send(f"POST /api/login HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 9999\r\nExpect: 100-continue\r\n\r\n")
            self.assertEqual(self.held(talk.answer()).code, 413)

    def test_garbage(self):
        for garbage in (b"\0" * 100, b"\xff" * 100, b"GET\r\n\r\n", b"GET /\r\n\r\n", b"GET / HTTP/9.9\r\n\r\n", b"\r\n\r\n", b"GET  /  HTTP/1.1\r\n\r\n",
                        b"GET / HTTP/1.1\r\nHost localhost\r\n\r\n", b"GET / HTTP/1.1\r\nHost: localhost\r\n folded: x\r\n\r\n", b"\x16\x03\x01\x02\x00" + b"a" * 50,
                        b"POST / HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n", b"GET /\0 HTTP/1.1\r\nHost: localhost\r\n\r\n"):
            with self.server.talk(3) as talk:
                talk.send(garbage)
                talk.socket.shutdown(1)
                while talk.more():
                    pass


class Slow(Case):
    limits = "4:2:20000"

    def cut_off(self, head, drip, most):
        """Sends a byte now and then; the seconds until the connection was closed."""
        started = time.monotonic()
        with self.server.talk(20) as talk:
            talk.send(head)
            while time.monotonic() - started < most + 5:
                try:
                    talk.send(drip)
                except OSError:
                    break
                talk.socket.settimeout(0.2)
                try:
                    if not talk.more():
                        break
                except TimeoutError:
                    pass
            return time.monotonic() - started

    def test_slow_head(self):
        self.assertLess(self.cut_off("GET / HTTP/1.1\r\nHost: localhost\r\nX: ", "a", 2), 4)

    def test_slow_body(self):
        head = (f"POST /api/jobs HTTP/1.1\r\nHost: localhost\r\nCookie: {self.server.cookie}\r\nX-Stanch-Token: {self.server.token}\r\n"
                "Content-Type: application/json\r\nContent-Length: 4000\r\n\r\n")
        self.assertLess(self.cut_off(head, " ", 2), 4)
        self.assertLess(self.cut_off(head.replace(self.server.token, "0" * 64), " ", 2), 4, "a refused one too")

    def test_an_upload_has_time_by_its_size(self):
        head = (f"POST {UPLOAD} HTTP/1.1\r\nHost: localhost\r\nCookie: {self.server.cookie}\r\nX-Stanch-Token: {self.server.token}\r\n"
                "Content-Type: application/octet-stream\r\nContent-Length: 40000\r\n\r\n")
        took = self.cut_off(head, "x", 4)
        self.assertGreater(took, 3)
        self.assertLess(took, 6)

    def test_silence(self):
        for said in (b"", b"GET / HT", b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n"):
            started = time.monotonic()
            with self.server.talk(20) as talk:
                talk.send(said)
                while talk.more():
                    pass
            self.assertLess(time.monotonic() - started, 7)

    def test_a_reader_that_stops(self):
        """An answer that nobody takes holds a connection no longer than the limit."""
        page = "GET / HTTP/1.1\r\nHost: localhost\r\n\r\n" * 20000
        started = time.monotonic()
        with self.server.talk(0.2) as talk:
            while time.monotonic() - started < 15:
                try:
                    talk.send(page)
                except TimeoutError:
                    pass
                except OSError:
                    break
        self.assertGreater(time.monotonic() - started, 1)
        self.assertLess(time.monotonic() - started, 12)


class Crowd(Case):
    limits = "30:30:20000:300:250"

    def test_half_open_connections_hold_up_nobody(self):
        halves = [self.server.talk() for _ in range(100)]
        try:
            for i, talk in enumerate(halves):
                talk.send(("", "GET / HTTP/1.1\r\nHost: lo", "POST /api/login HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 10\r\n\r\n{")[i % 3])
            for path in ("/", "/api/session"):
                started = time.monotonic()
                self.assertEqual(self.ask("GET", path).code, 200)
                self.assertLess(time.monotonic() - started, 1)
        finally:
            for talk in halves:
                talk.socket.close()

    def test_many_at_once(self):
        wrong = []

        def work():
            for _ in range(20):
                answer = self.server.ask("GET", "/api/session")
                if answer is None or answer.code != 200:
                    wrong.append(answer)

        threads = [threading.Thread(target=work) for _ in range(16)]
        for t in threads:
            t.start()
        for t in threads:
            t.join()
        self.assertEqual(wrong, [])

    def test_more_than_one_address_may_have(self):
        crowd = []
        try:
            for _ in range(260):
                crowd.append(self.server.talk(2))
            self.assertTrue(crowd[-1].ended(), "the last is turned away")
        finally:
            for talk in crowd:
                talk.socket.close()
        until = time.monotonic() + 5
        while time.monotonic() < until:
            if self.server.ask("GET", "/"):
                return
            time.sleep(0.1)
        self.fail("nobody is let in again")

    def test_uploads_at_once(self):
        head = (f"POST {UPLOAD} HTTP/1.1\r\nHost: localhost\r\nCookie: {self.server.cookie}\r\nX-Stanch-Token: {self.server.token}\r\n"
                "Content-Type: application/octet-stream\r\nContent-Length: 1000\r\n\r\n")
        talks = [self.server.talk() for _ in range(8)]
        try:
            for talk in talks:
                talk.send(head + "x")
            until = time.monotonic() + 5
            while time.monotonic() < until and len([f for f in os.listdir(self.folder) if f.startswith(".stanch-upload")]) < 8:
                time.sleep(0.02)
            answer = self.refused(503, "POST", UPLOAD, BYTES, "x")
            self.assertIn("retry-after", answer.headers)
        finally:
            for talk in talks:
                talk.socket.close()


class Stopping(unittest.TestCase):
    def setUp(self):
        self.folder = folder_with_job(STANCH, EXAMPLES)
        self.addCleanup(shutil.rmtree, self.folder, True)

    def serve(self, place):
        server = Server(STANCH, place)
        self.addCleanup(server.process.kill)
        return server

    def test_signals_end_it_cleanly(self):
        for how in (signal.SIGTERM, signal.SIGINT):
            server = self.serve(self.folder)
            self.assertEqual(server.ask("GET", "/").code, 200)
            self.assertEqual(server.stop(how), (0, ""))

    def test_while_requests_run(self):
        server = self.serve(self.folder)
        stop = threading.Event()

        def work():
            while not stop.is_set():
                try:
                    server.ask("GET", "/api/session", timeout=5)
                except OSError:
                    pass

        threads = [threading.Thread(target=work) for _ in range(8)]
        half = [server.talk() for _ in range(10)]
        for talk in half:
            talk.send("POST /api/login HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 10\r\n\r\n{")
        for t in threads:
            t.start()
        time.sleep(0.3)
        started = time.monotonic()
        code, said = server.stop()
        stop.set()
        for t in threads:
            t.join()
        for talk in half:
            talk.socket.close()
        self.assertEqual((code, said), (0, ""))
        self.assertLess(time.monotonic() - started, 3)

    def test_one_file_is_served_alone(self):
        shutil.copy(os.path.join(self.folder, "pump.stanch"), os.path.join(self.folder, "other.stanch"))
        server = self.serve(os.path.join(self.folder, "pump.stanch"))
        answer = server.ask("GET", "/api/session")
        server.cookie = answer.headers["set-cookie"].split(";")[0]
        self.assertEqual(server.ask("GET", "/api/jobs/other/survey").code, 404)
        self.assertNotEqual(server.ask("GET", "/api/jobs/pump/survey").code, 404)
        self.assertEqual(server.stop()[0], 0)

    def test_what_lies_in_the_folder(self):
        """Named as jobs, but none: told apart, without our paths, and without a point of a number lost."""
        for name, content in (("words", "no job at all" * 100), ("empty", "")):
            with open(os.path.join(self.folder, name + ".stanch"), "w", encoding="utf-8") as file:
                file.write(content)
        os.mkfifo(os.path.join(self.folder, "pipe.stanch"))
        os.mkdir(os.path.join(self.folder, "folder.stanch"))
        os.symlink("/dev/zero", os.path.join(self.folder, "zero.stanch"))
        self.addCleanup(os.chdir, os.getcwd())
        os.chdir(self.folder)
        for place in (self.folder, self.folder + "/", "."):
            server = self.serve(place)
            answer = server.ask("GET", "/api/session")
            server.cookie, server.token = answer.headers["set-cookie"].split(";")[0], json.loads(answer.body)["token"]
            jobs = {j["job"]: j for j in json.loads(server.ask("GET", "/api/jobs").body)["jobs"]}
            self.assertLessEqual({"words", "empty", "pump"}, set(jobs))
            self.assertFalse({"pipe", "folder", "zero"} & set(jobs))
            self.assertEqual(jobs["words"]["fault"], "words.stanch: is not a stanch job file")
            said = server.ask("GET", "/api/jobs/words/survey")
            self.assertEqual((said.code, json.loads(said.body)["fault"]), (422, "words.stanch: is not a stanch job file"))
            work = json.loads(server.ask("POST", "/api/jobs/words/plan", body="{}").body)["work"]
            self.assertEqual(self.worked(server, work)["fault"], "words.stanch: is not a stanch job file")
            said = server.ask("POST", "/api/jobs/pump/answer", body='{"mark":"a.b ./c","finding":"x","by":"y","what":"z"}')
            self.assertIn("a.b", json.loads(said.body)["fault"])
            self.assertEqual(server.stop(), (0, ""))

    def worked(self, server, number):
        until = time.monotonic() + 30
        while time.monotonic() < until:
            work = json.loads(server.ask("GET", f"/api/work/{number}").body)
            if work["state"] not in ("waiting", "running"):
                return work
            time.sleep(0.05)
        return self.fail(f"work {number} does not end")

    def test_documents_that_were_stopped_are_not_there(self):
        server = self.serve(self.folder)
        answer = server.ask("GET", "/api/session")
        server.cookie, server.token = answer.headers["set-cookie"].split(";")[0], json.loads(answer.body)["token"]
        plan = json.loads(server.ask("POST", "/api/jobs/pump/plan", body='{"planes":false}').body)["work"]
        self.assertEqual(self.worked(server, plan)["state"], "done")
        report = json.loads(server.ask("POST", "/api/jobs/pump/report", body="{}").body)["work"]
        while json.loads(server.ask("GET", f"/api/work/{report}").body)["state"] == "waiting":
            time.sleep(0.01)
        self.assertEqual(server.ask("DELETE", f"/api/work/{report}").code, 200)
        self.assertEqual(self.worked(server, report)["state"], "stopped")
        self.assertEqual(server.ask("GET", "/api/jobs/pump/report/plan.pdf").code, 404)
        again = json.loads(server.ask("POST", "/api/jobs/pump/report", body="{}").body)["work"]
        self.assertEqual(self.worked(server, again)["state"], "done")
        self.assertEqual(server.ask("GET", "/api/jobs/pump/report/plan.pdf").body[:5], b"%PDF-")
        self.assertEqual(server.stop(), (0, ""))

    def test_the_plot_of_a_gauge(self):
        """Invented readings; there is one picture a gauge, and no other."""
        server = self.serve(self.folder)
        answer = server.ask("GET", "/api/session")
        server.cookie, server.token = answer.headers["set-cookie"].split(";")[0], json.loads(answer.body)["token"]
        stored = json.loads(server.ask("GET", "/api/jobs/pump/survey").body)
        defect, other = stored["survey"]["defects"][:2]
        defect["readings"] = [{"gauge": "G<1>", "on": f"2025-{m:02d}-15", "width_mm": 0.3 + 0.02 * m + 0.003 * (m % 3),
                               "temperature_c": 12 - 0.6 * abs(m - 7) ** 1.3} for m in range(1, 13)]
        change = {"what": "defect", "key": defect["mark"], "before": stored["hashes"]["defects"][defect["mark"]], "after": defect}
        said = server.ask("POST", "/api/jobs/pump/edit", body=json.dumps({"changes": [change]}))
        self.assertEqual(said.code, 200, said)
        plot = "/api/jobs/pump/leaks/{}/movement/{}.svg".format
        self.assertEqual(server.ask("GET", plot(defect["mark"], 0)).code, 409, "not planned yet")
        work = json.loads(server.ask("POST", "/api/jobs/pump/plan", body='{"planes":false}').body)["work"]
        self.assertEqual(self.worked(server, work)["state"], "done")
        svg = server.ask("GET", plot(defect["mark"], 0))
        self.assertEqual((svg.code, svg.headers["content-type"]), (200, "image/svg+xml"))
        self.assertIn(f"Movement of {defect['mark']}, gauge G&lt;1&gt;", svg.body.decode())
        for mark, n, fault in ((defect["mark"], 1, "gauge 1"), (defect["mark"], "x", "no number of a gauge"),
                               (defect["mark"], "99999999999999999999", "no number of a gauge"),
                               (other["mark"], 0, "gauge 0"), ("Nobody", 0, "no leak is marked Nobody")):
            said = server.ask("GET", plot(mark, n))
            self.assertEqual((said.code, said.headers["content-type"]), (404, "application/json"), said)
            self.assertIn(fault, json.loads(said.body)["fault"])
        self.assertEqual(server.stop(), (0, ""))

    def test_a_reading_and_a_choice(self):
        """What is wrong is one sentence and changes nothing; what is right counts one revision and a line of the log; the same again is no change."""
        server = self.serve(self.folder)
        answer = server.ask("GET", "/api/session")
        server.cookie, server.token = answer.headers["set-cookie"].split(";")[0], json.loads(answer.body)["token"]
        reading = {"mark": "N1", "gauge": "G", "on": "2025-03-15", "width_mm": 0.3, "temperature_c": -2}
        choice = {"mark": "N1", "method": "drain", "by": "A. Person", "why": "a sump is there"}
        before = json.loads(server.ask("GET", "/api/jobs/pump/survey").body)
        wrong = (
            ("readings", {"mark": None}, 422, "mark"), ("readings", {"mark": "Nobody"}, 409, "Nobody"), ("readings", {"on": "15 March"}, 422, "15 March"),
            ("readings", {"width_mm": "wide"}, 422, "width_mm"), ("readings", {"width_mm": None}, 422, "width_mm"), ("readings", {"width_mm": 900}, 422, "900"),
            ("readings", {"width_mm": 1e300}, 422, "width"), ("readings", {"temperature_c": "warm"}, 422, "temperature_c"), ("readings", {"temperature_c": None}, 422, "log of the air"),
            ("readings", {"temperature_f": 40}, 422, "temperature_f"), ("readings", {"width_in": 0.01}, 422, "width_mm"), ("readings", {"gauge": 7}, 422, "gauge"),
            ("readings", {"gauge": "G" * 500}, 422, "gauge"), ("readings", {"by": "x"}, 422, "by"),
            ("overrule", {"method": "magic"}, 422, "magic"), ("overrule", {"method": "engineer"}, 422, "engineer"), ("overrule", {"method": 3}, 422, "method"),
            ("overrule", {"why": ""}, 422, "why"), ("overrule", {"why": None}, 422, "why"), ("overrule", {"by": ""}, 422, "by"), ("overrule", {"mark": "Nobody"}, 409, "Nobody"),
            ("overrule", {"why": "x" * 9000}, 422, "why"), ("overrule", {"on": "2025-01-01"}, 422, "on"),
        )
        for address, change, code, words in wrong:
            body = {k: v for k, v in {**(reading if address == "readings" else choice), **change}.items() if v is not None or k == "temperature_c"}
            said = server.ask("POST", f"/api/jobs/pump/{address}", body=json.dumps(body))
            self.assertEqual(said.code, code, f"{address} {change}: {said}")
            self.assertIn(words, json.loads(said.body)["fault"])
        us = server.ask("POST", "/api/jobs/pump/readings", body=json.dumps({"mark": "N1", "on": "2025-03-15", "width_in": 0.01, "temperature_f": 40}))
        self.assertEqual((us.code, "metric" in json.loads(us.body)["fault"]), (422, True))
        self.assertEqual(json.loads(server.ask("GET", "/api/jobs/pump/survey").body)["revision"], before["revision"])
        revision = before["revision"]
        for address, body in (("readings", reading), ("overrule", choice), ("overrule", {"mark": "N1", "method": None, "by": "A. Person"})):
            for again in (False, True):
                said = server.ask("POST", f"/api/jobs/pump/{address}", body=json.dumps(body))
                self.assertEqual(said.code, 200, said)
                revision += not again
                now = json.loads(server.ask("GET", "/api/jobs/pump/survey").body)
                self.assertEqual(json.loads(said.body), {"revision": revision, "hashes": {"defects": {"N1": now["hashes"]["defects"]["N1"]}}})
                self.assertEqual(now["revision"], revision)
            leak = next(d for d in now["survey"]["defects"] if d["mark"] == "N1")
            self.assertEqual(leak["readings"], [{k: v for k, v in reading.items() if k != "mark"}])
            self.assertEqual("overrule" in leak, body.get("method") == "drain")
        said = [c["what"] for c in json.loads(server.ask("GET", "/api/jobs/pump/log").body)["changes"][:3]]
        self.assertEqual(said, ["overrule N1 withdrawn by A. Person", "overrule N1: drain by A. Person", "gauge N1 G on 2025-03-15: 0.3 mm"])
        self.assertEqual(server.stop(), (0, ""))

    def test_a_count_of_runs_and_the_head_of_a_log(self):
        """A number that is not whole is not cut, and record 0 is no record; nothing is begun."""
        server = self.serve(self.folder)
        answer = server.ask("GET", "/api/session")
        server.cookie, server.token = answer.headers["set-cookie"].split(";")[0], json.loads(answer.body)["token"]
        for address, body, saying in (("risk", {"runs": 100.5}, "runs: is 100.5; it must be a whole number"), ("risk", {"seed": 0.5}, "seed: is 0.5"),
                                      ("offers", {"on": "2026-03-01", "runs": 1e300}, "runs: is 1e+300"), ("offers", {"on": "2026-03-01x"}, "2026-03-01x"),
                                      ("offers", {"on": "2026-03-01", "seed": 2.25}, "seed: is 2.25"), ("handover", {"on": "2026-02-30"}, "2026-02-30")):
            said = server.ask("POST", f"/api/jobs/pump/{address}", body=json.dumps(body))
            self.assertEqual(said.code, 422, said)
            self.assertIn(saying, json.loads(said.body)["fault"])
        for seq in ("0", "00", "-1", "", "1e3", "9" * 16):
            said = server.ask("GET", f"/api/jobs/pump/check?seq={seq}&hash={'a' * 64}")
            self.assertEqual((said.code, "from 1" in json.loads(said.body)["fault"]), (422, True), said)
        self.assertEqual(server.ask("GET", "/api/work/1").code, 404)
        self.assertEqual(server.stop(), (0, ""))

    def test_planning_leaves_nothing_behind(self):
        """Each connection is a thread; what a library keeps for a thread must end with it."""
        server = self.serve(self.folder)
        answer = server.ask("GET", "/api/session")
        server.cookie, server.token = answer.headers["set-cookie"].split(";")[0], json.loads(answer.body)["token"]
        work = json.loads(server.ask("POST", "/api/jobs/pump/plan", body='{"planes":false}').body)["work"]
        self.assertEqual(self.worked(server, work)["state"], "done")
        defect = json.loads(server.ask("GET", "/api/jobs/pump/survey").body)["survey"]["defects"][0]
        codes = []

        def try_it():
            codes.append(server.ask("POST", "/api/jobs/pump/try", body=json.dumps({"defect": defect}), timeout=60).code)

        threads = [threading.Thread(target=try_it) for _ in range(4)]
        for t in threads:
            t.start()
        for t in threads:
            t.join()
        self.assertEqual(codes, [200] * 4, "one after another")
        self.assertEqual(server.ask("GET", "/api/jobs/pump/day").code, 200)
        self.assertEqual(server.stop(), (0, ""))

    def refused(self, *words, saying):
        done = subprocess.run([STANCH, "serve", *words], capture_output=True, timeout=60, check=False)
        said = done.stderr.decode()
        self.assertIn(done.returncode, (1, 2), said)
        self.assertEqual(done.stdout, b"")
        self.assertEqual(len(said.splitlines()), 1, said)
        self.assertIn(saying, said)
        self.assertIsNone(TRACES_OF_A_CRASH.search(said), said)

    def test_what_cannot_be_served(self):
        self.refused(os.path.join(self.folder, "none"), saying="cannot be served")
        self.refused("/dev/null", saying="neither a job file nor a folder")
        self.refused(self.folder, "--port", "65536", saying="0 to 65535")
        self.refused(self.folder, "--port", "-1", saying="0 to 65535")
        self.refused(self.folder, "--port", "80x", saying="0 to 65535")
        self.refused(self.folder, "--address", "203.0.113.9", "--port", "0", saying="no address of this machine")
        self.refused(self.folder, "--address", "not a name", "--port", "0", saying="no address")
        self.refused(self.folder, "--address", "0.0.0.0", "--port", "0", saying="--site")
        self.refused(self.folder, "--key", "x", saying="--certificate")
        self.refused(self.folder, "--plain", saying="--site")
        self.refused(self.folder, "--prot", "1", saying="--port")

    def test_the_port_is_taken(self):
        server = self.serve(self.folder)
        self.refused(self.folder, "--port", str(server.port), saying="is taken")
        self.assertEqual(server.stop()[0], 0)


class Site(Case):
    options, limits = ("--site", "--address", "127.0.0.1"), "4:2:20000"

    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        cls.invitation = cls.server.invitation()

    def test_people_log_in_over_tls(self):
        nobody = json.loads(self.ask("GET", "/api/session").body)
        self.assertEqual((nobody["role"], nobody["site"]), ("nobody", True))
        self.refused(401, "GET", "/api/jobs")
        self.refused(401, "POST", "/api/jobs", {}, "{}")
        self.refused(403, "POST", "/api/login", {"Origin": f"http://127.0.0.1:{self.server.port}"}, "{}", saying="page")
        joined = self.ask("POST", "/api/join", {}, json.dumps({"invitation": self.invitation, "name": "A. Person", "passphrase": "seven wet anchors"}))
        self.assertEqual(joined.code, 200, joined)
        self.assertRegex(joined.headers["set-cookie"], r"^__Host-stanch-\d+=[0-9a-f]{64}; Path=/; HttpOnly; SameSite=Strict; Secure$")
        cookie = joined.headers["set-cookie"].split(";")[0]
        self.assertEqual(self.ask("GET", "/api/people", {"Cookie": cookie}).code, 200)
        self.refused(403, "POST", "/api/people/invite", {"Cookie": cookie}, '{"role":"viewer"}', saying="token")
        token = json.loads(joined.body)["token"]
        ended = self.ask("POST", "/api/logout", {"Cookie": cookie, "X-Stanch-Token": token}, "{}")
        self.assertEqual(ended.code, 200, ended)
        self.refused(401, "GET", "/api/people", {"Cookie": cookie}, saying="log in")

    def test_too_long_in_chunks(self):
        with self.server.talk() as talk:
            talk.send("POST /api/login HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n")
            talk.send(b"%x\r\n" % 5000 + b" " * 5000 + b"\r\n")
            self.assertEqual(self.held(talk.answer()).code, 413)

    def test_no_handshake(self):
        import socket

        with socket.create_connection(("127.0.0.1", self.server.port), 20) as plain:
            started = time.monotonic()
            while plain.recv(1000):
                pass
            self.assertLess(time.monotonic() - started, 8)


if __name__ == "__main__":
    unittest.main(argv=[sys.argv[0], *sys.argv[3:]])
