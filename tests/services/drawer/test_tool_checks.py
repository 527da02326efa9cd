"""Measuring tools: a check is recorded, says what the tool is worth, and corrects readings."""

from pathlib import Path

import pytest
from tests.services.bench import a_row, ada_at, logged

from platebook.analysis.measurements.seat_readings import seat_readings
from platebook.practice.attempt import Attempt
from platebook.services.answers import basis_of, hand_of
from platebook.services.attempts.log import attempt_with
from platebook.services.attempts.recording import amend, record, undo
from platebook.services.drawer.drawer import change, drawer_view
from platebook.services.drawer.tool_checks import (
    check_tool,
    check_typed,
    last_checks,
    worth_by_name,
)
from platebook.services.people.setters import add_tool
from platebook.services.session import Refused, Session
from platebook.trade.records import Tool

MICROMETER = Tool(kind="measuring", name="bore gauge", resolution_mm=0.001, mpe_mm=0.004)
READINGS = ("1.990", "1.991", "1.989", "1.990", "1.990")


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """Ada with a bore gauge in her drawer."""
    found = ada_at(tmp_path)
    add_tool(found, MICROMETER)
    return found


def test_a_check_says_bias_spread_and_what_a_reading_is_good_to(session: Session) -> None:
    """Mean less known size; s of five; k from Student's t (JCGM 100, G.4.1)."""
    done = check_tool(session, "bore gauge", known="2.000", readings=READINGS, against="plug gauge")
    assert done.bias_mm == pytest.approx(-0.010)
    assert done.repeatability_mm == pytest.approx(0.000707, abs=1e-6)
    assert (done.within_mpe, done.settles_window) == (False, True)
    assert "That is OUTSIDE its stated error of 0.004 mm." in done.sentences
    (last,) = last_checks(session).values()
    assert (last.check.against, last.bias_mm) == ("plug gauge", done.bias_mm)


def test_a_check_is_taken_back_like_any_change(session: Session) -> None:
    """The one before it stands again."""
    check_tool(session, "bore gauge", known="2", readings=["2.001", "2.001"])
    check_tool(session, "bore gauge", known="2", readings=["2.020", "2.021"])
    undo(session)
    assert [c.bias_mm for c in last_checks(session).values()] == [pytest.approx(0.001)]


def test_a_bias_just_at_the_stated_error_is_within_it(session: Session) -> None:
    """2.004 is not more than 0.004 off 2.000; just outside is told finer than the limit."""
    at = check_tool(session, "bore gauge", known="2.000", readings=["2.004"] * 5)
    over = check_tool(session, "bore gauge", known="2.000", readings=[*["2.004"] * 4, "2.005"])
    assert (at.within_mpe, over.within_mpe) == (True, False)
    assert over.sentences[0] == "bore gauge reads 0.0042 mm more than 2 mm."


def test_a_single_reading_says_so_and_corrects_nothing(session: Session) -> None:
    """What the tool is good to rests on its stated errors (JCGM 100, 4.3.7)."""
    done = check_tool(session, "bore gauge", known="2.000", readings=["2.003"])
    assert done.sentences[:2] == (
        "bore gauge reads 0.003 mm more than 2 mm.",
        "This is one reading: it tells no spread and corrects nothing; take five.",
    )
    assert "By its stated error a reading is good to ± 0.005 mm." in done.sentences
    assert basis_of(session).worth["bore gauge"].bias_mm == 0


def test_a_check_is_typed_in_one_line(session: Session) -> None:
    """The known size, then the readings; the drawer says when. Without readings it is refused."""
    (tool,) = drawer_view(session)
    assert (tool.use, tool.sure) == ("never checked", False)
    with pytest.raises(Refused, match="expected a known size and readings of it"):
        check_typed(session, tool.tool_id, "2.000")
    said = check_typed(session, tool.tool_id, "2.000 " + " ".join(READINGS))
    assert "reads 0.010 mm less than 2 mm." in said
    (tool,) = drawer_view(session)
    assert (tool.use, tool.sure) == ("checked 3 February 2026", True)
    assert tool.about[0] in said


