"""A `stanch serve` of a test and a client that says exactly what it is told to, byte by byte."""

import os
import re
import select
import shutil
import signal
import socket
import ssl
import subprocess
import tempfile

TRACES_OF_A_CRASH = re.compile(r"Sanitizer|runtime error|Assertion|core dumped")


class Answer:
    def __init__(self, code, headers, body):
        self.code, self.headers, self.body = code, headers, body

    def __repr__(self):
        return f"{self.code} {self.headers} {self.body[:200]!r}"


class Talk:
    """One connection. `tls`: a certificate is not looked at, encryption is all that is wanted here."""

    def __init__(self, port, tls=False, timeout=10):
        self.socket = socket.create_connection(("127.0.0.1", port), timeout)
        if tls:
            context = ssl.create_default_context()
            context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
            self.socket = context.wrap_socket(self.socket)
        self.kept = b""

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.socket.close()

    def send(self, data):
        self.socket.sendall(data if isinstance(data, bytes) else data.encode("latin-1"))

    def more(self):
        """More bytes, b"" at the end, however the end comes."""
        try:
            return self.socket.recv(65536)
        except (ConnectionResetError, BrokenPipeError):
            return b""

    def answer(self, head_only=False):
        """The next answer; None when the connection ends before one came."""
        while b"\r\n\r\n" not in self.kept:
            got = self.more()
            if not got:
                return None
            self.kept += got
        head, self.kept = self.kept.split(b"\r\n\r\n", 1)
        lines = head.decode("latin-1").split("\r\n")
        headers = {}
        for line in lines[1:]:
            name, value = line.split(":", 1)
            headers[name.strip().lower()] = value.strip()
        code = int(lines[0].split()[1])
        if code == 100:
            return self.answer(head_only)
        length = 0 if head_only or code == 304 else int(headers.get("content-length", "0"))
        while len(self.kept) < length:
            got = self.more()
            if not got:
                break
            self.kept += got
        body, self.kept = self.kept[:length], self.kept[length:]
        return Answer(code, headers, body)

    def ended(self):
        """True when the other end closes without another byte."""
        return not self.kept and not self.more()


class Server:
    """`place` is what is served; `limits` as STANCH_SERVE_LIMITS: idle:request:rate:connections:each."""

    def __init__(self, program, place, *options, limits="", env=None):
        surroundings = dict(os.environ, STANCH_SERVE_LIMITS=limits, **(env or {}))
        self.errors = tempfile.TemporaryFile()
        self.process = subprocess.Popen([program, "serve", place, "--port", "0", *options], stdout=subprocess.PIPE, stderr=self.errors,
                                        env=surroundings)
        self.address = self.first_line()
        self.tls = self.address.startswith("https")
        if not self.address:
            raise AssertionError(self.stop()[1])
        self.port = int(self.address.rstrip("/").rsplit(":", 1)[1])
        self.cookie = self.token = None

    def first_line(self):
        """Byte by byte, so that what follows is still in the pipe."""
        line, out = b"", self.process.stdout.fileno()
        while not line.endswith(b"\n"):
            got = os.read(out, 1)
            if not got:
                break
            line += got
        return line.decode().strip()

    def talk(self, timeout=10):
        return Talk(self.port, self.tls, timeout)

    def invitation(self):
        """The secret of the first invitation, out of what is printed at the start."""
        text, out = b"", self.process.stdout.fileno()
        while select.select([out], [], [], 10)[0]:
            got = os.read(out, 4096)
            text += got
            found = re.search(rb"https?://\S+/#\S*?([0-9a-f]{32})\s", text)
            if found or not got:
                return found.group(1).decode() if found else None
        return None

    def ask(self, method, target, headers=None, body=b"", login=True, timeout=10):
        """One request on a connection of its own, well-formed unless `headers` say otherwise (None leaves one out)."""
        body = body if isinstance(body, bytes) else body.encode()
        all_headers = {"Host": f"127.0.0.1:{self.port}"}
        if login and self.cookie:
            all_headers["Cookie"] = self.cookie
            if method not in ("GET", "HEAD"):
                all_headers["X-Stanch-Token"] = self.token
        if method in ("POST", "PUT"):
            all_headers["Content-Type"] = "application/json"
            all_headers["Content-Length"] = str(len(body))
        all_headers.update(headers or {})
        lines = [f"{name}: {value}" for name, value in all_headers.items() if value is not None]
        with self.talk(timeout) as talk:
            try:
                talk.send(f"{method} {target} HTTP/1.1\r\n" + "".join(line + "\r\n" for line in lines) + "\r\n")
                talk.send(body)
            except (BrokenPipeError, ConnectionResetError):
                pass
            return talk.answer(method == "HEAD")

    def stop(self, how=signal.SIGTERM):
        """(exit status, standard error)"""
        if self.process.poll() is None:
            self.process.send_signal(how)
        try:
            self.process.wait(30)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        self.process.stdout.close()
        self.errors.seek(0)
        said = self.errors.read().decode()
        self.errors.close()
        return self.process.returncode, said


def folder_with_job(program, examples, name="pump.stanch"):
    """A new folder with the job of the example; its name."""
    folder = tempfile.mkdtemp(prefix="stanch-web-")
    job = os.path.join(folder, name)
    for words in (["new", job], ["import", job, os.path.join(examples, "pump-house.json")]):
        done = subprocess.run([program, *words], capture_output=True, check=False)
        if done.returncode != 0:
            shutil.rmtree(folder, True)
            raise AssertionError(done.stderr.decode())
    return folder
