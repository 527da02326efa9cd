"""Values that the screens show in tests: an evening at an invented setter's bench."""

import dataclasses
from datetime import date
from typing import Any

from tests.builders import an_attempt, clearances, some_course

from platebook.advice.exercise import NextExercise, Run
from platebook.advice.minding import Minded
from platebook.analysis.findings.deciding.support import support_of
from platebook.analysis.findings.telling.pictures import Level, Picture
from platebook.analysis.findings.telling.results import (
    ClockPattern,
    Count,
    Finding,
    Findings,
    MoreNeeded,
    NotJudged,
    Retired,
)
from platebook.analysis.grades.progress import Progress, progress
from platebook.analysis.grades.states import State
from platebook.analysis.models.intervals import wilson
from platebook.practice.attempt import Attempt
from platebook.practice.reading.questions import Question
from platebook.practice.results import Outcome
from platebook.practice.seeing import SeeingStanding, SeeingTry
from platebook.services.attempts.log import LogRow
from platebook.services.drawer.drawer import DrawerRow
from platebook.services.drawer.tool_use import CheckSeen, MadeWith, ToolUse
from platebook.services.now.minding import Minding
from platebook.services.now.now_view import NowView
from platebook.services.pages.course_page import GROUPS, CourseRow, CourseView, StandsAt
from platebook.services.plates import PlateCell, PlateView
from platebook.services.seeing import Judged, Misjudged, PlateToSee, SeeingView
from platebook.trade import Sheet, Stone, Tool, size

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
        days_since=3,
        invented=False,
        evening="Last time, 25 February: 4 of 6 good, 2 loose.",
        next_time="Next time: A whole setting, 2.0 mm in copper.",
        last=LAST_EIGHT,
    )
    return dataclasses.replace(view, **changes)


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
    results: tuple[tuple[str, str, Outcome], ...] = (
        ("good", "", "good"),
        ("tilted", "1", "slight"),
        ("good", "", "good"),
        ("loose + gap", "3 1", "failed"),
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
                result_text=result,
                severity_text=severity,
                note="chatter at the end" if result.startswith("loose") else "",
                setter="Ottoline Marsh",
                outcome=outcome,
                place=f"plate C, position {10 - place % 10}",
                grade_title="2.0 copper",
                exercise_title="whole setting",
            )
        )
    return tuple(rows)


def some_findings() -> Findings:
    """A claim, a lead and a mechanism from 64 attempts."""
    return Findings(
        setter="Ottoline Marsh",
        attempts=64,
        failures=19,
        evidence="claims",
        findings=(
            a_finding("clearance_mm", "loose", "claim", ("above 0.05 mm", 7, 10), (2, 15)),
            a_finding("ledge", "tilted", "lead", ("wider one side", 5, 12), (4, 40)),
            a_finding("depth_error_mm", "high", "mechanism", ("cut shallow", 6, 7), (0, 20)),
        ),
        retired=(a_retired_finding(),),
        clocks=(a_clock_pattern(),),
        not_judged=(
            NotJudged(variable="metal", reason="no change but with the grade"),
            NotJudged(variable="runout", reason="noted on 4 of 64 attempts"),
        ),
        checked="Checked 21 things against 4 defects.",
        more_needed=MoreNeeded(low=8, high=24),
        answer=("64 attempts, 19 of them failed.", "The next decision comes at 72 attempts."),
    )


def a_retired_finding() -> Finding:
    """A claim of the spring that the summer did not bear out."""
    spring = a_finding("effort", "chipped", "claim", ("a hard effort", 9, 20), (3, 60))
    since = (
        Count(label="a hard effort", failed=0, of=12),
        Count(label="others", failed=1, of=30),
    )
    sentence = "No longer so: 0 of 12, against 1 of 30, since 2 June 2026 (attempt 81)."
    gone = Retired(attempt=81, day=date(2026, 6, 2), counts=since, sentence=sentence)
    return spring.model_copy(update={"retired": gone})


def a_clock_pattern() -> ClockPattern:
    """Seven of nine high ones on one side."""
    by_hour = (0, 0, 2, 3, 2, 0, 0, 0, 1, 0, 0, 1)
    return ClockPattern(
        defect="high",
        first=3,
        last=5,
        count=7,
        of=9,
        by_hour=by_hour,
        share=0.0142,
        sentence="7 of 9 high ones were at 3 to 5 o'clock.",
    )


