"""A class on a projector: behind the door, read only, and as the logbook is."""

from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from tests.browser import Browser, missing
from tests.patience import PATIENCE
from tests.services.bench import ADA, BRAM, a_row, ada_at, logged, minutes_on

from platebook.services.pages.projector import ClassOnWall
from platebook.services.people.setters import add_setter
from platebook.services.session import Session

if TYPE_CHECKING:
    from aiohttp import CookieJar
    from aiohttp.test_utils import TestClient, TestServer
    from selenium.webdriver.support.wait import WebDriverWait
    from tests.serving.test_in_a_browser import Bench

    from platebook.serving import projector
else:
    pytest.importorskip("textual_serve", reason="the extra `serve` is not installed")
    from aiohttp import CookieJar
    from aiohttp.test_utils import TestClient, TestServer
    from selenium.webdriver.support.wait import WebDriverWait
    from tests.serving.test_in_a_browser import Bench

    from platebook.serving import projector

PORT = 8123
OWN = {"Host": f"localhost:{PORT}"}


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """Ada with one attempt."""
    begun = ada_at(tmp_path)
    logged(begun, a_row(setter=ADA, result="good", began=minutes_on(1)))
    return begun


@asynccontextmanager
async def a_visitor(session: Session) -> AsyncIterator[TestClient[Any, Any]]:
    """A browser that came in with the key."""
    wall = ClassOnWall(session)
    made = projector.ProjectorServer(wall, port=PORT, tell=lambda _: None)
    async with TestClient(TestServer(made.app()), cookie_jar=CookieJar(unsafe=True)) as browser:
        without = await browser.get("/", headers=OWN)
        assert without.status == 403
        await browser.get("/" + made.door.address("localhost").split("/", 3)[3], headers=OWN)
        yield browser


async def test_nothing_can_be_changed_there(session: Session) -> None:
    """It is read (200); nothing is taken in (405), and no app answers (404)."""
    async with a_visitor(session) as browser:
        page = await browser.get("/", headers=OWN)
        script = await browser.get("/projector.js", headers=OWN)
        sent = await browser.post("/", headers=OWN, data="x")
        app = await browser.get("/ws", headers=OWN)
        foreign = await browser.get("/", headers={**OWN, "Origin": "http://elsewhere.example"})
        answers = (page, script, sent, app, foreign)
        assert [answer.status for answer in answers] == [200, 200, 405, 404, 403]
        for answer in answers:
            assert "frame-ancestors 'none'" in answer.headers["Content-Security-Policy"]
        assert ADA in await page.text()


async def test_in_the_room_it_is_reached_with_the_key(session: Session) -> None:
    """By an address of this machine, only where the network was asked for (403 else)."""
    elsewhere = {"Host": f"192.168.4.20:{PORT}"}
    for network, status in ((True, 303), (False, 403)):
        made = projector.ProjectorServer(
            ClassOnWall(session), port=PORT, tell=lambda _: None, network=network
        )
        async with TestClient(TestServer(made.app())) as browser:
            without = await browser.get("/", headers=elsewhere)
            key = "/" + made.door.address("192.168.4.20").split("/", 3)[3]
            entered = await browser.get(key, headers=elsewhere, allow_redirects=False)
            assert (without.status, entered.status) == (403, status)


async def test_the_mark_is_other_for_another_page_alone(session: Session) -> None:
    """The page says its own mark; an attempt makes another."""
    async with a_visitor(session) as browser:
        first = (await (await browser.get("/mark", headers=OWN)).text()).split("\n")
        page = await (await browser.get("/", headers=OWN)).text()
        same = (await (await browser.get("/mark", headers=OWN)).text()).split("\n")
        logged(session, a_row(setter=ADA, result="high", began=minutes_on(2)))
        other = (await (await browser.get("/mark", headers=OWN)).text()).split("\n")
        assert f'<body data-mark="{first[0]}">' in page
        assert same == first
        assert other[0] != first[0]
        assert (first[1], other[1]) == ("", "")


async def test_what_cannot_be_read_any_more_stays_as_it_was(session: Session) -> None:
    """A sentence goes with the mark, which is the same."""
    async with a_visitor(session) as browser:
        before = (await (await browser.get("/mark", headers=OWN)).text()).split("\n")
        for file in session.path.parent.glob(f"{session.path.name}*"):
            if file.is_file():
                file.write_bytes(b"no logbook " * 99)
        mark, sentence = (await (await browser.get("/mark", headers=OWN)).text()).split("\n")
        assert mark == before[0]
        assert sentence.startswith("This is how it last was: ")


@contextmanager
def projected(folder: Path, *options: str) -> Iterator[Bench]:
    """A served class page."""
    bench = Bench(folder, "--projector", *options)
    try:
        yield bench
    finally:
        bench.close()


@pytest.mark.slow
@pytest.mark.skipif(bool(missing()), reason=missing())
def test_on_the_wall_it_follows_the_logbook_by_itself(session: Session, tmp_path: Path) -> None:
    """Large, without names, one part at a time; whoever comes in meanwhile is on it soon."""
    with projected(tmp_path, "--no-names") as bench:
        page = Browser(tmp_path)
        try:
            page.driver.get(bench.address)
            waiting = WebDriverWait(page.driver, PATIENCE)
            script = page.driver.execute_script
            text = "return document.body.innerText"
            waiting.until(lambda _: "1 setter, 1 attempt" in script(text))
            size = "return parseFloat(getComputedStyle(document.documentElement).fontSize)"
            # Letters of a thirtieth of the height, or of a fiftieth of the width.
            assert script(size) >= script("return Math.min(innerHeight / 30, innerWidth / 50)")
            add_setter(session, BRAM)
            logged(session, a_row(setter=BRAM, result="good", began=minutes_on(3)))
            waiting.until(lambda _: "2 setters, 2 attempts" in script(text))
            seen = page.driver.page_source
            assert not [name for name in (*ADA.split(), *BRAM.split()) if name in seen]
            shown = "return document.querySelectorAll('.part.shown').length"
            assert script(shown) == 1
            assert page.complaints() == []
        finally:
            page.close()
