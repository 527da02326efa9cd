"""The setter chooses: what it does, whose choice it is, and the ways back."""

from datetime import timedelta
from pathlib import Path

import pytest
from tests.services.bench import ADA, NOW, SEAT_BUR, a_row, ada_at, logged, minutes_on

from platebook.advice.exercise import NextExercise
from platebook.analysis.findings.trials import Trial
from platebook.logbook import defaults
from platebook.logbook.attempts.attempt_queries import attempt_by_id
from platebook.services.attempts.recording import record, undo
from platebook.services.findings import findings_with_values
from platebook.services.now.choices import as_suggested, practise, settle
from platebook.services.now.next_up import next_with_sizes
from platebook.services.now.now_view import NowView, now
from platebook.services.people.setters import erase_setter
from platebook.services.session import Refused, Session, opened
from platebook.trade.records import Tool
from platebook.values import replace

BURS = tuple(
    Tool(kind="bur", name=f"setting {size}", shape="setting", size_mm=size)
    for size in (1.35, 1.45, 1.85, 1.95)
)


def upcoming(session: Session) -> NextExercise:
    """What `next` says."""
    return next_with_sizes(session)[0]


def test_a_grade_is_practised_from_now_on_and_now_says_whose_choice_it_is(tmp_path: Path) -> None:
    """By command and in the app the same; what it does to the way up is said."""
    session = ada_at(tmp_path)
    logged(session, a_row(grade="copper-1.5"))
    suggested = upcoming(session)
    chosen = practise(session, grade="copper-2.5")
    assert chosen.sentence == "Your choice: Set a stone, 2.5 mm in copper."
    assert chosen.effects[0] == "Whole settings at 2.5 mm in copper count for its points."
    assert "1.5 mm in copper, 2.0 mm in copper" in chosen.effects[-1]
    advice = upcoming(session)
    assert (advice.grade, advice.purpose, advice.chosen_by) == ("copper-2.5", "chosen", ADA)
    assert now(session).advice == advice
    assert advice.changes == (f"Suggested instead: Set a stone, {suggested.grade_title}.",)
    practise(session, grade=suggested.grade)
    assert upcoming(session).changes == ("It is what is suggested too.",)


@pytest.mark.parametrize(
    "text",
    [
        '{"choice": {"by": "Ada"',
        '{"choice": {"by": "Ada", "day": "2026-02-03", "plate": "p1"}}',
        '{"choice": null, "more": ' + "[" * 200_000,
    ],
)
def test_a_kept_choice_that_is_none_counts_for_nothing(tmp_path: Path, text: str) -> None:
    """Half of one, one with a key that a later program gave it, one that no end is seen of."""
    session = ada_at(tmp_path)
    suggested = upcoming(session)
    for kept in ("choice", "block"):
        with opened(session) as book:
            name = defaults.own_name(kept, session.setter_id or "")
            book.tell(defaults.set_default, name, text)
    assert upcoming(session) == suggested


def test_the_share_good_now_is_that_of_the_grade_chosen(tmp_path: Path) -> None:
    """None where nothing was set there yet, whatever comes out good elsewhere."""
    session = ada_at(tmp_path)
    logged(session, a_row())
    practise(session, grade="copper-2.5")
    assert (upcoming(session).state, upcoming(session).good_now) == ("ahead", None)
    practise(session, grade="copper-2.0")
    assert upcoming(session).good_now is not None


def test_an_exercise_is_practised_at_the_grade_worked_at(tmp_path: Path) -> None:
    """A part moves no points, and that is said."""
    session = ada_at(tmp_path)
    logged(session, a_row(grade="copper-1.5"))
    suggested = upcoming(session)
    chosen = practise(session, exercise="depth")
    assert chosen.effects == ("A part exercise moves no points, and the work stays at its grade.",)
    assert (upcoming(session).part, upcoming(session).grade) == ("depth", suggested.grade)


def test_back_to_what_is_suggested(tmp_path: Path) -> None:
    """One call; without a choice it says so."""
    session = ada_at(tmp_path)
    suggested = upcoming(session)
    practise(session, grade="copper-2.5")
    assert as_suggested(session) == "As suggested again: Burnishing, 1.5 mm in copper."
    assert upcoming(session) == suggested
    assert as_suggested(session) == "It is what is suggested already."


def test_undo_takes_a_choice_back_and_then_the_attempt_before_it(tmp_path: Path) -> None:
    """A choice is the last thing done until something is logged after it."""
    session = ada_at(tmp_path)
    logged(session, a_row(grade="copper-1.5"))
    practise(session, grade="copper-2.0")
    practise(session, grade="copper-2.5")
    assert undo(session).startswith("Taken back: what was chosen.")
    assert upcoming(session).grade == "copper-2.0"
    logged(session, a_row(grade="copper-2.0"))
    assert "what was chosen" not in undo(session)
    assert upcoming(session).chosen_by == ADA


