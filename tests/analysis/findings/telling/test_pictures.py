"""A finding's picture: its levels add up to its counts, and the parting line parts them."""

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.simulated.coarse_logs import a_log
from tests.simulated.planted import FEW_CHECKS, Cause, Plan, planted

from platebook.analysis import find
from platebook.analysis.findings.asking import cutoffs
from platebook.analysis.findings.asking.candidates import Candidate
from platebook.analysis.findings.asking.findings_log import FindingsLog
from platebook.analysis.findings.telling.counted import Shown, count_and_tell
from platebook.analysis.findings.telling.pictures import Picture, finding_pictures
from platebook.analysis.findings.telling.results import Count, Finding
from platebook.analysis.variables.attempt_log import ANY
from platebook.analysis.variables.trade_map import Form
from platebook.practice.attempt import Attempt

BEGAN = datetime(2026, 1, 12, 18, 30, tzinfo=UTC)
WIDE = Plan(
    attempts=104, causes=(Cause("clearance_mm", "loose", size=2.0), Cause("ledge", "tilted"))
)


def a_lead(variable: str, direction: str, defect: str = "loose") -> Finding:
    """A lead about this variable."""
    return Finding(
        variable=variable,
        family=variable,
        defect=defect,
        direction=direction,
        status="lead",
        counts=(Count(label="here", failed=3, of=4), Count(label="there", failed=1, of=8)),
        odds_ratio=None,
        low=None,
        high=None,
        posterior=None,
        share=None,
        sentence="",
    )


def picture_of(attempts: Sequence[Attempt], variable: str, direction: str) -> Picture:
    """The picture of one lead about these attempts."""
    (picture,) = finding_pictures(FindingsLog.of(attempts), [a_lead(variable, direction)])
    return picture


def some_attempts(**fields: Sequence[object]) -> list[Attempt]:
    """An attempt a value, every third loose."""
    count = len(next(iter(fields.values())))
    return [
        Attempt(
            result=("loose",) if i % 3 == 0 else ("good",), began=BEGAN + timedelta(minutes=i)
        ).with_values(**{name: values[i] for name, values in fields.items()})
        for i in range(count)
    ]


@pytest.mark.parametrize("plan", [WIDE, FEW_CHECKS])
def test_levels_add_up_to_the_counts_of_the_sentence(plan: Plan) -> None:
    """Those inside the phrase make its first count, the others its second."""
    attempts = planted(plan, 5).attempts
    findings = [f for f in find(attempts).findings if not f.shifts and f.status != "mechanism"]
    for finding, picture in zip(
        findings, finding_pictures(FindingsLog.of(attempts), findings), strict=True
    ):
        for count, inside in zip(finding.counts, (True, False), strict=True):
            side = [level for level in picture.levels if level.inside is inside]
            total = sum(level.failed for level in side), sum(level.of for level in side)
            assert total == (count.failed, count.of)
        assert picture.parted


@settings(max_examples=3, deadline=None)
@given(seed=st.integers(0, 10**6), attempts=st.integers(24, 90))
def test_a_sentence_counts_what_its_picture_draws(seed: int, attempts: int) -> None:
    """Every kind of variable, form, end and outcome: level by level, and on both sides."""
    asked = FindingsLog.of(a_log(seed, attempts))
    told = list(_every_finding(asked))
    drawn = finding_pictures(asked, told)
    for finding, picture in zip(told, drawn, strict=True):
        levels = [(level.name, level.failed, level.of) for level in picture.levels]
        assert levels == [(count.label, count.failed, count.of) for count in finding.levels]
        for count, inside in zip(finding.counts, (True, False), strict=True):
            side = [level for level in picture.levels if level.inside is inside]
            total = sum(level.failed for level in side), sum(level.of for level in side)
            assert total == (count.failed, count.of)
        if finding.between:
            for level in picture.levels:
                assert f"{level.failed} of {level.of} ({level.name})" in finding.headline
    assert {"trend", "distance", "two sides"} == {finding.tested for finding in told}


