"""Far places that answer as no server should: listings, headers, bodies, sizes, names, redirects.

What a place answers stands in the file of a try, by what it is asked for: a line `@GET` and, below
it, the answer to each request of that kind; `@GET place` is about the place and no file there.
In it `{me}` stands for the server's address, `{path}` for what was asked for, `{size}` for how many
bytes come after the head, `{bundle}` for a bundle that is right, `{name}` and `{long}` for its name
and size, `{put}` for the size of what was written last, `{endless}` for bytes that do not end, and
`{slow}` for a pause.
"""

import contextlib
import functools
import importlib
import importlib.util
import json
import os
import random
import re
import socket
import tempfile
import threading
import time
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import BinaryIO

from tests.torture.bending import ODD, bent
from tests.torture.bending_inside import bent_xml
from tests.torture.doors import Door
from tests.torture.typing_in import BRAM, TEACHER, Bench, WrongAnswerError, new_bench

from platebook.services.sharing.places.far import FarPlace

MOST_SENT = 2**30
"""Bytes after which even an endless body ends, so that a fault fills no machine."""

PAUSE_S = 0.3
PATIENCE_S = 4.0
"""How long a place is waited for, which is 30 s at the bench."""

IDLE_S = 1.0
"""How long a line stays on which nothing comes: who waits for more learns that there is none."""

FINISHED_S = 8.0
"""How long a line may be open still once a command is done: nobody reads what is sent there."""

_DAV = b"""@PROPFIND place
HTTP/1.1 207 Multi-Status
Content-Type: application/xml; charset=utf-8
Content-Length: {size}

<?xml version="1.0" encoding="utf-8"?>
<d:multistatus xmlns:d="DAV:">
<d:response><d:href>/thursday/</d:href><d:propstat><d:prop><d:resourcetype><d:collection/>
</d:resourcetype></d:prop><d:status>HTTP/1.1 200 OK</d:status></d:propstat></d:response>
<d:response><d:href>/thursday/{name}</d:href><d:propstat><d:prop>
<d:getcontentlength>{long}</d:getcontentlength><d:getetag>"7"</d:getetag>
<d:creationdate>2026-11-20T18:30:00Z</d:creationdate><d:resourcetype/>
<d:getlastmodified>Fri, 20 Nov 2026 18:30:00 GMT</d:getlastmodified></d:prop>
<d:status>HTTP/1.1 200 OK</d:status></d:propstat></d:response>
</d:multistatus>
@PROPFIND
HTTP/1.1 207 Multi-Status
Content-Length: {size}

<?xml version="1.0"?><d:multistatus xmlns:d="DAV:"><d:response><d:href>{path}</d:href><d:propstat>
<d:prop><d:getcontentlength>{put}</d:getcontentlength><d:getetag>"8"</d:getetag><d:resourcetype/>
</d:prop><d:status>HTTP/1.1 200 OK</d:status></d:propstat></d:response></d:multistatus>
@GET
HTTP/1.1 200 OK
Content-Length: {size}
ETag: "7"

{bundle}
@PUT
HTTP/1.1 201 Created
Content-Length: 0

@MOVE
HTTP/1.1 201 Created
Content-Length: 0

@MKCOL
HTTP/1.1 405 Method Not Allowed
Content-Length: 0

@OPTIONS
HTTP/1.1 200 OK
DAV: 1, 2
Accept-Ranges: bytes
Content-Length: 0

"""
_S3 = b"""@GET place
HTTP/1.1 200 OK
Content-Type: application/xml
Content-Length: {size}

<?xml version="1.0" encoding="UTF-8"?>
<ListBucketResult xmlns="http://s3.amazonaws.com/doc/2006-03-01/"><Name>school</Name>
<Prefix>thursday/</Prefix><KeyCount>1</KeyCount><MaxKeys>1000</MaxKeys><Delimiter>/</Delimiter>
<IsTruncated>false</IsTruncated><Contents><Key>thursday/{name}</Key>
<LastModified>2026-11-20T18:30:00.000Z</LastModified><ETag>"7"</ETag><Size>{long}</Size>
<StorageClass>STANDARD</StorageClass></Contents></ListBucketResult>
@GET
HTTP/1.1 200 OK
Content-Length: {size}
Last-Modified: Fri, 20 Nov 2026 18:30:00 GMT
ETag: "7"

{bundle}
@HEAD
HTTP/1.1 200 OK
Content-Length: {put}
Last-Modified: Fri, 20 Nov 2026 18:30:00 GMT
ETag: "7"

@PUT
HTTP/1.1 200 OK
ETag: "7"
Content-Length: 0

"""
_HEADS = (
    *(b"Content-Length: 10", b"Content-Length: -1", b"Content-Length: 99999999999999"),
    *(b"Transfer-Encoding: chunked", b"Content-Encoding: gzip", b"Content-Encoding: br"),
    *(b"Location: {me}/thursday/", b"Location: {me}/other", b"Location: file:///etc/passwd"),
    *(b"Location: http://", b"Location: //[", b"ETag: " + b"x" * 9000, b"X: " + b"y" * 70000),
    *(b"Content-Type: text/html; charset=\xff", b"Set-Cookie: a=b", b"Connection: close"),
    *(b"Content-Range: bytes 0-9/10", b"Accept-Ranges: bytes", b"Content-Type: x; charset=utf-7"),
)
_STATUS = re.compile(rb"(?m)^HTTP/1\.1 (\d{3}[^\r\n]*)$")
_STATUSES = (
    *(b"200 OK", b"204 No", b"206 Part", b"207 Multi", b"301 Moved", b"302 Found", b"307 There"),
    *(b"401 No", b"403 No", b"404 No", b"409 Conflict", b"412 No", b"416 No", b"423 Locked"),
    *(b"429 Slow", b"500 No", b"502 No", b"503 Busy", b"507 Full", b"509 Full", b"100 Go", b"999"),
)


