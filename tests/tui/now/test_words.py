"""The next exercise as words: where, how far to go, what is asked, which sizes."""

from tests.tui.bench import a_view, an_empty_view, some_advice

from platebook.analysis.grades.outlook import Forecast
from platebook.trade.cautions import step_cautions, work_steps
from platebook.tui.now.words import (
    WORD_PARTS,
    asked_part,
    cautions_part,
    go_line,
    head_of,
    parts_of,
    standing_part,
    steps_part,
    where_of,
    why_part,
)
from platebook.tui.parts.headline import Head


def test_where_names_exercise_grade_and_position() -> None:
    """Without a plate only the first two."""
    assert where_of(a_view()) == "A whole setting · 2.0 mm in copper · plate C position 4"
    assert where_of(an_empty_view()) == "Burnishing an empty seat · 1.5 mm in copper"


def test_how_far_to_go_is_said_in_one_line() -> None:
    """One good one, several, or a sign-off that is waited for; and whether readings are asked."""
    assert go_line(a_view()) == "4 good ones to go, readings asked"
    assert go_line(a_view(good_to_go=0)) == "passed already, readings asked"
    assert go_line(a_view(good_to_go=1, readings_asked=False)) == (
        "1 good one to go, no readings asked"
    )
    assert go_line(a_view(waits=True)) == "waits for an instructor's sign-off, readings asked"


def test_readings_are_announced_with_the_digits_that_begin() -> None:
    """Or that two keys log a good one, where none is asked."""
    assert asked_part(a_view()).plain.splitlines() == [
        "Readings asked: fit, trial height, ledge",
        "1-5 starts it with the fit:  1  will not enter …  5  drops in and moves",
    ]
    assert asked_part(a_view(readings_asked=False)).plain == (
        "No readings asked: g then Enter logs a good one"
    )


def test_seeing_asks_for_no_verdict_on_ones_own_work() -> None:
    """A plate whose verdicts are known waits behind Enter."""
    advice = some_advice(kind="part", part="seeing", exercise="seeing")
    view = a_view(advice=advice, readings_asked=False, readings=())
    assert asked_part(view).plain == "Judged blind: Enter shows the reference plates"


def test_practice_is_counted_and_dated_as_people_do() -> None:
    """Today, yesterday, so many days ago; one setting, several, and what else there is."""
    days = [
        standing_part(a_view(days_since=since, evening="")).plain.splitlines()[-1]
        for since in (0, 1, 3, None)
    ]
    assert days == [
        "37 whole settings, last today",
        "37 whole settings, last yesterday",
        "37 whole settings, last 3 days ago",
        "37 whole settings",
    ]
    one = standing_part(a_view(attempts=1, whole=1, days_since=0, evening=""))
    assert one.plain.endswith("1 whole setting, last today")
    mixed = standing_part(a_view(attempts=40, whole=30, parts=8, days_since=0, evening=""))
    assert mixed.plain.endswith("30 whole settings, 8 parts and 2 others, last today")
    advice = some_advice(kind="part", part="depth")
    part = a_view(advice=advice, attempts=1, whole=0, parts=1, days_since=0, evening="")
    assert standing_part(part).plain.startswith("1 part, last today")


def test_the_share_good_now_and_the_outlook_stand_beside_the_good_ones_to_go() -> None:
    """A number with its quartiles where they are finite, else a chance; the share on top."""
    told = {"good_now": 0.72, "good_now_low": 0.51, "good_now_high": 0.87}
    soon = Forecast(within=20, chance=0.8, middle=12, low=8, high=20)
    view = a_view(advice=some_advice(**told, forecast=soon))
    head = head_of(view)
    assert head.far.plain.splitlines() == [
        "━━━━━━━──── ▸ now, 7 of 11 points  ◐ counts as good",
        "●●●×●◐×●  about 72 in 100 come out good now (may be 51 to 87)",
    ]
    assert (head.number, head.caption) == ("4", "good ones to go")
    assert standing_part(view).plain.splitlines()[1:] == [
        "About 12 more settings at this rate (8 to 20).",
    ]
    far = Forecast(within=20, chance=0.44, middle=None, low=None, high=None)
    why = ("About 72 in 100 come out good now (may be 51 to 87).",)
    shown = standing_part(a_view(advice=some_advice(**told, forecast=far, why=why))).plain
    assert shown.splitlines()[1] == "Passed within 20 more settings: about 44 in 100."