def _every_finding(asked: FindingsLog) -> Iterator[Finding]:
    for column in asked.columns:
        if len(np.unique(column.values[~np.isnan(column.values)])) < 2:
            continue
        forms: tuple[Form, ...] = ("linear",)
        if column.kind in {"number", "rank"}:
            forms = ("linear", "distance")
        for form, outcome, more in product(forms, (ANY, *asked.log.events), (True, False)):
            candidate = Candidate(column, form, 1.0)
            cut = cutoffs.cut_log(candidate, asked.log, more=more)
            told = count_and_tell(candidate, cut, Shown.of(asked.log, outcome), more=more)
            yield a_lead(
                column.variable, cutoffs.direction(candidate, more=more), outcome
            ).model_copy(
                update={
                    "counts": told.counts,
                    "levels": told.levels,
                    "tested": told.tested,
                    "headline": told.sentence,
                    "between": told.between,
                }
            )


def test_a_rank_has_its_words_in_their_order() -> None:
    """None seen, slight, clear; the line lies where the halves are parted."""
    runout: Sequence[object] = ["none seen"] * 6 + ["slight"] * 4 + ["clear"] * 2
    picture = picture_of(some_attempts(runout=runout), "runout", "higher")
    assert [(level.name, level.of) for level in picture.levels] == [
        ("none seen", 6),
        ("slight", 4),
        ("clear", 2),
    ]
    assert len(picture.parted) == 1


def test_a_measured_value_is_laid_in_ranges_of_its_own_values() -> None:
    """Named by the least and the most in them; none reaches across the parting."""
    uses: Sequence[object] = [i // 2 for i in range(60)]
    picture = picture_of(some_attempts(seat_bur_uses=uses), "seat_bur_uses", "higher")
    assert 4 <= len(picture.levels) <= 6
    assert sum(level.of for level in picture.levels) == 60
    assert picture.levels[0].name.startswith("0 to ")
    assert len(picture.parted) == 1


def test_a_choice_without_an_order_begins_with_what_is_meant() -> None:
    """Then by number, and the rarest together."""
    shapes: Sequence[object] = ["hart"] * 9 + ["ball"] * 12 + ["setting"] * 6 + ["flame"] * 5
    picture = picture_of(some_attempts(seat_bur_shape=shapes), "seat_bur_shape", "hart")
    assert [level.name for level in picture.levels] == ["hart", "ball", "setting", "flame"]
    assert picture.parted == (1,)


def test_a_yes_and_no_are_two_levels() -> None:
    """By their own phrases, never 0 and 1."""
    polished: Sequence[object] = [True] * 8 + [False] * 8
    picture = picture_of(some_attempts(burnisher_polished=polished), "burnisher_polished", "no")
    assert [level.name for level in picture.levels] == [
        "an unpolished burnisher",
        "a polished burnisher",
    ]


def test_heights_are_points_by_level() -> None:
    """Where a finding rests on the table's height each reading is there, in millimetres."""
    attempts = planted(FEW_CHECKS, 3).attempts
    findings = [f for f in find(attempts).findings if f.variable == "fit_checks"]
    (picture,) = finding_pictures(FindingsLog.of(attempts), findings)
    assert (picture.response, picture.unit) == ("table height", "mm")
    read = sorted(a.table_height_mm for a in attempts if a.table_height_mm is not None)
    drawn = sorted(point for level in picture.levels for point in level.points)
    assert drawn == pytest.approx(read)


def test_what_the_log_does_not_know_is_drawn_from_its_counts() -> None:
    """A name that nobody knows, or no attempts at all."""
    for attempts in (some_attempts(hammer_g=[None] * 6), ()):
        picture = picture_of(attempts, "hammer_g", "higher")
        assert [(level.name, level.failed, level.of) for level in picture.levels] == [
            ("here", 3, 4),
            ("there", 1, 8),
        ]
