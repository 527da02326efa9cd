"""How many keys the commonest tasks take: each is done on a real logbook, and its keys counted.

docs/logging.md tells the numbers, README.md some of them; neither may tell another.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Concatenate

import pytest
from tests.services.bench import BRAM, NOW, SEAT_BUR, a_row, ada_at, logged
from tests.tui.driving import on, press, running
from textual.app import App

from platebook.practice.attempt import Attempt
from platebook.services.attempts.log import attempts_of, inspections_of
from platebook.services.classes.second_look import second_look
from platebook.services.now.now_view import NowView, now
from platebook.services.people.setters import add_setter
from platebook.services.session import Session
from platebook.tui.bench_session import Answer, Arguments, BenchSession
from platebook.tui.entry.screen import AttemptScreen
from platebook.tui.findings.screen import FindingsScreen
from platebook.tui.now.screen import NowScreen
from platebook.values import replace

ROOT = Path(__file__).parents[2]
TABLE = r"^\| to do \| keys from Now \|\n\|---\|---\|\n((?:\|.*\n)+)"
LOGGED = 5
"""What Ada has logged on the day before: with these, a whole setting comes next."""


class NothingAsked(BenchSession):
    """A bench at which the next attempt's readings are not asked."""

    def call(
        self,
        use_case: Callable[Concatenate[Session, Arguments], Answer],
        *args: Arguments.args,
        **kwargs: Arguments.kwargs,
    ) -> Answer:
        """The use case's answer; the next exercise comes without its readings."""
        answer = super().call(use_case, *args, **kwargs)
        if isinstance(answer, NowView):
            return replace(answer, readings_asked=False, readings=())
        return answer


@dataclass(frozen=True)
class Task:
    """What is done, by which keys from Now, and what is so afterwards."""

    keys: tuple[str, ...]
    done: Callable[[Session, App[None]], object]
    before: tuple[str, ...] = ()
    asked: bool = True


def keys(text: str) -> tuple[str, ...]:
    """Keys as a line: ⏎ is Enter, * the asterisk, ↓ down."""
    named = {"⏎": "enter", "*": "asterisk", "↓": "down", "⎋": "escape"}
    return tuple(named.get(sign, sign) for sign in text)


def newest(session: Session) -> Attempt:
    """The attempt logged last."""
    attempts = attempts_of(session)
    assert len(attempts) == LOGGED + 1
    return max(attempts, key=lambda attempt: attempt.began or NOW)


def came_out(
    *result: str,
    severity: tuple[int, ...] | None = None,
    seen: str | None = None,
    readings: int = 0,
) -> Callable[[Session, App[None]], None]:
    """The attempt logged last has this result, and so many of its readings."""

    def check(session: Session, app: App[None]) -> None:
        del app
        attempt = newest(session)
        assert (attempt.result, attempt.severity, attempt.first_seen) == (result, severity, seen)
        names = ("fit", "trial_height", "ledge", "fit_checks", "levelled_by", "burnish_passes")
        assert sum(getattr(attempt, name) is not None for name in names) == readings

    return check


def given_up(session: Session, app: App[None]) -> None:
    """The stone is logged as abandoned, without a result."""
    del app
    assert (newest(session).result, newest(session).ended) == (None, "abandoned")


def two_failures_more(session: Session, app: App[None]) -> None:
    """Two attempts stand, each with its four readings and its failure."""
    del app
    last = sorted(attempts_of(session), key=lambda attempt: attempt.began or NOW)[LOGGED:]
    assert [(a.fit, a.trial_height, a.ledge, a.result) for a in last] == [
        ("drops in and moves", "flush", "even", ("loose",)),
        ("drops in", "proud", "slightly wider one side", ("high",)),
    ]


def gone_on_with(session: Session, app: App[None]) -> None:
    """The attempt is open again with the fit that was noted."""
    del session
    assert isinstance(app.screen, AttemptScreen)
    assert app.screen.entry.value("fit") == "enters tilted and snaps"


def logged_now(number: int) -> Callable[[Session, App[None]], None]:
    """So many attempts stand."""

    def check(session: Session, app: App[None]) -> None:
        del app
        assert len(attempts_of(session)) == number

    return check


def corrected(session: Session, app: App[None]) -> None:
    """The last of the day before is good now; it was loose."""
    del app
    last = max(attempts_of(session), key=lambda attempt: attempt.began or NOW)
    assert (last.result, last.severity) == (("good",), None)


def on_findings(session: Session, app: App[None]) -> None:
    """Findings are on the screen."""
    del session
    assert isinstance(app.screen, FindingsScreen)


def a_plate_more(session: Session, app: App[None]) -> None:
    """Ten positions stand with their readings, two of them failed."""
    del app
    ten = [a for a in attempts_of(session) if a.position and a.began and a.began >= NOW]
    assert [a.position for a in sorted(ten, key=lambda a: int(a.position or 0))] == [
        str(n) for n in range(1, 11)
    ]
    assert {a.fit for a in ten} == {"enters tilted and snaps"}
    failed = sorted((a.result, a.severity) for a in ten if a.result != ("good",))
    assert failed == [(("high",), (1,)), (("loose",), (2,))]


