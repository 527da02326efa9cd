"""Which skill a failed setting speaks against: the table, the readings and the step."""

import csv
from collections.abc import Sequence
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platebook.advice.defect_skills import SKILLS, blame, failing_defects, table_rows
from platebook.practice.attempt import Attempt
from platebook.practice.defects import Suspicion, defects
from platebook.practice.fields import choices, parts
from platebook.practice.results import DEFECTS

REFERENCE = Path(__file__).parent.parent / "reference" / "defect-skills.csv"


def test_the_table_is_the_reference_one() -> None:
    """Every defect of the reference (common practice) has its rows, in their order, unchanged."""
    with REFERENCE.open(encoding="utf-8", newline="") as file:
        reference = list(csv.DictReader(file))
    for defect in dict.fromkeys(row["defect"] for row in reference):
        assert _as_written(defects()[defect].speaks_against) == [
            (
                row["read_before"],
                {s: float(row.get(s.replace("-", ""), 0.0)) for s in SKILLS},
                row["kind"],
            )
            for row in reference
            if row["defect"] == defect
        ]


def _as_written(rows: Sequence[Suspicion]) -> list[tuple[str, dict[str, float], str]]:
    return [
        (row.read_before, {s: row.weights.get(s, 0.0) for s in SKILLS}, row.kind) for row in rows
    ]


def _shares(**values: object) -> dict[str, float]:
    found = blame(Attempt().with_values(**values))
    return {skill: round(share, 3) for skill, share in found.items() if share}


def test_without_a_reading_the_blank_row_speaks() -> None:
    """Loose without a fit: 0.5, 0.1, 0.4 over the largest, 0.5 (common practice's table)."""
    assert _shares(result=("loose",)) == {"width": 1.0, "depth": 0.2, "burnishing": 0.8}


def test_a_reading_sharpens_it() -> None:
    """A stone that drops in and moves points to width; one that snapped in to burnishing."""
    wide = _shares(result=("loose",), fit="drops in and moves")
    assert wide == {"width": 1.0, "burnishing": 0.25}
    snug = _shares(result=("loose",), fit="enters tilted and snaps")
    assert snug["burnishing"] == 1.0
    assert snug["width"] == pytest.approx(0.143)


@pytest.mark.parametrize(
    ("values", "worst"),
    [
        ({"result": ("high",), "trial_height": "proud"}, "depth"),
        ({"result": ("high",), "trial_height": "flush"}, "levelling"),
        ({"result": ("low",)}, "depth"),
        ({"result": ("tilted",), "ledge": "clearly wider one side"}, "pilot"),
        ({"result": ("tilted",), "ledge": "even", "levelled_by": "pressed"}, "burnishing"),
        ({"result": ("tilted",), "levelled_by": "would not"}, "levelling"),
        ({"result": ("chipped",), "fit": "enters with a firm push"}, "width"),
        ({"result": ("chipped",)}, "burnishing"),
        ({"result": ("marred",)}, "burnishing"),
        ({"result": ("off mark",)}, "pilot"),
    ],
)
def test_each_defect_points_to_its_skill(values: dict[str, object], worst: str) -> None:
    """The largest weight of the fitting row is the whole blame (common practice's table)."""
    shares = _shares(**values)
    assert max(shares, key=lambda skill: shares[skill]) == worst
    assert shares[worst] == 1.0


def test_the_largest_over_the_defects_counts() -> None:
    """Two defects blame each skill by whichever says more."""
    shares = _shares(result=("low", "marred"))
    assert shares == {"opening": 0.25, "depth": 1.0, "burnishing": 1.0, "clean-up": 0.25}


def test_the_step_where_it_was_first_seen_overrules_the_table() -> None:
    """A fault first seen while opening is the opening's, whatever the table says."""
    assert _shares(result=("loose", "high"), first_seen="opening") == {"opening": 1.0}


def test_a_step_that_is_no_skill_leaves_the_table() -> None:
    """The push test shows a fault and is not what made it."""
    assert _shares(result=("low",), first_seen="push test") == {"opening": 0.25, "depth": 1.0}
    steps = {choice.value for choice in choices()["first_seen"]}
    assert set(SKILLS) <= steps


def test_a_stone_not_looked_at_blames_no_skill() -> None:
    """A chip in a stone that was used before or not checked says: choose the stone."""
    assert _shares(result=("chipped",), stone_uses=2) == {}
    assert _shares(result=("chipped",), stone_checked=False) == {}


def test_good_remarks_and_the_sheet_blame_nobody() -> None:
    """A good setting, a slight defect and a point that stands out speak against no skill."""
    assert _shares(result=("good",)) == {}
    assert _shares(result=("high",), severity=(1,)) == {}
    assert _shares(result=("culet out",)) == {}
    assert _shares(result=None) == {}


def test_a_stricter_course_blames_slight_defects() -> None:
    """From severity 1 on, a slight defect is a failure."""
    attempt = Attempt(result=("high",), severity=(1,))
    assert failing_defects(attempt, failure_from=1) == ("high",)
    assert blame(attempt, failure_from=1)["depth"] == 1.0


def test_loose_fails_at_any_severity() -> None:
    """A slightly loose stone blames as a loose one."""
    assert _shares(result=("loose",), severity=(1,))["width"] == 1.0


@given(
    st.lists(st.sampled_from(DEFECTS), min_size=1, max_size=3, unique=True),
    st.sampled_from([None, *(c.value for c in choices()["fit"]), "own word"]),
)
def test_blame_is_a_share(defects: list[str], fit: str | None) -> None:
    """Every failure blames between 0 and 1, and some skill fully unless the row is empty."""
    shares = blame(Attempt(result=tuple(defects), fit=fit))
    assert all(0 <= share <= 1 for share in shares.values())
    assert max(shares.values()) == 1.0


def test_every_reading_and_skill_of_the_table_is_understood() -> None:
    """One that nobody can evaluate is refused; a row of every defect fits whatever was read."""
    rows = table_rows()
    assert {row.defect for row in rows} == set(defects())
    assert {row.defect for row in rows if not row.read_before} == set(defects())


def test_skills_are_the_parts_that_are_steps_of_the_work() -> None:
    """In the order of the work (common practice)."""
    in_order = ("pilot", "opening", "width", "depth", "levelling", "burnishing", "clean-up")
    assert tuple(skill for skill in SKILLS if skill in in_order) == in_order
    assert set(SKILLS) <= set(parts())
