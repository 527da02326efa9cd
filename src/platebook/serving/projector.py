"""A class on a projector: one page behind the door, which only reads and starts no app."""

import asyncio
import hashlib
from collections.abc import Callable
from pathlib import Path

from aiohttp import web

from platebook.services.pages.projector import ClassOnWall, Stamp
from platebook.services.progress_callback import Watch, unwatched
from platebook.services.session import LogbookUnusable, Refused
from platebook.serving.connections import CountedConnections
from platebook.serving.door import Door, say_nothing_of_bad_requests, say_what_is_allowed
from platebook.serving.server import (
    ANY_HOST,
    END_S,
    HOST,
    address_on_the_network,
    end_with_the_terminal,
)

SCRIPT = Path(__file__).parent / "page" / "projector.js"


class ProjectorServer:
    """Gives out the page of a class, made anew after a change in the logbook.

    `tell` hears each address that lets a browser in. With `network` others in the room reach it,
    with the key.
    """

    def __init__(
        self, wall: ClassOnWall, *, port: int, tell: Callable[[str], None], network: bool = False
    ) -> None:
        self.host = ANY_HOST if network else HOST
        self.port = port
        self.seen_at = address_on_the_network() if network else HOST
        self.door = Door(port, lambda host: tell(self.door.address(host)), network=network)
        self.tell = tell
        self._wall = wall
        self._making = asyncio.Lock()
        self._seen: Stamp | None = None
        self._page = ""
        self._trouble = ""

    def app(self) -> web.Application:
        """The page, its mark and its script; nothing can be sent to it."""
        app = web.Application(middlewares=[self.door.watch])
        app.router.add_get("/", self._give_page)
        app.router.add_get("/mark", self._give_mark)
        app.router.add_get("/projector.js", _give_script)
        app.on_response_prepare.append(say_what_is_allowed)
        app.on_startup.append(end_with_the_terminal)
        return app

    def begin(self, watch: Watch) -> None:
        """Make the page a first time, which may take long; Refused for an unknown class."""
        self._make(self._wall.stamp(), watch)

    def run(self) -> None:
        """Serve until Ctrl+C. OSError where the port is taken."""
        say_nothing_of_bad_requests()
        connections = CountedConnections(self.host, self.port)
        app = self.app()
        app.middlewares.insert(0, connections.watch)
        web.run_app(
            app,
            sock=connections,
            access_log=None,
            shutdown_timeout=END_S,
            print=lambda *_: self.tell(self.door.address(self.seen_at)),
        )

    def _make(self, stamp: Stamp, watch: Watch = unwatched) -> None:
        # Taken before the page is made: what is logged meanwhile is a change to be shown yet.
        self._page, self._seen, self._trouble = self._wall.page(watch), stamp, ""

    async def _look(self) -> None:
        """Make the page anew where something was logged; what cannot be read is said, and stays."""
        async with self._making:
            stamp = self._wall.stamp()
            if stamp == self._seen:
                return
            try:
                await asyncio.to_thread(self._make, stamp)
            except (LogbookUnusable, Refused) as error:
                self._trouble = f"This is how it last was: {error.sentence}"

    def _mark(self) -> str:
        return hashlib.sha256(self._page.encode("utf-8")).hexdigest()

    async def _give_page(self, request: web.Request) -> web.Response:
        del request
        await self._look()
        page = self._page.replace("<body>", f'<body data-mark="{self._mark()}">', 1)
        return web.Response(text=page, content_type="text/html")

    async def _give_mark(self, request: web.Request) -> web.Response:
        """What is other for another page, and a sentence on what is wrong, each on its line."""
        del request
        await self._look()
        return web.Response(text=f"{self._mark()}\n{' '.join(self._trouble.split())}")


async def _give_script(request: web.Request) -> web.StreamResponse:
    del request
    return web.FileResponse(SCRIPT)
