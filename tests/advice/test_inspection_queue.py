"""The inspection queue: each reason in its order, and what a look settles."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from scipy.stats import binom
from tests.builders import a_setter_line, an_attempt, some_course

from platebook.advice import next_exercise
from platebook.advice.class_standing import QueueRow
from platebook.advice.inspection_queue import Due, by_need, due_on, not_seen
from platebook.advice.reasons_to_look import OFTEN, ORDER, waiting
from platebook.analysis.classes.register import Enrolled, RegisterRow, register_of
from platebook.analysis.grades.progress import progress
from platebook.analysis.success.share_good import share_words
from platebook.practice.attempt import Attempt
from platebook.practice.records import Inspection

COURSE = some_course()
GRADE = COURSE.grades[0].id
FIRST = datetime(2026, 3, 3, 18, 30, tzinfo=UTC)
TODAY = date(2026, 3, 4)


def some(*results: str, **values: Any) -> list[Attempt]:
    """Whole settings at the first grade of one evening, in order."""
    return [
        an_attempt(
            attempt_id=f"a{n}",
            setter_id="s",
            grade=GRADE,
            kind="whole",
            began=FIRST + timedelta(minutes=n),
            result=tuple(result.split("+")),
            **values,
        )
        for n, result in enumerate(results)
    ]


def look(attempt_id: str, days_ago: int = 1) -> Inspection:
    """Somebody's look so many days ago."""
    looked = FIRST - timedelta(days=days_ago - 1)
    return Inspection(attempt_id=attempt_id, inspector="Tutor", result=("good",), looked=looked)


def queue(attempts: list[Attempt], *looks: Inspection, drawn: str = "") -> tuple[Due, ...]:
    """What is due of this setter today, where this attempt was drawn."""
    standing = progress(COURSE, attempts, today=TODAY)
    return due_on(waiting(COURSE, attempts, looks, standing, {drawn}), TODAY)


def told(rows: tuple[Due, ...]) -> list[tuple[str, str]]:
    """Reason and sentence of each."""
    return [(row.why, row.sentence) for row in rows if row.why != "drawn"]


def test_nothing_to_look_at_is_no_queue() -> None:
    """No attempts, none judged, or all looked at."""
    assert queue([]) == ()
    assert queue(some("good"), look("a0")) == ()


def test_who_is_stuck_comes_first_and_is_it_as_their_own_screen_says() -> None:
    """One state for both: low for all 48, of forty at least (judgement, `stuck_at`)."""
    log = some(*["high", "loose", "good"] * 16)
    (row,) = queue(log)
    assert row.why == "stuck"
    assert row.reasons[0].sentence.startswith("stuck at 1.5 mm in copper: low for 48 settings, ")
    assert row.attempt_id == "a47"
    why = next_exercise(COURSE, log, today=TODAY).why
    assert any("For 48 settings it has stayed low" in sentence for sentence in why)


@pytest.mark.parametrize(
    ("before", "why"),
    [
        (["high", "loose", "good"] * 16, "stuck"),
        (["high", "loose", "low"] * 6, "few good"),
        (["loose"] * 3 + ["good"] * 3, "again"),
    ],
)
@pytest.mark.parametrize("newest", ["good", "loose"])
def test_a_reason_that_counts_gives_no_verdict_away(
    before: list[str], why: str, newest: str
) -> None:
    """It points at the newest setting, however that came out: the place tells nothing of it."""
    log = some(*before, newest)
    (row,) = queue(log)
    assert why in {reason.why for reason in row.reasons}
    assert row.attempt_id == log[-1].attempt_id


def test_who_has_stayed_low_stands_after_a_look_too_as_their_own_screen_says() -> None:
    """A look makes it weigh less; it goes when Now no longer calls for a teacher's look."""
    log = some(*["high", "loose", "good"] * 16)
    after = look("a46").model_copy(update={"looked": FIRST + timedelta(hours=2)})
    (row,) = queue(log, after)
    assert (row.why, row.attempt_id) == ("stayed low", "a47")
    assert row.sentence.startswith("has stayed low at 1.5 mm in copper for 48 settings: ")
    stayed, _ = next_exercise(COURSE, log, today=TODAY).why[1:3]
    share = stayed.removeprefix("For 48 settings it has stayed low: ").removesuffix(".")
    assert row.sentence.endswith(f": {share}")
    better = [*log, *some(*["good"] * 72)[48:]]
    assert "stayed low" not in reasons_of(queue(better, after))
    assert not any("stayed low" in why for why in next_exercise(COURSE, better, today=TODAY).why)


