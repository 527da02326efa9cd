"""Now: kept as it was worked out, never stale, and as somebody likes it."""

from datetime import timedelta
from pathlib import Path

from tests.services.bench import NOW, SEAT_BUR, a_row, ada_at, logged

from platebook.services.attempts.recording import remedy_for
from platebook.services.courses.in_force import use_course
from platebook.services.now.now_view import now, show_steps, what_next
from platebook.services.people.setters import add_tool
from platebook.trade.records import Tool
from platebook.values import replace


def test_the_list_of_steps_stays_as_it_was_left(tmp_path: Path) -> None:
    """Folded away at first; unfolded until it is folded again."""
    session = ada_at(tmp_path)
    seen = [now(session).steps_shown]
    for shown in (True, False):
        show_steps(session, shown=shown)
        seen.append(now(session).steps_shown)
    assert seen == [False, True, False]


def test_what_is_kept_is_what_was_worked_out(tmp_path: Path) -> None:
    """Read back from its file it is equal, field by field, sizes and reasons and plate."""
    session = ada_at(tmp_path, SEAT_BUR)
    logged(session, a_row(plate="C", position="1"), a_row(result="high", plate="C", position="2"))
    worked_out, kept = now(session), now(session)
    assert kept == worked_out
    assert kept.sizes is not None
    assert kept.plate is not None


def test_nothing_kept_outlives_what_it_rests_on(tmp_path: Path) -> None:
    """Another attempt, a tool, a classmate's day, another course, another day: each is seen."""
    session = ada_at(tmp_path)
    before = now(session)
    logged(session, a_row())
    after = now(session)
    assert (before.attempts, after.attempts) == (0, 1)
    add_tool(session, SEAT_BUR)
    with_tool = now(session)
    assert with_tool.sizes != after.sizes
    use_course(session, "large-to-small")
    assert now(session).course_title != with_tool.course_title
    later = replace(session, clock=lambda: NOW + timedelta(days=30))
    assert (now(session).days_since, now(later).days_since) == (0, 30)


def test_a_saved_attempt_is_answered_with_what_comes_next_and_its_remedy(tmp_path: Path) -> None:
    """A good one needs no remedy."""
    session = ada_at(tmp_path)
    logged(session, a_row(result="loose", severity="2"))
    assert (what_next(session, "loose").view, what_next(session, "good").remedies) == (
        now(session),
        (),
    )
    assert what_next(session, "loose").remedies == remedy_for("loose")


def test_a_seat_is_offered_the_tools_that_can_read_it(tmp_path: Path) -> None:
    """Not a micrometer; a caliper only from 3 mm on (its flat jaws bridge the curve); the last."""
    session = ada_at(tmp_path)
    for kind in ("caliper", "micrometer", "bore gauge"):
        add_tool(
            session,
            Tool.model_validate({"kind": "measuring", "name": kind, "measuring_kind": kind}),
        )
    assert (now(session).seat_tools, now(session).seat_tool) == (("bore gauge",), "")
    logged(session, a_row(seat_diameter_mm="1.95", seat_measured_with="Bore Gauge"), a_row())
    assert now(session).seat_tool == "bore gauge"
