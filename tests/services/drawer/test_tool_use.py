"""What a tool is for and what was done with it, from the log and the sizes."""

from pathlib import Path

from tests.services.bench import ada_at

from platebook.services.attempts.recording import record
from platebook.services.drawer.drawer import drawer_view, put_in
from platebook.services.drawer.tool_checks import check_typed
from platebook.services.drawer.tool_use import NOT_TAKEN, CheckSeen, MadeWith, ToolUse, tool_uses
from platebook.services.session import Session

ROW = {
    "grade": "copper-2.0",
    "stone_diameter_mm": "2.0",
    "seat_bur": "1.9 mm setting bur",
    "seat_bur_mm": "1.9",
    "pilot_mm": "0.7",
}


def uses_by_name(session: Session) -> dict[str, ToolUse]:
    """By the tool's name."""
    uses = tool_uses(session)
    return {row.name: uses[row.tool_id] for row in drawer_view(session)}


def test_a_bur_says_at_which_grades_sizes_take_it_and_how_the_last_came_out(tmp_path: Path) -> None:
    """Its own attempts only, the newest first; another bur has none."""
    session = ada_at(tmp_path)
    for typed in ("bur 1.9 setting", "bur 0.6 setting", "twist drill 0.7"):
        put_in(session, typed)
    judged = [{"result": "good"}, {"result": "tilted", "severity": "2"}]
    rows = [
        ROW | result | {"began": f"2026-01-0{day}T18:00:00+00:00"}
        for day, result in enumerate(judged, 3)
    ]
    assert record(session, rows).problems == ()
    uses = uses_by_name(session)
    bur = uses["1.9 mm setting bur"]
    assert bur.last == (
        MadeWith("2026-01-04", "2.0 mm in copper", "tilted, clearly", "failed"),
        MadeWith("2026-01-03", "2.0 mm in copper", "good", "good"),
    )
    assert bur.used == ("Used last on 4 January (1 attempt) and 3 January (1 attempt).",)
    assert any("as the seat bur at" in said and "2.0 mm in copper" in said for said in bur.sizes)
    assert uses["0.7 mm twist drill"].last == bur.last
    assert uses["0.6 mm setting bur"] == ToolUse(sizes=(NOT_TAKEN,))


def test_what_measures_shows_its_checks_and_which_one_counts(tmp_path: Path) -> None:
    """A later single reading corrects nothing, so the one before goes on counting."""
    session = ada_at(tmp_path)
    put_in(session, "measuring caliper")
    (row,) = drawer_view(session)
    check_typed(session, row.tool_id, "1.00 1.01 1.00 1.02 1.01 1.01")
    check_typed(session, row.tool_id, "2.00 2.00")
    (use,) = tool_uses(session).values()
    (day,) = {check.day for check in use.checks}
    assert use.checks == (
        CheckSeen(day, known="2 mm", off="as it is", readings=1, counts=False),
        CheckSeen(day, known="1 mm", off="+0.010 mm", readings=5, counts=True),
    )
    assert (use.used, use.last) == (("Checked today.",), ())