NEEDED = {"far-dav": "webdav4", "far-store": "s3fs", "far-ssh": "paramiko"}
"""What has to be installed for a door."""


def doors_far() -> Mapping[str, Door]:
    """These doors, with what is right for each."""
    made = (
        Door("far-dav", ".txt", (_DAV,), functools.partial(_shares, kind="http"), bent_answers),
        Door("far-store", ".txt", (_S3,), functools.partial(_shares, kind="s3"), bent_answers),
    )
    return {door.name: door for door in made}


def bent_answers(data: bytes, rng: random.Random) -> bytes:
    """One or a few of the answers bent: the first line, the headers, the XML, or its bytes."""
    parts = re.split(rb"(?m)^(?=@)", data)
    for _ in range(rng.choice((1, 1, 2, 3))):
        place = rng.randrange(len(parts))
        part, draw = parts[place], rng.random()
        head, gap, body = part.partition(b"\n\n")
        if draw < 0.15:
            part = _STATUS.sub(b"HTTP/1.1 " + rng.choice(_STATUSES), part, count=1)
        elif draw < 0.3:
            part = head + b"\n" + rng.choice(_HEADS) + gap + body
        elif draw < 0.35:
            part = re.sub(rb"(?m)^Content-Length:.*\n", b"", part)
        elif draw < 0.75 and b"<" in body:
            part = head + gap + bent_xml(body, rng)
        elif draw < 0.77:
            at = rng.randrange(len(body) + 1)
            part = head + gap + body[:at] + rng.choice((b"{slow}", b"{endless}")) + body[at:]
        elif draw < 0.85:
            part = head + gap + rng.choice((b"", body * 40, b"{bundle}" * 3, rng.choice(ODD)))
        elif draw < 0.9:
            part += rng.choice(parts)
        else:
            part = bent(part, rng)
        parts[place] = part
    return b"".join(parts)


@functools.cache
def a_bundle() -> bytes:
    """What another logbook shares."""
    with tempfile.TemporaryDirectory(prefix="far-") as place:
        bench = new_bench(Path(place) / "far", name=BRAM)
        bench.types("export", str(bench.folder / "a.platebook"))
        return (bench.folder / "a.platebook").read_bytes()


def replica_in(bundle: bytes) -> str:
    """The logbook whose bundle it is."""
    return str(json.loads(bundle.partition(b"\n")[0])["replica"])


