"""Reports on one page: whose they are, where they are written, and what is refused."""

from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, NOW, a_row, ada_at, logged, minutes_on, new_session

from platebook.services.now.choices import practise
from platebook.services.pages.report_pages import (
    class_page,
    refuse_suffix,
    setter_page,
    write_class_page,
    write_setter_page,
)
from platebook.services.people.setters import add_setter, change_setter
from platebook.services.progress_callback import Stopped
from platebook.services.session import Refused, Session
from platebook.values import replace


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """Ada and Bram of one evening with three attempts each, and Cleo, who is in no group."""
    begun = ada_at(tmp_path)
    change_setter(begun, ADA, group="Thursday")
    add_setter(begun, BRAM, group="Thursday")
    add_setter(begun, "Cleo Vane")
    for n, result in enumerate(("good", "high", "good")):
        for name in (ADA, BRAM):
            logged(begun, a_row(setter=name, result=result, began=minutes_on(n)))
    return begun


def heading_of(page: str) -> str:
    """What stands over a page."""
    return page.partition("<h1>")[2].partition("</h1>")[0]


def test_a_setters_page_is_about_whoever_is_at_the_bench(session: Session) -> None:
    """In their name, of the session's day in its zone, with their own attempts alone."""
    page = setter_page(session)
    assert page.casefold().startswith("<!doctype html>")
    assert heading_of(page) == ADA
    assert "3 February 2026" in page
    assert "The last 3 attempts, newest first" in page
    assert BRAM not in page


def test_a_day_is_that_of_the_bench(tmp_path: Path) -> None:
    """At half past eleven at night in UTC it is the next day an hour further east."""
    late = NOW.replace(hour=23, minute=30)
    session = replace(ada_at(tmp_path), clock=lambda: late)
    assert "4 February 2026" in setter_page(session)


def test_a_setter_without_attempts_has_a_page_too(tmp_path: Path) -> None:
    """With what to do next, and no table of last attempts."""
    page = setter_page(ada_at(tmp_path))
    assert heading_of(page) == ADA
    assert "Next:" in page
    assert "The last" not in page


def test_a_class_page_is_about_its_group(session: Session) -> None:
    """Under the group's name as it is written, in any case; others are not on it."""
    page = class_page(session, "thursday")
    assert heading_of(page) == "Thursday"
    assert (ADA in page, BRAM in page, "Cleo Vane" in page) == (True, True, False)


def test_the_class_page_has_the_register_of_its_class(session: Session) -> None:
    """A page about several classes, or people in none, has none."""
    assert "Who came" in class_page(session, "Thursday")
    assert "Who came" not in class_page(session)
    change_setter(session, "Cleo Vane", active=False)
    assert "Who came" in class_page(session)


def test_the_class_page_says_what_a_setter_chose(session: Session) -> None:
    """The same that Now says to them, and not what was suggested instead."""
    assert "Set a stone, 2.5 mm in copper" not in class_page(session, "Thursday")
    practise(session, grade="copper-2.5")
    assert "Set a stone, 2.5 mm in copper" in class_page(session, "Thursday")


def test_without_one_group_the_page_is_everyones(session: Session) -> None:
    """Where someone is in no group, or in another."""
    for group in ("", "Saturday"):
        change_setter(session, "Cleo Vane", group=group)
        page = class_page(session)
        assert heading_of(page) == "Everyone"
        assert "Cleo Vane" in page


def test_what_the_class_used_is_told_in_sentences(session: Session) -> None:
    """The stones and burs of all six attempts."""
    page = class_page(session, "Thursday")
    assert "2.0 mm" in page
    assert "1.90 mm hart" in page


def test_a_class_of_nobody_is_refused(session: Session, tmp_path: Path) -> None:
    """Saying how people get in; a group that nobody is in is refused with those there are."""
    with pytest.raises(Refused, match="read 'Friday', expected one of: Thursday"):
        class_page(session, "Friday")
    nobody = new_session(tmp_path / "elsewhere")
    with pytest.raises(Refused, match="nobody is in it yet; add people with setter add"):
        class_page(nobody)


def test_a_page_is_written_to_a_new_file(session: Session, tmp_path: Path) -> None:
    """As the page is, in UTF-8; one that is there already stays as it was."""
    file = tmp_path / "ada.html"
    write_setter_page(session, file)
    assert file.read_text(encoding="utf-8") == setter_page(session)
    file.write_text("mine", encoding="utf-8")
    for write in (write_setter_page, write_class_page):
        with pytest.raises(Refused, match="is there already; name another file"):
            write(session, file)
    assert file.read_text(encoding="utf-8") == "mine"


def test_a_class_page_is_written_to_a_new_file(session: Session, tmp_path: Path) -> None:
    """Of the group asked for."""
    file = tmp_path / "thursday.htm"
    write_class_page(session, file, "Thursday")
    assert heading_of(file.read_text(encoding="utf-8")) == "Thursday"


@pytest.mark.parametrize("name", ["ada.html", "ada.htm", "ADA.HTML", "ada.of.may.html"])
def test_a_page_is_named_as_one(name: str) -> None:
    """Both customary endings, in any case."""
    refuse_suffix(Path(name))


@pytest.mark.parametrize("name", ["ada.pdf", "ada", "ada.html.txt", ".html"])
def test_another_name_is_refused_before_anything_is_written(
    name: str, session: Session, tmp_path: Path
) -> None:
    """With what was read and what is expected."""
    folder = tmp_path / "pages"
    folder.mkdir()
    for write in (write_setter_page, write_class_page):
        with pytest.raises(Refused, match=r"expected \*\.html"):
            write(session, folder / name)
    assert list(folder.iterdir()) == []


def test_a_class_page_that_is_stopped_writes_nothing(session: Session, tmp_path: Path) -> None:
    """The watch hears of the work, and what it stops leaves no file."""

    def stop(done: float, of: int) -> None:
        raise Stopped(done, of)

    file = tmp_path / "thursday.html"
    with pytest.raises(Stopped):
        write_class_page(session, file, "Thursday", watch=stop)
    assert not file.exists()


@pytest.mark.parametrize("invented", [True, False])
def test_invented_people_are_said_to_be_invented(session: Session, *, invented: bool) -> None:
    """On both pages where the session is a demo, and on neither elsewhere."""
    shown = replace(session, invented=invented)
    pages = (setter_page(shown), class_page(shown))
    assert ["these people and attempts are made up" in page for page in pages] == [
        invented,
        invented,
    ]
