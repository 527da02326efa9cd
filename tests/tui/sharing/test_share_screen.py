"""Sharing from the app: the place of last time, what came, stopping, and what is in the way."""

from collections.abc import Callable
from pathlib import Path

from tests.services.bench import ADA, a_row, logged
from tests.services.school import desk_of
from tests.tui.driving import on, press, running, until
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture

from platebook.services.people.setters import list_setters
from platebook.services.people.teachers import begin_teaching
from platebook.services.sharing.share_folder import share
from platebook.services.sharing.share_now import share_now
from platebook.services.sharing.share_progress import OTHERS, UNWATCHED
from platebook.services.sharing.start_files import kept_folder
from platebook.tui.bench_session import BenchSession
from platebook.tui.now.screen import NowScreen
from platebook.tui.sharing.share_screen import ShareScreen


def shows(pilot: object, words: str) -> Callable[[], bool]:
    """Whether these words stand on the screen, wherever its lines break."""
    return lambda: words in " ".join(picture(pilot.app).split())  # type: ignore[attr-defined]


async def test_sharing_goes_through_the_place_of_last_time() -> None:
    """Two keys; Esc goes back, to what came in."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "S")
        seen = picture(pilot.app)
        assert "2 bundles of others may hold something new" in seen
        assert "4 changes made here have not gone out yet." in seen
        await press(pilot, "enter")
        await until(pilot, shows(pilot, "Ada Quill: came in, new or changed: 8 attempts."))
        assert "share s3://school/thursday" in session.calls
        asked = session.calls.count("now")
        await press(pilot, "escape")
        await until(pilot, lambda: on(pilot, NowScreen))
        assert session.calls.count("now") == asked + 1


async def test_a_long_share_shows_how_far_it_is_and_stops() -> None:
    """The keys go on meanwhile; a second Enter begins no second one."""
    session = SessionOfAnEvening(long=True)
    async with running(session) as pilot:
        await press(pilot, "S")
        await pilot.press("enter", "enter")
        await until(pilot, shows(pilot, "7 of 30. Esc stops it"))
        assert f"{OTHERS} …" in picture(pilot.app)
        assert session.calls.count("share s3://school/thursday") == 1
        await pilot.press("escape")
        await until(pilot, lambda: "stopped" in session.calls and on(pilot, NowScreen))


async def test_a_place_that_is_not_there_is_said() -> None:
    """Under the line, which can be corrected."""
    async with running(SessionOfAnEvening(shares_at="")) as pilot:
        await press(pilot, "S", *"nowhere", "enter")
        await until(pilot, shows(pilot, "nowhere: is not there. Nothing was shared."))
        assert on(pilot, ShareScreen)
        assert shows(pilot, "It did not go through")()


def test_who_waits_is_let_in_by_a_key(tmp_path: Path) -> None:
    """The app names no option of a command, no file, and each who waits once."""
    (tmp_path / "shared").mkdir()
    ada = desk_of(tmp_path, "ada", ADA)
    logged(ada, a_row())
    share(ada, tmp_path / "shared")
    tutor = begin_teaching(desk_of(tmp_path, "tutor"), name="Isolde Crane")
    told = share_now(tutor, str(tmp_path / "shared"), UNWATCHED)
    assert told[0].endswith("1 person waits for your answer: b.")
    assert [line.partition(": ")[2] for line in told if ADA in line] == [
        f"{ADA} (1 attempt). Let them in with b, who is at the bench.",
    ]


async def test_what_is_shared_is_in_the_logbook(tmp_path: Path) -> None:
    """A real folder, typed once; it is offered from then on, to share too."""
    (tmp_path / "shared").mkdir()
    ada = desk_of(tmp_path, "ada", ADA)
    logged(ada, a_row())
    share(ada, tmp_path / "shared")
    fay = desk_of(tmp_path, "fay", "Fay Moor")
    async with running(BenchSession(lambda: fay)) as pilot:
        await press(pilot, "S", *str(tmp_path / "shared"), "enter")
        await until(pilot, shows(pilot, f"{ADA}: nothing new."))
    assert kept_folder(fay) == tmp_path / "shared"
    assert [p.setter.name for p in list_setters(fay)] == ["Fay Moor"]
    assert len(list((tmp_path / "shared").iterdir())) == 2


async def test_before_anything_came_in_who_reads_what_is_drawn() -> None:
    """Nobody was heard of: the folder with whose files lie in it, and who takes in what."""
    async with running(SessionOfAnEvening(shares_at="")) as pilot:
        await press(pilot, "S")
        seen = picture(pilot.app)
        assert " │ your work  │ ─▸ │ your file          │ ─▸ │ their work     │" in seen
        assert "\n a student           takes in the looks at their work, and their course" in seen
        assert "who has the folder  can read every file in it, names and notes too" in seen
    async with running(SessionOfAnEvening(shares_at=""), size=(60, 20)) as pilot:
        await press(pilot, "S")
        narrow = picture(pilot.app)
        assert "╭" not in narrow
        assert "takes in the looks at their work" in narrow
