"""The server: our own page, nothing fetched from elsewhere, no address but this machine's."""

import os
import shlex
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from aiohttp import web
from textual_serve.server import Server

from platebook.serving.door import door

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
