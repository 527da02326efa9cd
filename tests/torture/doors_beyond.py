"""Doors that are no command: keys, what a browser sends, files of the app's own, far places."""

import asyncio
import contextlib
import functools
import json
import logging
import random
import shlex
import socket
import sys
import threading
import time
from collections.abc import Mapping
from pathlib import Path

from tests.torture.bending import ODD, bent, bent_json
from tests.torture.doors import HANG_S, Door
from tests.torture.doors_far import doors_far
from tests.torture.doors_ssh import doors_ssh
from tests.torture.typing_in import TEACHER, Bench, WrongAnswerError
from tests.tui.driving import settled
from textual._xterm_parser import XTermParser

from platebook.logbook.file.place import first_sight_file
from platebook.services.attempts.drafts import Drafts, Owner, forget_drafts
from platebook.services.session import session_at
from platebook.tui.app import BenchApp
from platebook.tui.bench_session import BenchSession
from platebook.tui.commands import COMMANDS
from platebook.tui.keys.command import KEY_NAMES
from platebook.tui.running.first_paint import FirstSight, Sight
from platebook.tui.running.settings import FILE_NAME, KeptSettings

LONGEST = 240
"""Characters that a terminal sends to the app for one try."""

AS_TEACHER = b"TEACHER "
"""Before what is sent where a teacher is in use."""

ANSWERED_S = 0.25

STAND_IN = (
    "import sys; sys.stdout.write('__GANGLION__\\n'); sys.stdout.flush()\n"
    "while data := sys.stdin.buffer.read1(65536):\n"
    "    if b'quit' in data: break"
)
"""In the place of a visit's app: it begins, listens, and ends when it is told to."""

_TYPED = (
    b"\r1\r2\r3\rg\r",
    b"\x1b[200~1.98\n2.01\n\x1b[201~\r",
    b"l/loose 1.98\r\x1b",
    b"\r+\x1b[200~a note \xe2\x80\xae [red]x[/] \x1b[201~\r",
    b"d+bur 2.1\r",
    b"w\x1b[200~Bo\tAnn\nCy\x1b[201~\r",
    b"p\x1b[<0;10;10M\x1b[<0;10;10m\x1b[<64;10;10M",
    b"?\x1b[B\x1b[B\x1b[6~f\x10find\r",
    b"i\x1b[200~/none/sheet.csv\x1b[201~\r",
    b"\x1b[8;24;80t\x1b[I\x1b[O\x1bOP\x1b[1;5A",
    AS_TEACHER + b"\x1bOQv\rs\r\x1b",
)
_NAMED = (
    "escape enter tab shift+tab backspace delete space comma up down right left home end pageup"
)
_SENT = dict(
    zip(
        (*_NAMED.split(), "pagedown", *(f"f{number}" for number in (*range(1, 11), 12))),
        (
            *("\x1b", "\r", "\t", "\x1b[Z", "\x7f", "\x1b[3~", " ", ","),
            *(f"\x1b[{sign}" for sign in ("A", "B", "C", "D", "H", "F", "5~", "6~")),
            *(f"\x1bO{sign}" for sign in "PQRS"),
            *(f"\x1b[{number}~" for number in (15, 17, 18, 19, 20, 21, 24)),
        ),
        strict=True,
    )
)
"""What a terminal sends for the keys that have a name."""
_ASKED = (
    b"GET / HTTP/1.1\r\n{as us}\r\n\r\n",
    b"GET /?key=guessed HTTP/1.1\r\nHost: localhost:{port}\r\nOrigin: http://x:{port}\r\n\r\n",
    b"GET /static/js/textual.js?x=1 HTTP/1.1\r\n{as us}\r\n\r\n",
    b"GET /download/x HTTP/1.1\r\n{as us}\r\nRange: bytes=0-5\r\n\r\n",
    b"POST /ws?width=80&height=24 HTTP/1.1\r\n{as us}\r\nContent-Length: 4\r\n\r\nabcd",
    (
        b'VISIT width=80&height=24\nt["stdin","1.98\\r"]\nt["resize",{"width":100,"height":30}]\n'
        b't["ping",{"a":1}]\nt["focus"]\nt["blur"]\nt["resize",{"width":1e999,"height":"9"}]'
    ),
    b'VISIT width=x&height=99999\nt["stdin","\\ud800"]\nb\x00\x01\nr\x89\x80aaaa\nt[]\nt{}',
)