def test_a_single_reading_does_not_put_a_check_aside(session: Session) -> None:
    """Its bias is told; readings are corrected by the five before it, until a check comes again."""
    five = check_tool(session, "bore gauge", known="2.000", readings=READINGS)
    worth = basis_of(session).worth
    one = check_tool(session, "bore gauge", known="2.000", readings=["2.003"])
    assert one.bias_mm == pytest.approx(0.003)
    assert one.sentences[-1] == (
        "The check of 3 February 2026 with 5 readings (-0.010 mm) still corrects what is read."
    )
    (counting,) = last_checks(session).values()
    assert counting.check.check_id == five.check.check_id
    assert any(
        s.startswith("One reading on 3 February 2026 was +0.003") for s in counting.sentences
    )
    assert basis_of(session).worth == worth
    check_tool(session, "bore gauge", known="2.000", readings=["2.001", "2.001"])
    assert basis_of(session).worth["bore gauge"].bias_mm == pytest.approx(0.001)


def test_later_readings_are_corrected_and_count_with_their_uncertainty(session: Session) -> None:
    """A seat read 1.95 by a gauge that reads 0.01 small is 1.96, and the hand learns from that."""
    logged(session, a_row(seat_diameter_mm="1.95", seat_measured_with="bore gauge"))
    before = hand_of(session, basis_of(session)).for_shape("hart")
    check_tool(session, "bore gauge", known="2.000", readings=READINGS)
    bench = basis_of(session)
    ((reading,), refused) = seat_readings(bench.attempts, bench.worth)
    assert refused == ()
    assert reading.low_mm == pytest.approx(0.06)
    assert reading.u_mm == pytest.approx(bench.worth["bore gauge"].standard_mm)
    after = hand_of(session, bench).for_shape("hart")
    assert before is not None
    assert after is not None
    assert after.overcut_mm > before.overcut_mm


@pytest.mark.parametrize("typed", ["Bore Gauge", "bore  gauge", "BOREGAUGE", "böre gäuge"])
def test_a_tool_is_named_without_case_accents_and_blanks(typed: str, session: Session) -> None:
    """The record has it as the drawer does, and its readings are corrected."""
    check_tool(session, typed, known="2.000", readings=READINGS)
    (one,) = logged(session, a_row(seat_diameter_mm="1.95", seat_measured_with=typed))
    assert attempt_with(session, one).seat_measured_with == "bore gauge"
    bench = basis_of(session)
    ((reading,), _) = seat_readings(bench.attempts, bench.worth)
    assert reading.low_mm == pytest.approx(0.06)


def test_a_name_of_an_older_record_is_found_too(session: Session) -> None:
    """Typed before names were matched, or before the tool lay in the drawer."""
    check_tool(session, "bore gauge", known="2.000", readings=READINGS)
    worth = basis_of(session).worth
    attempt = Attempt(seat_bur_mm=1.9, seat_diameter_mm=1.95, seat_measured_with="Bore  Gauge")
    ((reading,), _) = seat_readings([attempt], worth)
    assert reading.u_mm == pytest.approx(worth["bore gauge"].standard_mm)


def test_a_tool_that_is_not_in_the_drawer_is_said_once_and_kept(session: Session) -> None:
    """A notice with the names that are there; the reading stands as typed."""
    row = a_row(seat_diameter_mm="1.95", seat_measured_with="boar gauge")
    done = record(session, [row, row])
    assert done.stored
    (told,) = done.problems
    assert str(told).startswith(
        "row 1, seat_measured_with: read 'boar gauge', "
        "expected a measuring tool of the drawer (bore gauge); the reading is kept"
    )
    assert {a.seat_measured_with for a in basis_of(session).attempts} == {"boar gauge"}


def test_of_two_tools_of_one_name_the_id_tells_which(session: Session) -> None:
    """A name that two bear stands for neither; it is kept and said."""
    second = add_tool(session, MICROMETER.model_copy(update={"name": "Bore Gauge"}))
    tool_id = second.tool_id or ""
    row = a_row(seat_diameter_mm="1.95", seat_measured_with="boregauge")
    (told,) = record(session, [row]).problems
    assert "one tool; 2 of the drawer are called so: give its id" in told.expected
    assert "boregauge" not in basis_of(session).worth
    assert not record(session, [{**row, "seat_measured_with": tool_id}]).problems
    assert not record(session, [{**row, "seat_measured_with": "Bore Gauge"}]).problems
    assert {tool_id, "Bore Gauge", "bore gauge"} <= {*basis_of(session).worth}