def a_finding(
    variable: str, defect: str, status: Any, here: tuple[str, int, int], rest: tuple[int, int]
) -> Finding:
    """One finding with its two sides."""
    label, failed, of = here
    return Finding(
        variable=variable,
        family=variable,
        defect=defect,
        direction="higher",
        status=status,
        counts=(
            Count(label=label, failed=failed, of=of),
            Count(label="others", failed=rest[0], of=rest[1]),
        ),
        odds_ratio=None if status == "mechanism" else 2.4,
        low=None if status == "mechanism" else 1.3,
        high=None if status == "mechanism" else 4.6,
        posterior=0.8,
        share=0.02,
        sentence=f"{defect.capitalize()} went with {label}: {failed} of {of}, "
        f"against {rest[0]} of {rest[1]} of the others.",
        support=support_of(
            [Count(label="", failed=failed, of=of), Count(label="", failed=rest[0], of=rest[1])],
            status,
        ),
        notes=("A lead this strong turns up in 1 such log in 50 with nothing behind it.",),
    )


RANGES = (
    ("\N{MINUS SIGN}0.09 to 0.01 mm", 1, 8),
    ("0.02 to 0.05 mm", 1, 7),
    ("0.06 to 0.11 mm", 7, 10),
)


def a_picture(finding: Finding) -> Picture:
    """The ranges of the clearance; of any other finding its two sides."""
    sides = [(count.label, count.failed, count.of) for count in finding.counts]
    named = RANGES if finding.variable == "clearance_mm" else sides
    inside = len(named) - 1 if finding.variable == "clearance_mm" else 0
    levels = tuple(
        Level(name, failed, of, *wilson(failed, of), inside=place == inside)
        for place, (name, failed, of) in enumerate(named)
    )
    return Picture(finding.variable, finding.defect, levels)


VALUES = (
    clearances(
        (-0.01, 0.03, 0.06, 0.06, 0.07, 0.08, 0.08, 0.09, 0.11),
        (
            *(-0.09, -0.07, -0.06, -0.05, -0.05, -0.04, -0.02, -0.01),
            *(0.0, 0.01, 0.02, 0.03, 0.04, 0.06, 0.07, 0.09),
        ),
        unmeasured=39,
    ),
    None,
)


def no_findings() -> Findings:
    """The answer for an empty log."""
    return Findings(
        setter="Ottoline Marsh",
        attempts=0,
        failures=0,
        evidence="counts only",
        findings=(),
        not_judged=(),
        checked="Nothing was checked yet.",
        more_needed=MoreNeeded(low=20, high=40),
        answer=("No attempts are judged yet.",),
    )


def some_progress() -> Progress:
    """The first grade passed, the second worked at."""
    return progress(some_course(), [*_run("copper-1.5", "+" * 14), *_run("copper-2.0", MIXED)])


def no_progress() -> Progress:
    """The course before the first setting."""
    return progress(some_course(), [])


MIXED = "+-+-++-+++-++++"


def _run(grade: str, outcomes: str) -> list[Attempt]:
    return [
        an_attempt(
            attempt_id=f"{grade}-{place:03d}",
            grade=grade,
            result=("good",) if sign == "+" else ("loose",),
        )
        for place, sign in enumerate(outcomes)
    ]


SOME_TOOLS = (
    Tool(kind="twist drill", size_mm=0.7),
    Tool(kind="bur", shape="ball", size_mm=1.8),
    Tool(kind="bur", shape="hart", size_mm=1.9),
    Tool(kind="burnisher", name="rounded burnisher", size_mm=0.6),
)


def _grade_row(size: float, right: State, *about: str) -> CourseRow:
    return CourseRow(
        f"{size:g} mm in copper",
        right,
        about,
        practised=right == "practised",
        odds=("Within 60 settings pass 99 in 100 of those who fail 20 in 100.",),
    )


def a_course_view() -> CourseView:
    """A short course in its middle."""
    return CourseView(
        title="Small to large",
        about="1.5 to 3.0 mm in copper; little depth, fine work.",
        grades=(
            _grade_row(1.5, "passed", "14 of 20 good so far."),
            _grade_row(2.0, "practised", "9 of 17 good so far.", "Opens after 1.5 mm in copper."),
            _grade_row(2.5, "ahead", "Opens after 2 mm in copper."),
        ),
        exercises=(
            CourseRow(
                "Set a stone",
                "whole",
                ("Drill, open, seat, burnish.", "Good when: held"),
                group=GROUPS["whole"],
            ),
            CourseRow(
                "Five seats",
                "depth",
                ("Cut to depth.", "In rows of 5; 4 good ones pass."),
                group=GROUPS["part"],
            ),
        ),
        stands=StandsAt("2 mm in copper", 2, 3, 1, 4, "2.5 mm in copper", "Stones of 2.5 mm."),
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
            MadeWith("2025-12-26", "2.0 mm in brass", "tilted, clear", "failed"),
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
    missed = (Misjudged("2", "good", "loose, clear"),)
    return Judged("R", 3, 4, 4, missed, kinder=1, harder=0, standing=standing)