def test_what_the_course_does_not_have_is_refused_with_what_it_has(tmp_path: Path) -> None:
    """Grades and exercises by id; a block belongs to a lead."""
    session = ada_at(tmp_path)
    with pytest.raises(Refused, match=r"copper-1\.5"):
        practise(session, grade="gold-9")
    with pytest.raises(Refused, match="whole"):
        practise(session, exercise="juggling")


def test_what_the_drawer_lacks_is_said_before_the_work_moves_there(tmp_path: Path) -> None:
    """At the choice, and on Now for the grade ahead; an empty drawer says nothing."""
    bare = ada_at(tmp_path)
    assert now(bare).wants == ()
    folder = tmp_path / "more"
    folder.mkdir()
    session = ada_at(folder, SEAT_BUR)
    logged(session, a_row(grade="copper-1.5"))
    wanted = "2.0 mm in copper wants what is not in the drawer:"
    assert any(said.startswith(wanted) for said in now(session).wants)
    chosen = practise(session, grade="copper-2.5")
    assert chosen.effects[-1].startswith("2.5 mm in copper wants what is not in the drawer:")


def test_the_suggestion_stays_in_the_middle_of_a_plate(tmp_path: Path) -> None:
    """Passing a grade moves the work, but not before the plate is full; another day it does."""
    session = ada_at(tmp_path)
    row = {"grade": "copper-1.5", "stone_diameter_mm": "1.5"}
    for place in range(9):
        logged(session, a_row(**row, plate="B", began=minutes_on(place - 400)))
    held: list[NextExercise] = []
    for place in range(9):
        where = {"plate": "C", "position": str(place + 1)}
        logged(session, a_row(**row, **where, began=minutes_on(place - 300)))
        advice = upcoming(session)
        assert (advice.grade, advice.kind) == ("copper-1.5", "whole")
        held += [advice] if advice.purpose == "plate" else []
    assert held[0].why == (
        "Plate C goes on as it was begun: 8 positions left. Then Set a stone, 2.0 mm in copper.",
    )
    tomorrow = replace(session, clock=lambda: NOW + timedelta(days=1))
    assert upcoming(tomorrow).purpose != "plate"
    logged(session, a_row(**row, plate="C", position="10", began=minutes_on(-200)))
    assert upcoming(session).purpose != "plate"


def test_another_person_is_not_told_of_it_and_erasing_forgets_it(tmp_path: Path) -> None:
    """A choice is one setter's own, and goes with them."""
    session = ada_at(tmp_path)
    practise(session, grade="copper-2.5")
    erase_setter(session, ADA)
    with opened(session) as book:
        assert book.ask(defaults.default, f"choice of {session.setter_id}") is None


def run_of(view: NowView, **values: object) -> dict[str, object]:
    """The setting of the block on Now, as the app records it."""
    advice = view.advice
    assert advice.run is not None
    return {
        **view.set_up,
        "grade": advice.grade,
        "kind": "block",
        "block": advice.block_name,
        "block_run": advice.run.run,
        "block_levels": advice.block_levels,
        "fit": "3",
        "result": "good",
        **values,
    }


def test_a_block_runs_setting_by_setting_and_its_answer_comes_back(tmp_path: Path) -> None:
    """Eight settings as planned, then the suggestion again, and counts with the lead."""
    session = ada_at(tmp_path, *BURS)
    logged(session, a_row(grade="copper-1.5", stone_diameter_mm="1.5"))
    chosen = settle(session, "clearance_mm", "loose")
    assert chosen.sentence.startswith("Block 1: 8 settings at 1.5 mm in copper")
    for number in range(1, 9):
        view = now(session)
        assert (view.advice.kind, view.advice.run and view.advice.run.run) == ("block", number)
        run = view.advice.run
        assert run is not None
        planned = run.values["seat_bur_mm"]
        assert view.set_up["seat_bur"] == f"setting {planned}"
        assert view.readings_asked
        wide = run.levels["seat_bur_mm"] == "high"
        logged(session, run_of(view, result="loose" if wide else "good"))
    assert upcoming(session).purpose != "block"
    (trial,) = findings_with_values(session).trials
    assert (trial.variable, trial.blocks, trial.statement) == ("seat_bur_mm", 1, "counts so far")
    assert [(count.failed, count.of) for count in trial.counts] == [(4, 4), (0, 4)]


def test_a_lead_is_settled_at_the_grade_where_it_was_seen(tmp_path: Path) -> None:
    """Not at the one that is suggested: the burs for its stone may not be in the drawer."""
    fitting = Tool(kind="bur", name="setting 1.90", shape="setting", size_mm=1.9)
    session = ada_at(tmp_path, *BURS[2:], fitting)
    loose = [a_row(grade="copper-2.0", result="loose") for _ in range(2)]
    logged(session, *loose, a_row(grade="copper-2.5", stone_diameter_mm="2.5", result="high"))
    assert upcoming(session).grade == "copper-2.5"
    chosen = settle(session, "clearance_mm", "loose")
    assert chosen.sentence.startswith("Block 1: 8 settings at 2.0 mm in copper")
    assert now(session).advice.grade == "copper-2.0"