@contextlib.contextmanager
def faults_in(faults: list[str]) -> Iterator[None]:
    """What goes wrong with a server of ours; said by its thread, it would be the command's answer.

    A line that is closed and a request that is none are what is tried.
    """
    try:
        yield
    except (OSError, ValueError, EOFError):
        pass
    except Exception as error:  # noqa: BLE001 - whatever it is, it is told as the fuzz's own
        faults.append(repr(error))


def stop_listening(listening: socket.socket) -> None:
    """Nobody is let in any more. Who waits for somebody is woken: closing alone lets it wait."""
    with contextlib.suppress(OSError):
        listening.shutdown(socket.SHUT_RDWR)
    listening.close()


class _Server:
    """A server of this machine that answers what it was told to, as often as it is asked."""

    def __init__(self, told: bytes) -> None:
        self.listening = socket.create_server(("127.0.0.1", 0))
        self.address = f"http://127.0.0.1:{self.listening.getsockname()[1]}"
        self.answers = _answers(told, self.address)
        self.lines: list[socket.socket] = []
        self.sending = self.put = 0
        self.over = False
        self.faults: list[str] = []
        threading.Thread(target=self._listen, daemon=True).start()

    def _listen(self) -> None:
        with faults_in(self.faults):
            while True:
                line, _ = self.listening.accept()
                self.lines.append(line)
                threading.Thread(target=self._serve, args=(line,), daemon=True).start()

    def _serve(self, line: socket.socket) -> None:
        line.settimeout(IDLE_S)
        with faults_in(self.faults), line, line.makefile("rb") as asked:
            while not self.over and self._answer(line, asked):
                pass

    def _answer(self, line: socket.socket, asked: BinaryIO) -> bool:
        """Answer one request; whether the line stays."""
        first = asked.readline(65536)
        if not first.strip():
            return False
        size, chunked = 0, False
        while (header := asked.readline(65536)).strip():
            name, _, value = header.lower().partition(b":")
            size = int(value) if name == b"content-length" else size
            chunked = chunked or (name == b"transfer-encoding" and b"chunked" in value)
            if name == b"expect":
                line.sendall(b"HTTP/1.1 100 Continue\r\n\r\n")
        if size:
            self.put = len(asked.read(size))
        while chunked and (length := int(asked.readline().partition(b";")[0], 16)):
            self.put = len(asked.read(length + 2)) - 2
        self.sending += 1
        try:
            for piece in self._pieces(self._answer_to(*first.split(b" ")[:2])):
                if _let_go(line):
                    return False
                line.sendall(piece)
        finally:
            self.sending -= 1
        return True

    def _answer_to(self, kind: bytes, path: bytes = b"") -> bytes:
        place = path.strip(b"/") == b"thursday" or path.startswith(b"/school?")
        wanted = kind + b" place" if place else kind
        head, gap, body = self.answers.get(wanted, self.answers.get(kind, _NOT_THERE)).partition(
            b"\r\n\r\n"
        )
        for sign, value in ((b"{path}", path), (b"{put}", b"%d" % self.put)):
            head, body = head.replace(sign, value), body.replace(sign, value)
        size = len(re.sub(rb"\{slow\}|\{endless\}", b"", body))
        return head.replace(b"{size}", b"%d" % size) + gap + body

    def _pieces(self, answer: bytes) -> Iterator[bytes]:
        for piece in re.split(rb"(\{slow\}|\{endless\})", answer):
            if piece == b"{slow}":
                time.sleep(PAUSE_S)
            elif piece == b"{endless}":
                sent = 0
                while sent < MOST_SENT and not self.over:
                    yield b"<a>" * 20_000
                    sent += 60_000
            else:
                yield piece

    def end(self) -> None:
        """Nothing is answered any more."""
        self.over = True
        stop_listening(self.listening)
        for line in self.lines:
            with contextlib.suppress(OSError):
                line.shutdown(socket.SHUT_RDWR)


def _let_go(line: socket.socket) -> bool:
    """Whether the other end closed the line; of pauses alone nothing else would tell it."""
    timeout = line.gettimeout()
    line.settimeout(0)
    try:
        return line.recv(1, socket.MSG_PEEK) == b""
    except BlockingIOError:
        return False
    finally:
        line.settimeout(timeout)


