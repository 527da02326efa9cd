"""The app in a browser: our own page, and one process a visit, which ends with the visit.

The page is told what it may load, whoever comes in passes the door (`serving.door`), and there are
no more visits at once than was said.
"""

import asyncio
import contextlib
import os
import shlex
import signal
import socket
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import aiohttp_jinja2
from aiohttp import WSMsgType, web
from aiohttp.web_runner import GracefulExit
from textual_serve.app_service import AppService
from textual_serve.server import Server

from platebook.practice.text import json_in
from platebook.serving.connections import CountedConnections
from platebook.serving.door import Door, say_nothing_of_bad_requests, say_what_is_allowed

HOST = "127.0.0.1"
ANY_HOST = "0.0.0.0"  # noqa: S104 - only where --network asks for it
FULL = "There are as many visits as were allowed: {limit} (--visits). Leave one, then come again.\n"
LARGEST_MESSAGE = 2**18
"""Bytes of one message of the page: pasted text is far smaller."""

END_S = 5.0
"""Seconds that the app of a visit has to end by itself."""

_WIDTHS, _HEIGHTS = (20, 500), (8, 300)


def app_command(arguments: Sequence[str]) -> str:
    """The shell command that starts the app with these arguments."""
    words = (sys.executable, "-m", "platebook", *arguments)
    if os.name == "nt":
        return subprocess.list2cmdline(words)
    # Without `exec` the shell would stand between the page and the app, and end alone.
    return f"exec {shlex.join(words)}"


def address_on_the_network() -> str:
    """This machine's address for others in the room; that of this machine alone where it has none.

    Nothing is sent: the system is asked which of its addresses it would send from.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect(("192.0.2.1", 9))
            return str(asked.getsockname()[0])
        except OSError:
            return HOST


class Visit(AppService):
    """The app of one visit; it is ended with the visit, whatever it is doing."""

    async def stop(self) -> None:
        """Ask it to end, and end it where it does not."""
        try:
            await asyncio.wait_for(super().stop(), END_S)
        except (TimeoutError, OSError):
            pass
        finally:
            process = self._process
            if process is not None and process.returncode is None:
                with contextlib.suppress(ProcessLookupError):
                    process.kill()
                await process.wait()


class BenchServer(Server):
    """Gives out the page and starts one app for each visit, at most `visits` at once.

    `tell` hears each address that lets a browser in: the first when it answers, the next when one
    was used. With `network` others in the room reach it, with the key.
    """

    def __init__(
        self,
        arguments: Sequence[str],
        *,
        port: int,
        tell: Callable[[str], None],
        visits: int = 4,
        network: bool = False,
    ) -> None:
        super().__init__(
            app_command(arguments),
            host=ANY_HOST if network else HOST,
            port=port,
            title="platebook",
            templates_path=Path(__file__).parent / "page",
        )
        self.seen_at = address_on_the_network() if network else HOST
        self.door = Door(port, lambda host: tell(self.door.address(host)), network=network)
        self.tell = tell
        self.limit = visits
        self._visits: set[web.WebSocketResponse] = set()
        self._connections: CountedConnections | None = None

    async def on_startup(self, app: web.Application) -> None:
        """Let a closed terminal end it as Ctrl+C does."""
        await end_with_the_terminal(app)

    async def on_shutdown(self, app: web.Application) -> None:
        """Close every visit, and with it its app."""
        del app
        for visit in tuple(self._visits):
            await visit.close(code=1001, message=b"platebook serve has ended")

    async def _make_app(self) -> web.Application:
        app = await super()._make_app()
        if self._connections is not None:
            app.middlewares.append(self._connections.watch)
        app.middlewares.append(self.door.watch)
        app.on_response_prepare.append(say_what_is_allowed)
        return app

    @aiohttp_jinja2.template("app_index.html")
    async def handle_index(self, request: web.Request) -> dict[str, Any]:
        """The page; its addresses are those by which the browser reached it."""
        self._refuse_too_many()
        return {"name": self.title, "websocket": f"ws://{request.host}/ws", "font_size": 16}

    def _refuse_too_many(self) -> None:
        if len(self._visits) >= self.limit:
            raise web.HTTPServiceUnavailable(text=FULL.format(limit=self.limit))

    async def handle_websocket(self, request: web.Request) -> web.WebSocketResponse:
        """One visit, from the page's call until either side ends it."""
        self._refuse_too_many()
        socket_ = web.WebSocketResponse(heartbeat=15, max_msg_size=LARGEST_MESSAGE)
        self._visits.add(socket_)

        async def close() -> None:
            await socket_.close()

        try:
            await socket_.prepare(request)
            visit = Visit(
                self.command,
                write_bytes=socket_.send_bytes,
                write_str=socket_.send_str,
                close=close,
                download_manager=self.download_manager,
            )
            await visit.start(
                _within(request.query.get("width"), 80, _WIDTHS),
                _within(request.query.get("height"), 24, _HEIGHTS),
            )
            try:
                await self._process_messages(socket_, visit)
            finally:
                await visit.stop()
        finally:
            self._visits.discard(socket_)
        return socket_

    async def _process_messages(
        self, websocket: web.WebSocketResponse, app_service: AppService
    ) -> None:
        """Hand on what the page says; what no page of ours says ends the visit."""
        async for message in websocket:
            try:
                kind, said = _said(message)
            except (ValueError, TypeError, KeyError, OverflowError):
                await websocket.close(code=1003, message=b"not understood")
                return
            match kind:
                case "stdin":
                    await app_service.send_bytes(said.encode("utf-8", "replace"))
                case "resize":
                    width = _within(said["width"], 80, _WIDTHS)
                    height = _within(said["height"], 24, _HEIGHTS)
                    await app_service.set_terminal_size(width, height)
                case "ping":
                    await websocket.send_json(["pong", said])
                case "blur":
                    await app_service.blur()
                case "focus":
                    await app_service.focus()

    def run(self) -> None:
        """Serve until Ctrl+C. OSError where the port is taken."""
        say_nothing_of_bad_requests()
        self._connections = CountedConnections(self.host, self.port)
        web.run_app(
            self._make_app(),
            sock=self._connections,
            access_log=None,
            shutdown_timeout=END_S,
            print=lambda *_: self.tell(self.door.address(self.seen_at)),
        )


async def end_with_the_terminal(app: web.Application) -> None:
    """Let a closed terminal end the server as Ctrl+C does."""
    del app
    if hasattr(signal, "SIGHUP"):
        with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
            asyncio.get_running_loop().add_signal_handler(signal.SIGHUP, _end)


def _end() -> None:
    raise GracefulExit


def _said(message: Any) -> tuple[str, Any]:
    """What a message of the page says and of what.

    ValueError, TypeError, KeyError or OverflowError for what no page of ours says.
    """
    if message.type is not WSMsgType.TEXT:
        raise ValueError(message.type)
    envelope: Any = json_in(message.data)
    if not isinstance(envelope, list) or not envelope:
        raise TypeError(type(envelope))
    kind: Any = envelope[0]
    said: Any = envelope[1] if len(envelope) > 1 else None
    if kind == "stdin" and not isinstance(said, str):
        raise TypeError(type(said))
    if kind == "resize":
        said = {name: int(said[name]) for name in ("width", "height")}
    return str(kind), said


def _within(number: str | int | None, usual: int, range_: tuple[int, int]) -> int:
    """The number, within what a screen has; the usual one where it is none."""
    lowest, highest = range_
    try:
        return min(max(int(usual if number is None else number), lowest), highest)
    except ValueError:
        return usual
