"""Values that the screens show in tests: an evening at an invented setter's bench."""

from typing import Any

from platebook.advice.exercise import NextExercise, Run
from platebook.advice.minding import Minded
from platebook.practice.reading.questions import Question
from platebook.practice.results import Outcome
from platebook.practice.seeing import SeeingStanding, SeeingTry
from platebook.services.attempts.log import LogRow
from platebook.services.drawer.drawer import DrawerRow
from platebook.services.drawer.tool_use import CheckSeen, MadeWith, ToolUse
from platebook.services.now.minding import Minding
from platebook.services.now.now_view import NowView
from platebook.services.plates import PlateCell, PlateView
from platebook.services.seeing import Judged, Misjudged, PlateToSee, SeeingView
from platebook.trade import Sheet, Stone, Tool, size
from platebook.values import replace

FIT = Question(
    field="fit",
    label="fit",
    keys=(
        ("1", "will not enter"),
        ("2", "enters with a firm push"),
        ("3", "enters tilted and snaps"),
        ("4", "drops in"),
        ("5", "drops in and moves"),
    ),
    target="enters tilted and snaps",
    wanted=("enters tilted and snaps",),
    meaning="how the stone itself goes into the seat",
)
TRIAL_HEIGHT = Question(
    field="trial_height",
    label="trial height",
    keys=(("1", "proud"), ("2", "flush"), ("3", "just under"), ("4", "deep")),
    target="flush or just under",
    wanted=("flush", "just under"),
    meaning="table of the trial stone before burnishing",
)
LEDGE = Question(
    field="ledge",
    label="ledge",
    keys=(
        ("1", "even"),
        ("2", "slightly wider one side"),
        ("3", "clearly wider one side"),
    ),
    target="even",
    wanted=("even",),
    meaning="the ring that carries the girdle, seen from above",
)
PIN = Question(
    field="seat_go_mm",
    label="go pin",
    keys=(),
    unit="mm",
    target="1.93 to 1.98",
    low=1.93,
    high=1.98,
    meaning="largest pin that enters",
)
SET_UP = {
    "stone_material": "cubic zirconia",
    "stone_diameter_mm": "1.98",
    "metal": "copper",
    "sheet_mm": "0.812",
    "seat_bur_shape": "hart",
    "seat_bur_mm": "1.9",
    "lubricant": "wax",
    "support": "pitch",
}


LAST_EIGHT: tuple[Outcome, ...] = (*("good",) * 3, "failed", "good", "slight", "failed", "good")
"""Six good ones of which one is slight, and two failures among them."""


def a_view(**changes: Any) -> NowView:
    """A whole setting of 2 mm in copper with three readings asked, with these values changed."""
    view = NowView(
        setter="Ottoline Marsh",
        course_title="From small to large",
        grade_title="2.0 mm in copper",
        exercise_title="A whole setting",
        task="Drill, open, cut the seat, tip the stone in, level and burnish it.",
        criterion="held, table level with the metal or just below, rim closed",
        advice=some_advice(
            why=(
                "5 of the last 8 at 2.0 mm in copper were good.",
                "No one skill stands out: depth 3 of 9 failures, width 2 of 9.",
            ),
        ),
        sizes=size(Stone(diameter_mm=1.98, material="cubic zirconia"), Sheet(sheet_mm=0.812)),
        set_up=SET_UP,
        readings_asked=True,
        readings=(FIT, TRIAL_HEIGHT, LEDGE),
        points=7,
        promote_at=11,
        good_to_go=4,
        plate=PlateView(
            name="C",
            cells=(
                PlateCell("1", "+", "good", outcome="good"),
                PlateCell("2", "H", "high", outcome="slight"),
                PlateCell("3", "t", "tilted", outcome="failed"),
                *(PlateCell(str(n), "", "") for n in range(4, 11)),
            ),
            next_position="4",
        ),
        cautions=("Eye protection with the magnifier; a visor lens is not protection.",),
        attempts=37,
        whole=37,
        parts=0,
        days_since=3,
        invented=False,
        evening="Last time, 25 February: 4 of 6 good, 2 loose.",
        next_time="Next time: A whole setting, 2.0 mm in copper.",
        last=LAST_EIGHT,
    )
    return replace(view, **changes)


A_RUN = Run(
    run=3,
    levels={"seat_bur_mm": "high", "burnish_passes": "low"},
    values={"seat_bur_mm": 1.95, "burnish_passes": "1"},
)


def a_view_of_a_block() -> NowView:
    """The third setting of a block that settles a lead."""
    return a_view(
        exercise_title="Block 1, setting 3 of 8",
        advice=some_advice(
            kind="block",
            title="Block 1, setting 3 of 8",
            purpose="block",
            chosen_by="Ottoline Marsh",
            why=("You asked to settle whether the seat bur makes a difference to loose.",),
            changes=("Suggested after it: A whole setting, 2.0 mm in copper.",),
            block_name="seat_bur_mm loose 1 (seed 7)",
            block_levels="loose by seat_bur_mm: seat_bur_mm 1.95 high, burnish_passes 1 low",
            run=A_RUN,
        ),
    )


def some_minding() -> Minding:
    """A habit to mind."""
    return Minding(
        mind=Minded(
            name="metal_state higher loose",
            variable="metal_state",
            defect="loose",
            status="claim",
            gone=False,
            line="Mind today: anneal the sheet. Loose 8 of 10 with metal worked, "
            "6 of 48 with metal annealed today.",
            brief="Mind today: anneal the sheet.",
            counts="Loose 8 of 10 with metal worked, 6 of 48 with metal annealed today.",
        )
    )