def doors_beyond() -> Mapping[str, Door]:
    """These doors, with what is right for each."""
    made = (
        Door("pasted", ".bin", _TYPED, _into_the_app, bent_keys),
        Door("served", ".bin", _ASKED, _to_the_page),
        Door("settings", ".json", (b'{"colours": "dark", "rest": true}',), _settings, bent_json),
        Door(
            "draft", ".json", (b'{"setter_id": "a", "set_up": {"note": "n"}}',), _draft, bent_json
        ),
        Door("sight", ".json", (_a_sight(),), _sight, bent_json),
    )
    return {**{door.name: door for door in made}, **doors_far(), **doors_ssh()}


def bent_keys(data: bytes, rng: random.Random) -> bytes:
    """The same, and then keys that do something somewhere, with odd words, mouse and sizes."""
    if rng.random() < 0.2:
        return bent(data, rng)
    keys = sorted({key for command in COMMANDS for key in command.keys})
    out = data[: rng.randrange(len(data) + 1)] if rng.random() < 0.8 else data
    if rng.random() < 0.3:
        out = AS_TEACHER + out.removeprefix(AS_TEACHER)
    for _ in range(rng.randrange(4, 40)):
        draw, (column, row) = rng.random(), (rng.randrange(1, 100), rng.randrange(1, 30))
        if draw < 0.55:
            out += _sent_for(rng.choice(keys))
        elif draw < 0.75:
            out += rng.choice((b"\r", b"\r", b"\x1b", b"\t", *(b"%d" % n for n in range(10))))
        elif draw < 0.83:
            out += b"\x1b[200~" + rng.choice(ODD)[:60] + b"\x1b[201~"
        elif draw < 0.9:
            out += rng.choice(ODD)[:20]
        elif draw < 0.95:
            out += b"\x1b[<%d;%d;%d%s" % (rng.choice((0, 0, 2, 64, 65)), column, row, b"M")
        else:
            out += rng.choice(_TYPED).removeprefix(AS_TEACHER)
    return out


def _sent_for(key: str) -> bytes:
    if key.startswith("ctrl+"):
        return bytes((ord(key[-1]) & 31,))
    return _SENT.get(key, KEY_NAMES.get(key, key)).encode()


def _into_the_app(bench: Bench, data: bytes) -> None:
    """Send it as a terminal does, and let everything come to rest."""
    if data.startswith(AS_TEACHER):
        bench.types("teacher", "use", TEACHER)
    text = data.removeprefix(AS_TEACHER).decode("utf-8", "replace")[:LONGEST]
    asyncio.run(asyncio.wait_for(_sent(bench.logbook, text), 50))


async def _sent(logbook: Path, text: str) -> None:
    """Nothing is waited for between keys but their own messages: as who types ahead."""
    app = BenchApp(
        BenchSession(lambda: session_at(logbook)), sight=FirstSight(logbook), looks_after=True
    )
    parser = XTermParser()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settled(pilot)
        for event in parser.feed(text):
            if app._driver is None or app._exit:
                break
            app._driver.process_message(event)
            await pilot.pause(0)
        if not app._exit:
            await settled(pilot)


class _Listener(logging.Handler):
    """Hears what is logged as an error."""

    def __init__(self, complaints: list[str]) -> None:
        super().__init__(logging.ERROR)
        self.complaints = complaints

    def emit(self, record: logging.LogRecord) -> None:
        """Take it down: the exception where there is one."""
        said = record.exc_info[1] if record.exc_info else record.getMessage()
        self.complaints.append(repr(said)[:300])


class _Page:
    """A server for all tries of this process, and what it complained of."""

    def __init__(self) -> None:
        from aiohttp import web

        from platebook.serving.server import BenchServer

        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = int(free.getsockname()[1])
        self.complaints: list[str] = []
        self.cookie = b""
        server = BenchServer((), port=self.port, tell=lambda _: None, visits=50)
        server.command = f"exec {shlex.join((sys.executable, '-S', '-c', STAND_IN))}"
        key = server.door.address("127.0.0.1").rpartition("=")[2]
        ready = threading.Event()

        async def serve() -> None:
            runner = web.AppRunner(await server._make_app(), access_log=None)
            await runner.setup()
            await web.TCPSite(runner, "127.0.0.1", self.port).start()
            asyncio.get_running_loop().set_exception_handler(
                lambda _, said: self.complaints.append(repr(said.get("exception") or said)[:300])
            )
            ready.set()
            await asyncio.Event().wait()

        logging.getLogger().addHandler(_Listener(self.complaints))
        logging.getLogger("aiohttp.server").propagate = True
        threading.Thread(target=lambda: asyncio.run(serve()), daemon=True).start()
        ready.wait(30)
        head = f"GET /?key={key} HTTP/1.1\r\nHost: 127.0.0.1:{self.port}\r\n\r\n"
        answer = self.asks(head.encode())
        self.cookie = answer.partition(b"Set-Cookie: ")[2].partition(b";")[0]

    def asks(self, data: bytes, *, rest: bytes = b"") -> bytes:
        """What is answered to these bytes; after the head of an answer `rest` is sent.

        `{as us}` stands for the headers of a browser that was let in, once; `{as a page}` for those
        of a page that stays, `{port}` for the port. What is not answered at once is not waited for.
        """
        page = b"Host: 127.0.0.1:{port}\r\nCookie: " + self.cookie
        data = data.replace(b"{as us}", page + b"\r\nConnection: close")
        data = data.replace(b"{as a page}", page).replace(b"{port}", str(self.port).encode())
        with socket.create_connection(("127.0.0.1", self.port), timeout=HANG_S) as line:
            line.settimeout(ANSWERED_S)
            with contextlib.suppress(OSError):
                line.sendall(data)
                if rest:
                    line.recv(65536)
                    line.sendall(rest)
            answer = b""
            with contextlib.suppress(OSError):
                while more := line.recv(65536):
                    answer += more
            return answer