def test_who_has_recovered_is_not_stuck_though_the_good_ones_were_looked_at() -> None:
    """All settings are counted: an instructor's look takes nothing out of the counting."""
    log = some(*["high", "loose"] * 20, *["good"] * 24)
    looks = [look(f"a{n}", days_ago=30) for n in range(44, 64)]
    for seen in ((), looks):
        reasons = {reason.why for row in queue(log, *seen) for reason in row.reasons}
        assert not reasons & {"stuck", "few good"}
    assert not any("stayed low" in why for why in next_exercise(COURSE, log, today=TODAY).why)


def test_few_good_ones_are_told_by_the_share_of_every_screen() -> None:
    """Nine failures of nine: its whole band lies low; too few for being stuck."""
    log = some(*["high", "loose", "low"] * 3)
    (row,) = queue(log)
    (grade,) = (g for g in progress(COURSE, log, today=TODAY).grades if g.attempts)
    words = share_words(grade.now, grade.now_low, grade.now_high)
    assert row.reasons[0].sentence == f"few good at {grade.title}: {words}"
    assert row.why == "few good"


def chips(count: int, *, clock: int = 4, else_good: int = 3) -> list[Attempt]:
    """So many chips at one place of the rim, each after a few good ones."""
    log = some(*(["good"] * else_good + ["chipped"]) * count)
    return [a.with_values(clock=clock) if a.result == ("chipped",) else a for a in log]


def test_chips_at_four_weigh_more_than_moving_up_and_both_stand_on_one_row() -> None:
    """Counted over all settings, 28 of them; the lighter reasons stand behind it."""
    log = [*chips(28, else_good=2), *some(*["good"] * 94)[84:]]
    (row,) = queue(log)
    assert [reason.why for reason in row.reasons] == [
        "keeps coming back",
        "ready to move up",
        "not looked at",
    ]
    assert row.reasons[0].sentence == (
        "chipped at 4 o'clock 28 times in 94 attempts, 10 of the last 40"
    )
    assert row.sentence == "; ".join(reason.sentence for reason in row.reasons)


def test_a_place_of_the_rim_is_told_where_it_is_no_chance() -> None:
    """Seven are too few; eight spread over the rim keep to no place; long gone is gone."""
    assert "keeps coming back" not in reasons_of(queue(chips(7)))
    spread = [a.with_values(clock=n % 12 + 1) for n, a in enumerate(chips(8))]
    assert "keeps coming back" not in reasons_of(queue(spread))
    gone = [*chips(12), *some(*["good"] * 80)[48:]]
    assert "keeps coming back" not in reasons_of(queue(gone))
    assert "keeps coming back" in reasons_of(queue(chips(8)))
    assert 12 * binom.sf(OFTEN - 1, 2 * OFTEN, 1 / 12) < 1 / 5000


def reasons_of(rows: tuple[Due, ...]) -> list[str]:
    """The kinds of reason told, in order."""
    return [reason.why for row in rows for reason in row.reasons]


def test_the_order_of_weight_is_kept_on_a_row() -> None:
    """Each reason stands once in the order; a row has them so."""
    assert len(set(ORDER)) == len(ORDER)
    log = [
        *chips(9),
        *(a.with_values(fit="drops in and moves") for a in some(*["good"] * 37)[36:]),
    ]
    kinds = reasons_of(queue(log))
    assert kinds == sorted(kinds, key=ORDER.index)
    assert kinds[:2] == ["keeps coming back", "verdict"]


def test_a_look_settles_the_reasons_until_new_settings_bear_them_out() -> None:
    """Any of the positions will do; a new good one brings no old defect back, a new high does."""
    log = some("high", "good", "high", "good", "high", "good")
    after = Inspection(
        attempt_id="a0", inspector="Tutor", result=("good",), looked=FIRST + timedelta(minutes=30)
    )
    assert reasons_of(queue(log)) == ["again", "not looked at"]
    assert queue(log, after) == ()
    later = [a.with_values(began=FIRST + timedelta(hours=1)) for a in some(*["good"] * 7)[6:]]
    assert queue([*log, *later], after) == ()
    high = [a.with_values(result=("high",)) for a in later]
    (row,) = queue([*log, *high], after)
    assert (row.attempt_id, row.sentence) == ("a6", "high 4 times in the last 7")


