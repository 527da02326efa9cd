"""The app in a browser of this machine: who may come in, and our own page, one process a visit.

A page of another site that is open in the same browser can send requests here too. It says where it
comes from (`Origin`, RFC 6454), and a name that someone pointed at this machine stands in `Host`
(RFC 9110, section 7.2): both have to be this server's own.
"""

import os
import shlex
import subprocess
import sys
from collections.abc import Callable, Sequence
from http import HTTPStatus
from pathlib import Path
from urllib.parse import urlsplit

from aiohttp import web
from aiohttp.typedefs import Handler, Middleware
from textual_serve.server import Server

HERE = ("127.0.0.1", "localhost")

STRANGER = "This page answers only to the browser of the machine it runs on.\n"


def own_name(host: str, port: int) -> bool:
    """Whether `host`, as a browser sends it, is this machine at this port."""
    return host in {f"{name}:{port}" for name in HERE}


def own_origin(origin: str, port: int) -> bool:
    """Whether the page that asks was given out by this server."""
    parts = urlsplit(origin)
    return parts.scheme == "http" and own_name(parts.netloc, port)


def door(port: int) -> Middleware:
    """What every request passes: 403 for one that comes from elsewhere."""

    @web.middleware
    async def watch(request: web.Request, handler: Handler) -> web.StreamResponse:
        origin = request.headers.get("Origin")
        known = own_name(request.host, port) and (origin is None or own_origin(origin, port))
        if not known:
            return web.Response(status=HTTPStatus.FORBIDDEN, text=STRANGER)
        return await handler(request)

    return watch


HOST = "127.0.0.1"


def app_command(arguments: Sequence[str]) -> str:
    """The shell command that starts the app with these arguments."""
    words = (sys.executable, "-m", "platebook", *arguments)
    if os.name == "nt":
        return subprocess.list2cmdline(words)
    # Without `exec` the shell would stand between the page and the app, and end alone.
    return f"exec {shlex.join(words)}"


class BenchServer(Server):
    """Gives out the page and starts one app for each visit; `tell` hears the address once."""

    def __init__(self, arguments: Sequence[str], *, port: int, tell: Callable[[str], None]) -> None:
        super().__init__(
            app_command(arguments),
            host=HOST,
            port=port,
            title="platebook",
            templates_path=Path(__file__).parent / "page",
        )
        self.tell = tell

    async def on_startup(self, app: web.Application) -> None:
        """Nothing is said before the address answers."""

    async def _make_app(self) -> web.Application:
        app = await super()._make_app()
        app.middlewares.append(door(self.port))
        return app

    def run(self) -> None:
        """Serve until Ctrl+C. OSError where the port is taken."""
        web.run_app(
            self._make_app(),
            host=HOST,
            port=self.port,
            access_log=None,
            print=lambda *_: self.tell(self.public_url),
        )