def _answers(told: bytes, address: str) -> dict[bytes, bytes]:
    """The whole answer by what is asked for, lines of heads as HTTP ends them."""
    bundle = a_bundle()
    filled = {
        b"{me}": address.encode(),
        b"{bundle}": bundle,
        b"{long}": b"%d" % len(bundle),
        b"{name}": f"{replica_in(bundle)}.platebook".encode(),
    }
    answers = {}
    for part in re.split(rb"(?m)^@", told)[1:]:
        kind, _, answer = part.partition(b"\n")
        head, _, body = answer.partition(b"\n\n")
        body = body.removesuffix(b"\n") if b"{bundle}" in body else body
        for sign, value in filled.items():
            head, body = head.replace(sign, value), body.replace(sign, value)
        answers[kind.strip()] = head.replace(b"\n", b"\r\n") + b"\r\n\r\n" + body
    return answers


_NOT_THERE = b"HTTP/1.1 404 Not Found\r\nContent-Length: 0\r\n\r\n"
_KEYS = {
    "AWS_ACCESS_KEY_ID": "bench-key",
    "AWS_SECRET_ACCESS_KEY": "hush-hush",
    "AWS_DEFAULT_REGION": "us-east-1",
    "AWS_EC2_METADATA_DISABLED": "true",
    "NO_PROXY": "127.0.0.1",
}


@contextlib.contextmanager
def an_environment(**words: str) -> Iterator[None]:
    """The system's words with these among them, as long as it lasts."""
    before = {name: os.environ.get(name) for name in words}
    os.environ.update(words)
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                del os.environ[name]
            else:
                os.environ[name] = value


def _shares(bench: Bench, data: bytes, *, kind: str) -> None:
    """A teacher shares through the place, twice; then the logbook is as whole as before."""
    server = _Server(data)
    place = f"{server.address}/thursday" if kind == "http" else "s3://school/thursday"
    words = {**_KEYS, "AWS_ENDPOINT_URL": server.address, "HOME": str(bench.folder)}
    with an_environment(**words), without_rests():
        try:
            bench.types("teacher", "use", TEACHER)
            for more in ((), ("--all",)):
                if "hush-hush" in bench.types("share", place, *more):
                    raise WrongAnswerError("a key in the answer")
            _no_longer_read(server)
        finally:
            server.end()
    if server.faults:
        raise WrongAnswerError(f"the fuzz's own server: {server.faults[0]}")
    bench.types("log", "--all")


@contextlib.contextmanager
def without_rests() -> Iterator[None]:
    """Who asks again does so at once and once, and nobody is waited for long.

    Rests are nine parts in ten of a try's time at a store, and what comes of it is the same.
    """
    quick: list[tuple[str, str, object]] = [
        ("webdav4.retry", "BACKOFF", 0.01),
        ("botocore.retryhandler", "delay_exponential", lambda **_: 0),
        ("platebook.services.sharing.places.openers", "READ_S", PATIENCE_S),
    ]
    with contextlib.ExitStack() as stack:
        for module, name, value in quick:
            if importlib.util.find_spec(module.partition(".")[0]) is not None:
                stack.enter_context(_as_long(importlib.import_module(module), name, value))
        if importlib.util.find_spec("s3fs") is not None:
            store = importlib.import_module("s3fs").S3FileSystem
            stack.enter_context(_as_long(store, "retries", 2))
        made = FarPlace.__init__
        patient = functools.partialmethod(made, patience_s=PATIENCE_S)
        stack.enter_context(_as_long(FarPlace, "__init__", patient))
        yield


@contextlib.contextmanager
def _as_long(whose: object, name: str, value: object) -> Iterator[None]:
    """This instead, as long as it lasts."""
    before = getattr(whose, name)
    setattr(whose, name, value)
    try:
        yield
    finally:
        setattr(whose, name, before)


def _no_longer_read(server: _Server) -> None:
    """WrongAnswerError where what is sent is read still after the command."""
    end = time.monotonic() + FINISHED_S
    while server.sending and time.monotonic() < end:
        time.sleep(0.05)
    if server.sending:
        raise WrongAnswerError("a request goes on once the command is done")
