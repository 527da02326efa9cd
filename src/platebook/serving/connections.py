"""How many connections may be open to a server, and for how long one may say nothing.

Neither aiohttp nor asyncio ends one on which a request never ends, and a server that has no
room for one more answers nobody and fills its terminal. So connections are counted as they are
taken, by where they come from, and one whose first request is not there in time is let go as soon
as another comes. On Windows asyncio takes them by a way of its own, which counts none.
"""

import contextlib
import os
import socket
import time
import weakref
from typing import Any

from aiohttp import web
from aiohttp.typedefs import Handler

MOST_CONNECTIONS = 48
"""Connections from one address: a page takes a handful, and each visit one."""

SILENT_S = 10.0
"""How long a connection may be open without a whole request."""

WAITING = 100
"""Connections that the system holds until they are taken."""


class Connection(socket.socket):
    """A connection that was taken: from where, since when, and whether a request came on it."""

    address = ""
    since = 0.0
    heard = False


class CountedConnections(socket.socket):
    """A listening socket: so many connections an address, and silent ones are let go."""

    def __init__(self, host: str, port: int) -> None:
        """OSError where the port cannot be had."""
        super().__init__(socket.AF_INET, socket.SOCK_STREAM)
        self.taken: weakref.WeakSet[Connection] = weakref.WeakSet()
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
        """The next connection; BlockingIOError for one that is one too many, which is closed."""
        taken, address = super().accept()
        connection = Connection(fileno=taken.detach())
        connection.address, connection.since = str(address[0]), time.monotonic()
        self.let_go_of_silent()
        beside = [one for one in self.open_connections() if one.address == connection.address]
        if len(beside) >= MOST_CONNECTIONS:
            connection.close()
            raise BlockingIOError
        self.taken.add(connection)
        return connection, address

    def open_connections(self) -> list[Connection]:
        """Connections that are not closed."""
        return [connection for connection in self.taken if connection.fileno() >= 0]

    def let_go_of_silent(self) -> None:
        """End those on which no request came in time; who serves them learns it by their end."""
        latest = time.monotonic() - SILENT_S
        for connection in self.open_connections():
            if not connection.heard and connection.since < latest:
                self.taken.discard(connection)
                with contextlib.suppress(OSError):
                    connection.shutdown(socket.SHUT_RDWR)

    @web.middleware
    async def watch(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        """A whole request came: its connection is let go no more."""
        said_on = request.transport and request.transport.get_extra_info("socket")
        for connection in self.open_connections():
            if said_on and connection.fileno() == said_on.fileno():
                connection.heard = True
        return await handler(request)
