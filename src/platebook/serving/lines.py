"""How many lines may be open to a server, and for how long one may say nothing.

Neither aiohttp nor asyncio ends a line on which a request never ends, and a server that has no room
for one more line answers nobody and fills its terminal. So lines are counted as they are taken, by
where they come from, and one whose first request is not there in time is let go as soon as another
comes. On Windows asyncio takes lines by a way of its own, which counts none.
"""

import contextlib
import os
import socket
import time
import weakref
from typing import Any

from aiohttp import web
from aiohttp.typedefs import Handler

MOST_LINES = 48
"""Lines from one address: a page takes a handful, and each visit one."""

SILENT_S = 10.0
"""How long a line may be open without a whole request."""

WAITING = 100
"""Lines that the system holds until they are taken."""


class Line(socket.socket):
    """A line that was taken: from where, since when, and whether a request came on it."""

    address = ""
    since = 0.0
    heard = False


class CountedLines(socket.socket):
    """A listening socket that takes so many lines from an address and lets silent ones go."""

    def __init__(self, host: str, port: int) -> None:
        """OSError where the port cannot be had."""
        super().__init__(socket.AF_INET, socket.SOCK_STREAM)
        self.taken: weakref.WeakSet[Line] = weakref.WeakSet()
        try:
            if os.name == "posix":  # elsewhere it would let another program take the port too
                self.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            self.bind((host, port))
            self.listen(WAITING)
            self.settimeout(0)
        except OSError:
            self.close()
            raise

    def accept(self) -> tuple[socket.socket, Any]:
        """The next line; BlockingIOError for one that is one too many, which is closed."""
        taken, address = super().accept()
        line = Line(fileno=taken.detach())
        line.address, line.since = str(address[0]), time.monotonic()
        self.let_go_of_silent()
        if sum(one.address == line.address for one in self.open_lines()) >= MOST_LINES:
            line.close()
            raise BlockingIOError
        self.taken.add(line)
        return line, address

    def open_lines(self) -> list[Line]:
        """Lines that are not closed."""
        return [line for line in self.taken if line.fileno() >= 0]

    def let_go_of_silent(self) -> None:
        """End lines on which no request came in time; who serves them learns it by their end."""
        latest = time.monotonic() - SILENT_S
        for line in self.open_lines():
            if not line.heard and line.since < latest:
                self.taken.discard(line)
                with contextlib.suppress(OSError):
                    line.shutdown(socket.SHUT_RDWR)

    @web.middleware
    async def watch(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        """A whole request came: its line is let go no more."""
        said_on = request.transport and request.transport.get_extra_info("socket")
        for line in self.open_lines():
            if said_on and line.fileno() == said_on.fileno():
                line.heard = True
        return await handler(request)