def judged_again(session: Session, app: App[None]) -> None:
    """Two of the three drawn are left."""
    del app
    assert len(second_look(session).rows) == 2


def judged_a_student(session: Session, app: App[None]) -> None:
    """One look stands beside one of Ada's attempts: Bram's."""
    del app
    looks = [
        look for a in attempts_of(session, everyone=True) for look in inspections_of(session, a)
    ]
    assert [look.result for look in looks] == [("good",)]


def written(session: Session, app: App[None]) -> None:
    """The file has a line an attempt and its heads."""
    del session, app
    (file,) = Path().glob("attempts-*.csv")
    assert len(file.read_text(encoding="utf-8").splitlines()) == LOGGED + 1


def bram_sits(session: Session, app: App[None]) -> None:
    """Bram is at the bench, on Now."""
    del session
    assert isinstance(app.screen, NowScreen)
    assert app.screen.session.setter == BRAM


PLATE = "w" + "3" * 10 + "2" * 10 + "1" * 20 + "0012002" + "10000" + "*"
TASKS = {
    "log a good one, nothing asked": Task(keys("g⏎"), came_out("good"), asked=False),
    "log a good one with its readings": Task(keys("32110⏎"), came_out("good", readings=4)),
    "log a slight remark with its readings": Task(
        keys("321141⏎"), came_out("tilted", severity=(1,), readings=4)
    ),
    "log a failure with its readings, how bad it is and when it was seen": Task(
        keys("52111" + "24⏎"), came_out("loose", severity=(2,), seen="width", readings=4)
    ),
    "log a stone given up, nothing asked": Task(keys("⏎⏎42⏎"), given_up, asked=False),
    "log the next failure with its readings, straight after saving one": Task(
        keys("41212" + "25⏎"), two_failures_more, before=keys("52111" + "24⏎")
    ),
    "go on with what was left unfinished": Task(keys("⏎"), gone_on_with, before=keys("3⎋⎋")),
    "take the last change back": Task(keys("u"), logged_now(LOGGED - 1)),
    "put it back again": Task(keys("r"), logged_now(LOGGED), before=keys("u")),
    "correct the result of the last one to good": Task(keys("l⏎00⏎"), corrected),
    "see what goes with failure": Task(keys("f"), on_findings),
    "a plate of ten, four readings each, two failures": Task(keys(PLATE), a_plate_more),
    "judge one of the last day again, good": Task(keys("j0"), judged_again),
    "judge a student's position, good": Task(keys("kq0⏎"), judged_a_student, before=keys("b↓⏎")),
    "write all that the log shows to a file": Task(keys("lw⏎"), written),
    "sit somebody else down": Task(keys("b↓⏎"), bram_sits),
}


def a_bench(folder: Path) -> Session:
    """Ada with a day behind her, the last one loose, and Bram of the same class."""
    session = ada_at(folder, SEAT_BUR)
    add_setter(session, BRAM)
    began = NOW - timedelta(days=1)
    for n in range(LOGGED):
        result = {"result": "loose", "severity": "2"} if n == LOGGED - 1 else {}
        logged(session, a_row(began=(began + timedelta(minutes=n)).isoformat(), **result))
    assert now(session).advice.kind == "whole"
    return session


@pytest.mark.parametrize("words", TASKS)
async def test_a_task_is_done_by_its_keys(
    words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """From Now, by these keys alone."""
    monkeypatch.chdir(tmp_path)
    task, session = TASKS[words], a_bench(tmp_path)
    at_the_bench = (BenchSession if task.asked else NothingAsked)(lambda: session)
    async with running(at_the_bench) as pilot:
        assert on(pilot, NowScreen)
        await press(pilot, *task.before)
        await press(pilot, *task.keys)
        task.done(session, pilot.app)


@pytest.mark.parametrize("page", ["docs/logging.md", "README.md"])
def test_the_pages_tell_the_keys_that_are_counted(page: str) -> None:
    """Each row of the table is a task above with its number of keys."""
    table = re.search(TABLE, (ROOT / page).read_text(encoding="utf-8"), re.MULTILINE)
    assert table is not None
    counted = dict(re.findall(r"^\| (.+) \| (\d+) \|$", table[1], re.MULTILINE))
    assert len(counted) == len(table[1].splitlines())
    assert counted == {words: str(len(TASKS[words].keys)) for words in counted if words in TASKS}
    if page.startswith("docs"):
        assert list(counted) == list(TASKS)


def test_no_asked_attempt_costs_more_than_eight_keys() -> None:
    """Of whatever kind, from Now or from the stone before."""
    one_stone = [task for words, task in TASKS.items() if "with its readings" in words]
    assert len(one_stone) == 4
    assert max(len(task.keys) for task in one_stone) == 8
