"""Connections to the server: so many an address, and none for long on which nothing is asked."""

import contextlib
import socket
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from aiohttp import ClientSession, web

    from platebook.serving.connections import (
        MOST_CONNECTIONS,
        SILENT_S,
        Connection,
        CountedConnections,
    )
else:
    pytest.importorskip("textual_serve", reason="the extra `serve` is not installed")
    from aiohttp import ClientSession, web

    from platebook.serving.connections import (
        MOST_CONNECTIONS,
        SILENT_S,
        Connection,
        CountedConnections,
    )


@pytest.fixture
def connections() -> Iterator[CountedConnections]:
    """A socket at any port that is free."""
    with CountedConnections("127.0.0.1", 0) as listening:
        yield listening


def test_one_too_many_is_closed_and_makes_room_once_it_was_silent_for_long(
    connections: CountedConnections,
) -> None:
    """Whoever holds connections and asks nothing holds them no longer than that."""
    connections.settimeout(5)
    with contextlib.ExitStack() as theirs, contextlib.ExitStack() as ours:

        def come_in() -> Connection:
            theirs.enter_context(socket.create_connection(connections.getsockname(), timeout=5))
            connection, _ = connections.accept()
            assert isinstance(connection, Connection)
            return ours.enter_context(connection)

        taken = [come_in() for _ in range(MOST_CONNECTIONS)]
        with pytest.raises(BlockingIOError):
            come_in()
        taken[0].heard = True
        for connection in taken:
            connection.since -= SILENT_S + 1
        come_in()
        assert [connection in connections.taken for connection in taken] == [
            True,
            *[False] * (MOST_CONNECTIONS - 1),
        ]


async def test_a_connection_on_which_a_page_was_asked_for_is_heard(
    connections: CountedConnections,
) -> None:
    """Another one beside it is not."""

    async def page(request: web.Request) -> web.Response:
        del request
        return web.Response(text="a page")

    app = web.Application(middlewares=[connections.watch])
    app.router.add_get("/", page)
    runner = web.AppRunner(app)
    await runner.setup()
    await web.SockSite(runner, connections).start()
    host, port = connections.getsockname()
    with socket.create_connection((host, port), timeout=5):
        async with ClientSession() as browser, browser.get(f"http://{host}:{port}/") as answer:
            said = await answer.text()
            assert (said, sorted(one.heard for one in connections.open_connections())) == (
                "a page",
                [False, True],
            )
    await runner.cleanup()