def test_the_share_stands_in_the_headline_alone() -> None:
    """It is one of the reasons where no headline is; of another grade's it is told with them."""
    share = "bout 74 in 100 come out good now (may be 45 to 95)"
    low = "For 51 settings it has stayed low"
    why = ("You practise 1.5 mm in copper.", f"A{share}.", f"{low}: a{share}.", f"{low}: others.")
    known = some_advice(good_now=0.74, good_now_low=0.45, good_now_high=0.95, why=why)
    assert share in parts_of(a_view(advice=known), unfolded=False)["far"].plain
    shown = why_part(a_view(advice=known)).plain.splitlines()
    assert shown == ["why", f"· {why[0]}", f"· {low}.", f"· {why[3]}"]
    other = some_advice(good_now=0.2, good_now_low=0.1, good_now_high=0.3, why=why)
    assert why_part(a_view(advice=other)).plain.splitlines() == ["why", *(f"· {w}" for w in why)]
    unknown = some_advice(good_now=None, why=why)
    assert why_part(a_view(advice=unknown)).plain.splitlines() == ["why", *(f"· {w}" for w in why)]


def test_parts_are_said_not_to_count() -> None:
    """The good ones to go stay what they are after a part exercise."""
    part = a_view(advice=some_advice(kind="part", part="width"), attempts=40, parts=3)
    said = "37 whole settings, which alone count for those to go, and 3 parts; last 3 days ago"
    assert standing_part(part).plain.splitlines()[0] == said
    assert go_line(part) == "4 good ones to go (parts do not count for them), readings asked"


def test_a_grade_with_its_points_waits_for_a_sign_off() -> None:
    """In place of good ones to go."""
    signing = some_advice(state="to be signed off")
    waiting = head_of(a_view(waits=True, points=11, advice=signing))
    assert "□ to be signed off, 11 of 11 points" in waiting.far.plain.splitlines()[0]
    assert waiting.number == ""


def test_a_passed_grade_has_no_good_ones_to_go() -> None:
    """As in a re-test: it says that it is passed."""
    tested = head_of(a_view(good_to_go=0, advice=some_advice(state="passed")))
    assert "■ passed" in tested.far.plain
    assert (tested.number, tested.caption) == ("", "")


def test_the_first_evening_says_what_to_do() -> None:
    """Above the exercise; the steps stay folded away unless they are asked for."""
    view = an_empty_view()
    parts = parts_of(view, unfolded=False)
    assert tuple(parts) == (*Head.PARTS, *WORD_PARTS)
    assert parts["exercise"].plain.startswith("Nothing is logged yet. ")
    assert parts["steps"].plain == ""
    assert parts_of(view, unfolded=True)["steps"].plain == steps_part().plain


def test_a_caution_stands_under_the_first_step_that_needs_it() -> None:
    """Every step has a line; what was warned of once is not said again under a later one."""
    lines = steps_part().plain.splitlines()
    named = {step.caution for step in work_steps() if step_cautions(step.caution) is not None}
    assert len([text for text in lines if text.startswith("   ! ")]) == len(named)
    assert len(lines) == 1 + len(work_steps()) + len(named)


def test_cautions_stand_with_their_sign() -> None:
    """Colour alone does not say what to mind."""
    assert cautions_part(a_view(cautions=("Goggles on.",))).plain == "! Goggles on."
