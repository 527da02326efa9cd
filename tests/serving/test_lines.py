"""Lines to the server: so many from one address, and none for long on which nothing is asked."""

import contextlib
import socket
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from aiohttp import ClientSession, web

    from platebook.serving.lines import MOST_LINES, SILENT_S, CountedLines, Line
else:
    pytest.importorskip("textual_serve", reason="the extra `serve` is not installed")
    from aiohttp import ClientSession, web

    from platebook.serving.lines import MOST_LINES, SILENT_S, CountedLines, Line


@pytest.fixture
def lines() -> Iterator[CountedLines]:
    """A socket at any port that is free."""
    with CountedLines("127.0.0.1", 0) as listening:
        yield listening


def test_one_too_many_is_closed_and_makes_room_once_it_was_silent_for_long(
    lines: CountedLines,
) -> None:
    """Whoever holds lines and asks nothing holds them no longer than that."""
    lines.settimeout(5)
    with contextlib.ExitStack() as theirs, contextlib.ExitStack() as ours:

        def come_in() -> Line:
            theirs.enter_context(socket.create_connection(lines.getsockname(), timeout=5))
            line, _ = lines.accept()
            assert isinstance(line, Line)
            return ours.enter_context(line)

        taken = [come_in() for _ in range(MOST_LINES)]
        with pytest.raises(BlockingIOError):
            come_in()
        taken[0].heard = True
        for line in taken:
            line.since -= SILENT_S + 1
        come_in()
        assert [line in lines.taken for line in taken] == [True, *[False] * (MOST_LINES - 1)]


async def test_a_line_on_which_a_page_was_asked_for_is_heard(lines: CountedLines) -> None:
    """Another one beside it is not."""

    async def page(request: web.Request) -> web.Response:
        del request
        return web.Response(text="a page")

    app = web.Application(middlewares=[lines.watch])
    app.router.add_get("/", page)
    runner = web.AppRunner(app)
    await runner.setup()
    await web.SockSite(runner, lines).start()
    host, port = lines.getsockname()
    with socket.create_connection((host, port), timeout=5):
        async with ClientSession() as browser, browser.get(f"http://{host}:{port}/") as answer:
            said = await answer.text()
            assert (said, sorted(one.heard for one in lines.open_lines())) == (
                "a page",
                [False, True],
            )
    await runner.cleanup()
