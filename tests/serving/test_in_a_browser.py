"""The app in a browser: a page at this machine only, and an attempt that lands in the logbook."""

import json
import os
import socket
import subprocess
import sys
from collections.abc import Iterator
from http.client import HTTPConnection
from pathlib import Path

import pytest
from tests.browser import Browser, missing
from tests.patience import PATIENCE

pytest.importorskip("textual_serve", reason="the extra `serve` is not installed")

PROGRAM = (sys.executable, "-m", "platebook")


class Bench:
    """A served logbook in a folder of its own."""

    def __init__(self, folder: Path) -> None:
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
            [*PROGRAM, "serve", "--port", str(self.port)],
            env=self.environment,
            stderr=subprocess.PIPE,
            text=True,
        )
        assert self.process.stderr is not None
        self.said = self.process.stderr.readline()

    @property
    def address(self) -> str:
        """Where the page is."""
        return f"http://127.0.0.1:{self.port}"

    def status(self, path: str, **headers: str) -> int:
        """What the server answers to one request with these headers."""
        connection = HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        connection.request("GET", path, headers=headers)
        answer = connection.getresponse().status
        connection.close()
        return answer

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
    assert bench.status("/") == 200


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
    at_home = (bench.address, bench.address.replace("http", "ws"))
    assert over_a_network != []
    assert [address for address in over_a_network if not address.startswith(at_home)] == []