def test_a_look_at_one_position_leaves_the_odd_verdict_of_another() -> None:
    """A verdict that does not fit its reading is settled by a look at that position."""
    log = some("good", "good", fit="drops in and moves")
    after = Inspection(attempt_id="a1", inspector="Tutor", result=("good",), looked=FIRST)
    (row,) = queue(log, after.model_copy(update={"looked": FIRST + timedelta(minutes=9)}))
    assert (row.why, row.attempt_id) == ("verdict", "a0")


def test_who_may_move_up_is_told() -> None:
    """Two good ones before the grade is passed."""
    points = COURSE.grades[0].points
    rows = queue(some(*["good"] * (points.up_at - 2)))
    assert rows[0].why == "ready to move up"
    assert "2 good ones to go" in rows[0].sentence


def test_a_verdict_that_contradicts_a_reading_is_told() -> None:
    """A good one that drops in and moves (bench practice: too wide): told without its verdict."""
    rows = queue(some("good", fit="drops in and moves"), look("z"))
    assert told(rows) == [("verdict", "what was read does not go with how it was judged")]


def test_what_holds_at_several_positions_is_said_once() -> None:
    """Two good ones that dropped in and moved: one reason, with how many there are."""
    rows = queue(some("good", "good", fit="drops in and moves"), look("z"))
    assert told(rows) == [
        ("verdict", "what was read does not go with how it was judged, at 2 positions")
    ]


def test_what_keeps_coming_back_is_told_by_defect_and_by_clock() -> None:
    """Three times among the last eight."""
    rows = queue(some("high", "good", "high", "good", "high"), look("z"))
    assert told(rows) == [("again", "high 3 times in the last 5")]
    assert rows[0].reasons[0].what == "high"
    rows = queue(some("high", "low", "tilted", "good", clock=4), look("z"))
    assert told(rows) == [("again", "at 4 o'clock 3 times in the last 4: posture or light")]
    assert rows[0].reasons[0].what == "4 o'clock"


def test_two_weeks_without_a_look_are_told() -> None:
    """Never, or not since a day; a look yesterday is enough."""
    assert told(queue(some("good"))) == [("not looked at", "never looked at")]
    old = queue(some("good"), look("z", days_ago=20))
    assert told(old) == [("not looked at", "not looked at since 12 February")]
    assert told(queue(some("good"), look("z"))) == []


def test_the_position_drawn_stands_whatever_else_is_due() -> None:
    """By its own right where nothing else is, and no more once it was looked at."""
    attempts = some("good", "high", "good", "loose")
    rows = queue(attempts, look("z"), drawn="a1")
    assert [(r.attempt_id, r.why, r.drawn) for r in rows] == [("a1", "drawn", True)]
    assert queue(attempts, look("a1"), drawn="a1") == ()


def test_an_attempt_stands_once_with_its_most_pressing_reason() -> None:
    """Drawn and never looked at: the reason that comes first is told, and that it is drawn."""
    (row,) = queue(some("good"), drawn="a0")
    assert (row.why, row.drawn) == ("not looked at", True)


def test_the_day_of_the_last_look_is_said_as_a_person_says_it() -> None:
    """No zero before the day."""
    ((_, sentence),) = told(queue(some("good"), look("z", days_ago=32)))
    assert sentence == "not looked at since 31 January"


@pytest.mark.parametrize(
    ("attempts", "why"),
    [
        (some(*["high", "loose", "good"] * 16), "stuck"),
        (some(*["high", "loose", "low"] * 3), "few good"),
        (some(*["good"] * (COURSE.grades[0].points.up_at - 2)), "ready to move up"),
        (some("high", "good", "high", "good", "high"), "again"),
    ],
)
def test_a_drawn_one_is_given_no_reason_that_tells_its_verdict(
    attempts: list[Attempt], why: str
) -> None:
    """The reason is told of another attempt, and of the drawn one that it is drawn."""
    plain = next(r for r in queue(attempts, look("z", days_ago=2)) if r.why == why)
    rows = queue(attempts, look("z", days_ago=2), drawn=plain.attempt_id)
    assert [r.sentence for r in rows if r.drawn] == ["drawn at random"]
    (other,) = (r for r in rows if r.why == why)
    assert (other.sentence, other.attempt_id != plain.attempt_id) == (plain.sentence, True)