@functools.cache
def _page() -> _Page:
    return _Page()


def _to_the_page(bench: Bench, data: bytes) -> None:
    """Send it as a browser or any program of this machine does; then the page answers as before."""
    del bench
    page = _page()
    if data.startswith(b"VISIT "):
        head, *lines = data.split(b"\n")
        ask = head.removeprefix(b"VISIT ").replace(b"\r", b"").replace(b" ", b"%20")
        page.asks(_CALL.replace(b"{ask}", ask), rest=b"".join(map(_frame, lines)) + _CLOSED)
    else:
        page.asks(data)
    began = time.monotonic()
    answer = page.asks(_ASKED[0]) or page.asks(_ASKED[0])
    complaints, page.complaints = page.complaints, []
    if complaints:
        raise WrongAnswerError(f"the server complains: {complaints[0]}")
    if not answer.startswith(b"HTTP/1.1 200"):
        raise WrongAnswerError(f"the page is not there afterwards: {answer[:60]!r}")
    if time.monotonic() - began > HANG_S * 4:
        raise WrongAnswerError("the page is slow afterwards")


_CALL = (
    b"GET /ws?{ask} HTTP/1.1\r\n{as a page}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n"
    b"Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: MDEyMzQ1Njc4OWFiY2RlZg==\r\n\r\n"
)
_CLOSED = b"\x88\x82\x00\x00\x00\x00\x03\xe8"
"""The frame with which a browser leaves."""

_KINDS = {b"t": 0x81, b"b": 0x82, b"c": 0x88}


def _frame(line: bytes) -> bytes:
    """A line as a frame of a browser (RFC 6455, section 5.2); "r" sends the bytes as they are."""
    kind, said = line[:1], line[1:]
    if kind == b"r":
        return said
    size = len(said)
    if size < 126:
        head = bytes((0x80 | size,))
    elif size < 2**16:
        head = b"\xfe" + size.to_bytes(2, "big")
    else:
        head = b"\xff" + size.to_bytes(8, "big")
    return bytes((_KINDS.get(kind, 0x81),)) + head + bytes(4) + said


def _settings(bench: Bench, data: bytes) -> None:
    """The file that keeps what is set for the screens."""
    file = bench.folder / FILE_NAME
    file.write_bytes(data)
    kept = KeptSettings(file)
    kept.keep(kept.now)


def _draft(bench: Bench, data: bytes) -> None:
    """A draft that a killed program left."""
    drafts = Drafts.beside(bench.logbook, Owner("a", "Ada"))
    drafts.folder.mkdir(parents=True, exist_ok=True)
    (drafts.folder / "00.draft.json").write_bytes(data)
    for file in drafts.folder.glob("*"):
        file.write_bytes(data)
    drafts.load()
    drafts.waiting_for_others()
    forget_drafts(bench.logbook, ["Zephyrine"])


def _a_sight() -> bytes:
    parts = {"who": ["Ada Quill", [[0, 3, "bold"]]]}
    return json.dumps({"mark": "{mark}", "who": "Ada", "invented": False, "parts": parts}).encode()


def _sight(bench: Bench, data: bytes) -> None:
    """The words that Now showed last."""
    file, sight = first_sight_file(bench.logbook), FirstSight(bench.logbook)
    mark = json.dumps(sight.mark())[1:-1].encode()
    file.parent.mkdir(exist_ok=True)
    file.write_bytes(data.replace(b"{mark}", mark))
    last = sight.last()
    if isinstance(last, Sight):
        for words in last.parts.values():
            str(words.markup)