def test_five_blocks_give_the_lead_its_statement(tmp_path: Path) -> None:
    """The next block is another number in another order; after five it is stated."""
    session = ada_at(tmp_path, *BURS)
    logged(session, a_row(grade="copper-1.5", stone_diameter_mm="1.5"))
    orders = set()
    for _block in range(5):
        settle(session, "clearance_mm", "loose")
        block = now(session).advice.block
        assert block is not None
        orders.add(tuple(str(run.levels) for run in block.runs))
        for _run in range(8):
            view = now(session)
            assert view.advice.run is not None
            wide = view.advice.run.levels["seat_bur_mm"] == "high"
            logged(session, run_of(view, result="loose" if wide else "good"))
    trial: Trial
    (trial,) = findings_with_values(session).trials
    assert (trial.statement, trial.stated_at) == ("made a difference", 5)
    assert len(orders) == 5


def test_a_block_that_was_left_is_gone_on_with(tmp_path: Path) -> None:
    """Its settings are kept; settling the same lead again takes up where it was left."""
    session = ada_at(tmp_path, *BURS)
    logged(session, a_row(grade="copper-1.5", stone_diameter_mm="1.5"))
    settle(session, "clearance_mm", "loose")
    begun = now(session).advice.block
    logged(session, run_of(now(session)))
    as_suggested(session)
    assert upcoming(session).purpose != "block"
    assert settle(session, "clearance_mm", "loose").sentence.startswith("Block 1: 7 settings")
    assert (now(session).advice.block, now(session).advice.repeat) == (begun, 7)


def test_a_block_can_be_logged_by_command_alone(tmp_path: Path) -> None:
    """A row of the kind block is its next setting, at its grade; two rows are the next two."""
    session = ada_at(tmp_path, *BURS)
    logged(session, a_row(grade="copper-1.5", stone_diameter_mm="1.5"))
    settle(session, "burnish_passes", "loose")
    block = now(session).advice.block
    assert block is not None
    made = logged(session, {"kind": "block", "result": "good"}, {"kind": "block", "result": "high"})
    with opened(session) as book:
        rows = [book.ask(attempt_by_id, attempt_id) for attempt_id in made]
    assert [(row.grade, row.block_run) for row in rows if row is not None] == [
        (now(session).advice.grade, 1),
        (now(session).advice.grade, 2),
    ]
    assert now(session).advice.run == block.runs[2]


def test_a_setting_of_a_block_that_is_logged_twice_is_told(tmp_path: Path) -> None:
    """As from a window that showed it before a command logged it: both are kept."""
    session = ada_at(tmp_path, *BURS)
    logged(session, a_row(grade="copper-1.5", stone_diameter_mm="1.5"))
    settle(session, "burnish_passes", "loose")
    shown = run_of(now(session))
    assert record(session, [{"kind": "block", "result": "good"}]).notices == ()
    second = record(session, [shown])
    assert second.stored
    assert [notice.partition(",")[0] for notice in second.notices] == ["block_run: read 1"]
    assert "not in the log yet; both are kept" in second.notices[0]


def test_what_is_read_in_a_block_is_asked_and_not_taken_from_its_plan(tmp_path: Path) -> None:
    """The burnishing passes are a reading: the plan is shown as what is wanted."""
    session = ada_at(tmp_path, *BURS)
    logged(session, a_row(grade="copper-1.5", stone_diameter_mm="1.5"))
    settle(session, "burnish_passes", "loose")
    view = now(session)
    assert view.advice.run is not None
    assert "burnish_passes" not in view.set_up
    asked = next(r for r in view.readings if r.field == "burnish_passes")
    assert asked.target == f"{view.advice.run.values['burnish_passes']}, as planned"


def test_a_lead_that_no_block_can_settle_says_why(tmp_path: Path) -> None:
    """What stays fixed in a block, what is no defect, and a drawer with one size."""
    session = ada_at(tmp_path, BURS[0])
    for variable, defect, why in (
        ("metal_state", "loose", "everything else stays as it is"),
        ("seat_bur_mm", "wide seat", "a block counts defects"),
        (
            "fit",
            "loose",
            r"the seat bur, from 1\.35 to 1\.45 mm for a stone of 1\.5 mm",
        ),
        ("burnisher_tip_mm", "loose", r"burnisher's tip, up to 1\.50 mm for a stone of 1\.5 mm"),
    ):
        with pytest.raises(Refused, match=why):
            settle(session, variable, defect)