def test_a_drawn_one_is_not_said_to_contradict_its_reading() -> None:
    """That would tell that it was called good."""
    rows = queue(some("good", fit="drops in and moves"), look("z"), drawn="a0")
    assert [(r.why, r.sentence) for r in rows] == [("drawn", "drawn at random")]


def register_row(*evenings: date) -> RegisterRow:
    """The row of somebody who came on the first evening only, where a mate came to all."""
    always = ((None, None),)
    mate = Enrolled("m", "Mate", always, frozenset({FIRST.date(), *evenings}))
    someone = Enrolled("s", "Someone", always, frozenset({FIRST.date()}))
    return register_of([mate, someone]).rows[1]


@pytest.mark.parametrize(
    ("class_day", "sentence"),
    [
        (date(2026, 3, 23), ""),
        (date(2026, 3, 24), "not seen for 3 weeks, last on 3 March"),
        (date(2026, 4, 6), "not seen for 4 weeks, last on 3 March"),
    ],
)
def test_who_stays_away_is_missed_by_the_evenings_of_the_class(
    class_day: date, sentence: str
) -> None:
    """Whole weeks up to the newest evening of the class's register."""
    waits = waiting(COURSE, some("good"), (), progress(COURSE, some("good"), today=TODAY))
    reasons = not_seen(waits, register_row(class_day))
    assert "".join(reason.sentence for reason in reasons) == sentence


@pytest.mark.parametrize(
    ("evenings", "sentence"),
    [(2, ""), (3, "never seen on the 3 evenings of the class since they joined")],
)
def test_who_never_came_is_missed_as_the_register_says(evenings: int, sentence: str) -> None:
    """Work from before they joined does not count as having come."""
    days = frozenset(date(2026, 4, 7 * (n + 1)) for n in range(evenings))
    mate = Enrolled("m", "Mate", ((None, None),), days)
    someone = Enrolled("s", "Someone", ((date(2026, 4, 1), None),), frozenset({FIRST.date()}))
    waits = waiting(COURSE, some("good"), (), progress(COURSE, some("good"), today=TODAY))
    reasons = not_seen(waits, register_of([mate, someone]).rows[1])
    assert "".join(reason.sentence for reason in reasons) == sentence


def test_who_is_not_seen_stands_before_not_looked_at_and_no_look_settles_it() -> None:
    """The lightest reason but one; it points at the newest attempt, looked at or not."""
    log = some("good", "good")
    standing = progress(COURSE, log, today=TODAY)
    for looks, kinds in (((), ["not seen", "not looked at"]), ((look("a1"),), ["not seen"])):
        waits = waiting(COURSE, log, looks, standing)
        missed = not_seen(waits, register_row(date(2026, 3, 31)))
        rows = due_on(waits, TODAY, missed)
        assert (reasons_of(rows), rows[0].attempt_id) == (kinds, "a1")


def test_a_class_stands_by_reason_then_by_the_weaker_then_by_name() -> None:
    """Who is stuck on top; of equal reasons the weaker first, an unknown share last."""
    shares = {"Ada": 0.9, "Bram": 0.4, "Cleo": None, "Dora": 0.4, "Edda": 0.95, "Finn": 0.1}
    lines = [
        a_setter_line(setter_id=name, name=name, lately=share) for name, share in shares.items()
    ]
    due = [
        QueueRow("a", name, "", "A", "1", why, "", why == "drawn", setter_id=name)
        for why, names in (("drawn", "Ada Bram Cleo Dora Edda"), ("stuck", "Edda"))
        for name in names.split()
    ]
    order = [line.name for line in by_need(lines, due)]
    assert order == ["Edda", "Bram", "Dora", "Ada", "Cleo", "Finn"]


def test_a_reason_points_at_what_was_not_looked_at() -> None:
    """The newest has its look; those noted without a day are as new, and one of them is meant."""
    undated = [a.with_values(began=None) for a in some("good", "high", "high", "high")]
    first, *_, newest = (a.attempt_id or "" for a in undated)
    (row,) = queue(undated, look(newest))
    assert told((row,)) == [("again", "high 3 times in the last 4")]
    assert row.attempt_id == undated[2].attempt_id
    assert row.attempt_id not in {first, newest}