def some_minded() -> tuple[Minded, ...]:
    """What to mind of the claim among some findings."""
    what = "a smaller seat bur, or fewer strokes with it"
    counts = "Loose 7 of 10 with above 0.05 mm, 2 of 15 of the others."
    return (
        Minded(
            name="clearance_mm higher loose",
            variable="clearance_mm",
            defect="loose",
            status="claim",
            gone=False,
            line=f"Mind today: {what}. {counts}",
            brief=f"Mind today: {what}.",
            counts=counts,
        ),
    )


def some_advice(**changes: Any) -> NextExercise:
    """A whole setting at 2 mm in copper, with these values changed."""
    return NextExercise(
        **{
            "course": "small-to-large",
            "course_version": 1,
            "grade": "copper-2.0",
            "grade_title": "2.0 mm in copper",
            "exercise": "whole",
            "title": "A whole setting",
            "task": "Set one stone.",
            "criterion": "Good.",
            "kind": "whole",
            "part": None,
            "repeat": 1,
            "purpose": "settings",
            "why": (),
            "changes": (),
            "readings_asked": True,
            "success": 0.55,
            "trouble": {},
            "state": "practised",
            "practised": changes.get("grade", "copper-2.0"),
        }
        | changes
    )


def an_empty_view() -> NowView:
    """The first evening: nothing logged, nothing carried over."""
    return a_view(
        set_up={},
        points=0,
        good_to_go=11,
        plate=None,
        attempts=0,
        whole=0,
        days_since=None,
        evening="",
        next_time="",
        cautions=(),
        advice=some_advice(
            grade="copper-1.5",
            exercise="burnishing-no-stone",
            kind="part",
            part="burnishing no stone",
            repeat=5,
            why=("The first exercise of the course: a prepared seat, burnished.",),
        ),
        exercise_title="Burnishing an empty seat",
        grade_title="1.5 mm in copper",
        task="Burnish five empty seats one full round.",
        criterion="the go pin that entered no longer does; the rim is bright all round",
        readings_asked=False,
        readings=(),
    )


def log_rows(count: int) -> tuple[LogRow, ...]:
    """So many attempts, newest first."""
    results: tuple[tuple[tuple[str, ...], tuple[int, ...], Outcome], ...] = (
        (("good",), (), "good"),
        (("tilted",), (1,), "slight"),
        (("good",), (), "good"),
        (("loose", "gap"), (3, 1), "failed"),
    )
    rows = []
    for place in range(count):
        result, severity, outcome = results[place % len(results)]
        rows.append(
            LogRow(
                attempt_id=f"a{place}",
                began_text=f"2026-02-{28 - place % 28:02d} 18:30",
                grade="copper-2.0",
                exercise="whole",
                stone_text="1.98",
                bur_text="1.90",
                result=result,
                severity=severity,
                note="chatter at the end" if "loose" in result else "",
                setter="Ottoline Marsh",
                outcome=outcome,
                place=f"plate C, position {10 - place % 10}",
                grade_title="2.0 copper",
                exercise_title="whole setting",
            )
        )
    return tuple(rows)


SOME_TOOLS = (
    Tool(kind="twist drill", size_mm=0.7),
    Tool(kind="bur", shape="ball", size_mm=1.8),
    Tool(kind="bur", shape="hart", size_mm=1.9),
    Tool(kind="burnisher", name="rounded burnisher", size_mm=0.6),
)


DRAWER = (
    DrawerRow("t1", "twist drill", "0.65 mm twist drill", "0.65", "", "twist drill 0.65"),
    DrawerRow("t2", "bur", "1.9 mm hart bur", "1.90", "44 seats cut", "bur 1.9 hart"),
    DrawerRow(
        "t3",
        "measuring",
        "caliper",
        "",
        "checked 3 January 2026",
        "measuring",
        about=("caliper reads 0.010 mm more than 2 mm.",),
    ),
)


TOOL_USES = {
    "t2": ToolUse(
        sizes=("Sizes take it as the seat bur at 2.0 mm in copper and 2.0 mm in brass.",),
        used=("Used last on 2 January (4 attempts) and 26 December 2025 (8 attempts).",),
        last=(
            MadeWith("2026-01-02", "2.0 mm in copper", "good", "good"),
            MadeWith("2025-12-26", "2.0 mm in brass", "tilted, clearly", "failed"),
        ),
    ),
    "t3": ToolUse(
        used=("Used last on 2 January (4 seats read).", "Checked yesterday."),
        checks=(
            CheckSeen("2026-01-03", "2 mm", "+0.010 mm", 5, counts=True),
            CheckSeen("2025-05-04", "1.5 mm", "as it is", 1, counts=False),
        ),
    ),
}


def some_plates_to_see() -> SeeingView:
    """Two reference plates, of which one was judged a month ago."""
    last = SeeingTry(began=None, plate="R", right=10, of=12)
    standing = SeeingStanding(last, passed=True, due=None, tries=1)
    plates = (PlateToSee("R", ("3", "1", "4", "2")), PlateToSee("S", ("1", "2")))
    return SeeingView(plates, standing, due=True)


def a_judged_plate() -> Judged:
    """A plate of four with one loose stone that was called good."""
    standing = SeeingStanding(SeeingTry(None, "R", 3, 4), passed=False, due=None, tries=2)
    missed = (Misjudged("2", "good", "loose, clearly"),)
    return Judged("R", 3, 4, 4, missed, kinder=1, harder=0, standing=standing)