def test_a_kind_that_does_not_reach_inside_is_said_with_its_reason(session: Session) -> None:
    """The reading is kept, for it may have been another tool; a pin or a drill needs no words."""
    add_tool(session, Tool(kind="measuring", name="the blue one", measuring_kind="micrometer"))
    add_tool(session, Tool(kind="pin", name="my pin", size_mm=1.95))
    row = a_row(seat_diameter_mm="1.95", seat_measured_with="The Blue One")
    done = record(session, [row])
    (told,) = done.problems
    assert (done.stored, told.level) == (True, "notice")
    assert "a micrometer does not fit inside (its anvils close on outsides)" in told.expected
    assert record(session, [{**row, "seat_measured_with": "my pin"}]).problems == ()


def test_a_caliper_by_its_kind_is_refused_inside_a_small_seat(session: Session) -> None:
    """Whatever it is called; from 3 mm on it may be used. Amending refuses as recording does."""
    add_tool(session, Tool(kind="measuring", name="the red one", measuring_kind="caliper"))
    done = record(session, [a_row(seat_diameter_mm="1.95", seat_measured_with="the red one")])
    assert not done.stored
    assert [(p.field, p.level) for p in done.problems] == [("seat_diameter_mm", "problem")]
    large = a_row(stone_diameter_mm="4", seat_bur_mm="3.9", seat_diameter_mm="3.95", fit="")
    assert record(session, [{**large, "seat_measured_with": "the red one"}]).stored
    (one,) = logged(session, a_row(seat_diameter_mm="1.95"))
    amended = amend(session, one, {"seat_measured_with": "the red one"})
    assert not amended.stored
    assert attempt_with(session, one).seat_measured_with is None


def test_what_stood_before_does_not_hold_up_another_correction(session: Session) -> None:
    """A note can be amended where the tool was named before the drawer knew its kind."""
    tool = add_tool(session, Tool(kind="measuring", name="the red one"))
    (one,) = logged(session, a_row(seat_diameter_mm="1.95", seat_measured_with="the red one"))
    change(session, tool.tool_id or "", "measuring caliper the red one")
    assert amend(session, one, {"note": "by lamp"}).problems == ()
    assert attempt_with(session, one).note == "by lamp"


def test_a_tool_of_unknown_error_is_worth_nothing_known() -> None:
    """Without a check and without a stated error a reading keeps the usual uncertainty."""
    assert worth_by_name([Tool(kind="measuring", name="old rule", resolution_mm=0.5)], []) == {}


@pytest.mark.parametrize("name", ["caliper", "my Calliper", "dial caliper"])
def test_a_caliper_inside_a_small_seat_is_refused_with_its_reason(
    name: str, session: Session
) -> None:
    """Flat jaws bridge the curve (geometry); from 3 mm on it may be used."""
    done = record(session, [a_row(seat_diameter_mm="1.95", seat_measured_with=name)])
    assert not done.stored
    (problem,) = (p for p in done.problems if p.level == "problem")
    assert problem.field == "seat_diameter_mm"
    assert "pins, a drill shank or the stone itself under 3 mm" in problem.expected
    large = a_row(stone_diameter_mm="4", seat_bur_mm="3.9", seat_diameter_mm="3.95", fit="")
    assert record(session, [{**large, "seat_measured_with": name}]).stored


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"named": "wooden rule"}, "tool: read 'wooden rule', expected one measuring tool"),
        ({"known": "two"}, "against: read 'two'"),
        ({"readings": ()}, "reading: read 'nothing', expected at least one reading"),
        ({"uncertainty": "5"}, "uncertainty: read '5', expected a standard uncertainty of at most"),
        ({"readings": ("19.9",)}, "reading: read '19.9 mm', expected within 1 mm of 2 mm"),
    ],
)
def test_what_is_no_check_is_refused(
    session: Session, values: dict[str, object], says: str
) -> None:
    """With what was read and what was expected; nothing is recorded."""
    given = {"named": "bore gauge", "known": "2", "readings": ("2.0",)} | values
    with pytest.raises(Refused) as caught:
        check_tool(session, str(given.pop("named")), **given)  # type: ignore[arg-type]
    assert says in caught.value.sentence
    assert last_checks(session) == {}
