"""The app in a browser: a page at this machine only, and an attempt that lands in the logbook."""

import asyncio
import json
import os
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from http.client import HTTPConnection
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from tests.browser import Browser, missing
from tests.patience import PATIENCE

if TYPE_CHECKING:
    from aiohttp import ClientSession, ClientWebSocketResponse, WSServerHandshakeError
else:
    pytest.importorskip("textual_serve", reason="the extra `serve` is not installed")
    from aiohttp import ClientSession, ClientWebSocketResponse, WSServerHandshakeError

PROGRAM = (sys.executable, "-m", "platebook")


class Bench:
    """A served logbook in a folder of its own."""

    def __init__(self, folder: Path, *options: str) -> None:
        self.environment = {
            **os.environ,
            "HOME": str(folder),
            "PLATEBOOK_LOGBOOK": str(folder / "logbook.sqlite"),
            "TZ": "Europe/Lisbon",
        }
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port: int = free.getsockname()[1]
        self.process = subprocess.Popen(
            [*PROGRAM, "serve", "--port", str(self.port), *options],
            env=self.environment,
            stderr=subprocess.PIPE,
            text=True,
        )
        assert self.process.stderr is not None
        self.said = self.process.stderr.readline()
        self.process.stderr.readline()

    @property
    def site(self) -> str:
        """Where the page is."""
        return f"http://127.0.0.1:{self.port}"

    @property
    def address(self) -> str:
        """The address that was said, with the key."""
        return self.said.split()[4]

    def status(self, path: str, **headers: str) -> int:
        """What the server answers to one request with these headers."""
        connection = HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        connection.request("GET", path, headers=headers)
        answer = connection.getresponse().status
        connection.close()
        return answer

    def answer(self, request: bytes) -> bytes:
        """What the server answers to these very bytes."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=PATIENCE) as connection:
            connection.sendall(request)
            return connection.recv(200)

    def come_in(self) -> str:
        """Use the key; gives the cookie that lets one in from then on."""
        connection = HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        connection.request("GET", self.address.removeprefix(self.site))
        cookie = connection.getresponse().headers["Set-Cookie"].partition(";")[0]
        connection.close()
        return cookie

    def attempts(self) -> list[dict[str, object]]:
        """The attempts in the logbook, by a command beside the server."""
        done = subprocess.run(
            [*PROGRAM, "log", "--json"],
            env=self.environment,
            capture_output=True,
            text=True,
            check=True,
            timeout=PATIENCE,
        )
        found: list[dict[str, object]] = json.loads(done.stdout)["attempts"]
        return found

    def close(self) -> None:
        """Ctrl+C, and wait for the end."""
        self.process.terminate()
        self.process.communicate(timeout=PATIENCE)


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    """A served logbook that does not exist yet."""
    served = Bench(tmp_path)
    yield served
    served.close()


def test_the_address_is_this_machine_and_is_said(bench: Bench) -> None:
    """The command says where the app is, on this machine only."""
    assert bench.said == f"The app is at {bench.address} until Ctrl+C.\n"
    assert bench.address.startswith(f"{bench.site}/?key=")
    assert bench.status("/") == 403
    assert bench.status("/", Cookie=bench.come_in()) == 200


def test_pages_from_elsewhere_are_not_let_in(bench: Bench) -> None:
    """A foreign page (Origin, RFC 6454) or a foreign name for this machine (Host) gets 403.

    WebSockets are not held back by a browser's same-origin policy (RFC 6455, section 10.2), so
    the server has to look.
    """
    assert bench.status("/ws", Origin="http://elsewhere.example") == 403
    assert bench.status("/", Host=f"elsewhere.example:{bench.port}") == 403
    assert bench.status("/", Host="127.0.0.1") == 403


def test_a_port_in_use_is_named(bench: Bench) -> None:
    """A second server at the port says so in a sentence and ends with 2."""
    second = subprocess.run(
        [*PROGRAM, "serve", "--port", str(bench.port)],
        env=bench.environment,
        capture_output=True,
        text=True,
        check=False,
        timeout=PATIENCE,
    )
    expected = (
        f"port: read {bench.port}, which another program uses. "
        f"Expected a free one, such as --port {bench.port + 1}.\n"
    )
    assert (second.returncode, second.stderr) == (2, expected)


async def a_visit(bench: Bench, session: ClientSession, cookie: str) -> ClientWebSocketResponse:
    """One visit as the page makes it, once its app has drawn something."""
    visit = await session.ws_connect(
        f"{bench.site}/ws?width=80&height=24", headers={"Cookie": cookie, "Origin": bench.site}
    )
    await asyncio.wait_for(visit.receive_bytes(), PATIENCE)
    return visit


def apps_of(logbook: str) -> list[int]:
    """The processes of the app whose environment names this logbook, but for the server."""
    wanted = f"PLATEBOOK_LOGBOOK={logbook}".encode()
    running = []
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            variables = (folder / "environ").read_bytes().split(b"\0")
        except OSError:
            continue
        if wanted in variables and any(v.startswith(b"TEXTUAL_DRIVER=") for v in variables):
            running.append(int(folder.name))
    return running


async def no_app_left(bench: Bench) -> bool:
    """Whether every app that was started has ended, looked at until it has."""
    for _ in range(int(PATIENCE * 10)):
        if not apps_of(bench.environment["PLATEBOOK_LOGBOOK"]):
            return True
        await asyncio.sleep(0.1)
    return False


async def has_room(bench: Bench, cookie: str) -> bool:
    """Whether another visit is let in, looked at until one is."""
    for _ in range(int(PATIENCE * 10)):
        if bench.status("/", Cookie=cookie) == 200:
            return True
        await asyncio.sleep(0.1)
    return False


async def test_there_are_no_more_visits_than_allowed(tmp_path: Path) -> None:
    """The next one is told so (503), and comes in when one has left."""
    bench = Bench(tmp_path, "--visits", "1")
    try:
        cookie = bench.come_in()
        async with ClientSession() as session:
            first = await a_visit(bench, session, cookie)
            assert bench.status("/", Cookie=cookie) == 503
            with pytest.raises(WSServerHandshakeError) as refused:
                await a_visit(bench, session, cookie)
            assert refused.value.status == 503
            await first.close()
            assert await no_app_left(bench)
            assert await has_room(bench, cookie)
            second = await a_visit(bench, session, cookie)
            await second.close()
    finally:
        bench.close()


TOO_WIDE = '["resize", {"width": 1e999, "height": 24}]'
NOT_OURS = (TOO_WIDE, "{}", "[]", '["stdin", 5]', '["resize", {"width": "x"}]', "[" * 5000)


async def test_a_message_that_no_page_of_ours_sends_ends_the_visit(bench: Bench) -> None:
    """Closed as not understood (RFC 6455, section 7.4.1: 1003), each alone; nothing is traced."""
    cookie = bench.come_in()
    codes = {}
    async with ClientSession() as session:
        for text in NOT_OURS:
            assert await has_room(bench, cookie)
            visit = await a_visit(bench, session, cookie)
            await visit.send_str(text)
            while not visit.closed:
                await asyncio.wait_for(visit.receive(), PATIENCE)
            codes[text] = visit.close_code
    assert codes == dict.fromkeys(NOT_OURS, 1003)
    assert await no_app_left(bench)
    assert bench.answer(b"GET /?key=\xff%ff HTTP/1.1\r\n\r\n").startswith(b"HTTP/1.0 400")
    bench.process.terminate()
    _, said = bench.process.communicate(timeout=PATIENCE)
    assert "Error" not in said


@pytest.mark.skipif(sys.platform != "linux", reason="reads /proc")
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGKILL])
async def test_no_app_outlives_its_server(number: signal.Signals, bench: Bench) -> None:
    """However the server ends: Ctrl+C, a closed terminal, or killed at once."""
    cookie = bench.come_in()
    async with ClientSession() as session:
        await a_visit(bench, session, cookie)
        assert len(apps_of(bench.environment["PLATEBOOK_LOGBOOK"])) == 1
        bench.process.send_signal(number)
        bench.process.wait(PATIENCE)
        assert await no_app_left(bench)


async def test_on_the_network_the_key_is_asked_for_too(tmp_path: Path) -> None:
    """Reached by another of the machine's addresses: with the key 303, without 403."""
    bench = Bench(tmp_path, "--network")
    try:
        elsewhere = f"192.168.4.20:{bench.port}"
        asked = "/?" + bench.address.partition("?")[2]
        assert bench.status("/", Host=elsewhere) == 403
        assert bench.status("/", Host=f"bench.example:{bench.port}") == 403
        assert bench.status(asked, Host=elsewhere) == 303
    finally:
        bench.close()


@pytest.mark.slow
@pytest.mark.skipif(bool(missing()), reason=missing())
def test_an_attempt_logged_in_the_browser_is_in_the_logbook(bench: Bench, tmp_path: Path) -> None:
    """First start, one attempt by keyboard, and the logbook has it; nothing is asked elsewhere."""
    page = Browser(tmp_path)
    try:
        page.open(bench.address)
        page.wait_for(lambda text: "Who is at the bench?" in text)
        page.type("Wren Calder\r")
        page.wait_for(lambda text: "Who prepares seats" in text)
        page.type("\r")
        page.wait_for(lambda text: "Which course?" in text)
        page.type("\r")
        page.wait_for(lambda text: "in your drawer?" in text)
        page.type("\r")
        page.wait_for(lambda text: "Enter start" in text)
        page.type("\r")
        page.wait_for(lambda text: "Enter go on" in text)
        page.type("\r" * 12)
        page.wait_for(lambda text: "How did it come out?" in text)
        page.type("0\r")
        page.wait_for(lambda text: "Saved: good" in text)
        (attempt,) = bench.attempts()
        assert (attempt["setter"], attempt["result"]) == ("Wren Calder", "good")
        assert page.complaints() == []
    finally:
        page.close()
    over_a_network = [a for a in page.asked if a.startswith(("http", "ws"))]
    at_home = (bench.site, bench.site.replace("http", "ws"))
    assert over_a_network != []
    assert [address for address in over_a_network if not address.startswith(at_home)] == []
