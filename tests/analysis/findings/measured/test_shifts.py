"""Shifts: planted wear and shallow cuts are followed to the seat, with numbers from the rows."""

import functools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.simulated.planted import FEW_CHECKS, Lift, Plan, planted

from platebook.analysis import find
from platebook.analysis.findings.asking.cutoffs import cut_log
from platebook.analysis.findings.measured.shifts import (
    MovedFamily,
    chain_shifts,
    defect_shown,
    height_effect,
    height_of,
)
from platebook.analysis.findings.measured.upstream import Upstream, upstream
from platebook.analysis.findings.telling.results import Finding
from platebook.analysis.models.censored import DEPTH
from platebook.analysis.models.effect_size import Effect
from platebook.analysis.variables.attempt_log import attempt_log
from platebook.practice.attempt import Attempt
from platebook.values import replace

WORN = Plan(attempts=96, lifts=(Lift("seat_bur_uses", "overcut", 0.03),))
LOG = planted(FEW_CHECKS, 4).attempts


@functools.cache
def _answers() -> tuple[Upstream, ...]:
    """What moved the seats of a log in which worn burs cut wider."""
    return tuple(upstream(planted(WORN, 2).attempts, seed=7))


def _overcut() -> Upstream:
    return next(answer for answer in _answers() if answer.response.name == "overcut")


def _wear(*, claimed: bool = True) -> tuple[Upstream]:
    """The overcut's answer with the family of wear alone, claimed or worth watching."""
    family = replace(_overcut().families[0], claimed=claimed)
    return (replace(_overcut(), families=(family,)),)


def _finding(**values: object) -> Finding:
    """Loose went with a wide seat, well supported."""
    return Finding.model_validate(
        {
            "variable": "clearance_mm",
            "family": "width of the seat",
            "defect": "loose",
            "direction": "higher",
            "status": "claim",
            "counts": (),
            "odds_ratio": 3.0,
            "low": 1.5,
            "high": 6.0,
            "posterior": 0.97,
            "share": 0.01,
            "sentence": "Loose went with wide seats.",
        }
        | values
    )


MECHANISM = _finding(
    variable="depth_error_mm", defect="high", direction="lower", status="mechanism", share=None
)


@pytest.mark.parametrize(
    ("upward", "direction", "words"),
    [(True, "higher", "cut wider"), (False, "lower", "cut narrower")],
)
def test_the_shift_is_the_difference_between_the_two_sides(
    upward: bool,  # noqa: FBT001 - both ways of one question
    direction: str,
    words: str,
) -> None:
    """Means of the planted seats on both sides of the cut, by hand, lie in its interval.

    Worn burs cut wider and fresh ones narrower, each told as so much more of its own way.
    """
    family = _overcut().families[0]
    moved = MovedFamily(family, family.search.heights[0])
    shift, counts = moved.shift(upward=upward)
    cut = cut_log(family.candidate, moved.log, more=moved.more(upward=upward))
    sign = 1 if upward else -1
    over = sign * np.array(
        [(a.seat_diameter_mm or 0.0) - (a.seat_bur_mm or 0.0) for a in moved.log.attempts]
    )
    plain = float(over[cut.inside].mean() - over[cut.outside].mean())
    assert plain > 0.0
    assert (shift.variable, shift.direction, shift.unit) == ("seat_bur_uses", direction, "mm")
    assert shift.low < plain < shift.high
    assert shift.by == pytest.approx(plain, abs=0.015)
    assert words in shift.sentence
    assert [count.of for count in counts] == [int(cut.inside.sum()), int(cut.outside.sum())]
    assert shift.measured == 96
    beyond = over > np.median(over)
    assert [c.failed for c in counts] == [int(beyond[r].sum()) for r in (cut.inside, cut.outside)]


@pytest.mark.parametrize(("claimed", "status"), [(True, "claim"), (False, "lead")])
def test_a_family_is_claimed_or_worth_watching(claimed: bool, status: str) -> None:  # noqa: FBT001 - both kinds of family
    """As it was found; nothing in between."""
    (answer,) = _wear(claimed=claimed)
    family = answer.families[0]
    assert MovedFamily(family, family.search.heights[0]).status == status


def _hardly(answer: Upstream) -> Upstream:
    """The same answer where all that was measured lay a thousand times closer together."""
    (family,) = answer.families
    (height,) = family.search.heights
    response = height.measurements.response
    small = replace(response, unit=response.unit / 1000.0)
    height = replace(height, measurements=replace(height.measurements, response=small))
    family = replace(family, search=replace(family.search, heights=(height,)))
    return replace(answer, families=(family,))


def test_a_lead_by_less_than_a_reading_shows_is_not_told() -> None:
    """Neither behind a finding nor alone; what is well supported is told however small."""
    loose = _finding()
    (lead,), (claim,) = _wear(claimed=False), _wear()
    assert chain_shifts([loose], [_hardly(lead)]) == [loose]
    assert chain_shifts([], [_hardly(lead)]) == []
    assert len(chain_shifts([], [lead])) == 1
    (told,) = chain_shifts([], [_hardly(claim)])
    assert "by less than 0.01 mm (0.00 to 0.00)" in told.sentence


def test_without_findings_or_answers_nothing_is_added() -> None:
    """No chain of nothing; findings without measured seats stay as they were."""
    assert chain_shifts([], []) == []
    assert chain_shifts([_finding(), MECHANISM], []) == [_finding(), MECHANISM]
    nothing = replace(_overcut(), families=())
    assert chain_shifts([_finding()], [nothing]) == [_finding()]


def test_loose_went_with_wide_seats_and_those_with_a_worn_bur() -> None:
    """One sentence, the finding's own numbers as they were (docs/methods/upstream.md)."""
    (chained,) = chain_shifts([_finding()], _wear())
    (shift,) = chained.shifts
    assert (shift.response, shift.variable) == ("overcut", "seat_bur_uses")
    assert chained.sentence == f"Loose went with wide seats; and {shift.sentence}."
    assert chained.notes == ()
    assert chained.model_copy(update={"sentence": "", "shifts": ()}) == _finding(sentence="")


def test_a_weaker_shift_is_told_apart_from_a_claim() -> None:
    """What is only worth watching lends a claim no weight, and says how often chance does it."""
    (chained,) = chain_shifts([_finding()], _wear(claimed=False))
    assert chained.sentence == _finding().sentence
    watching, chance = chained.notes
    assert watching == f"Worth watching beside it: {chained.shifts[0].sentence}."
    assert chance.startswith("Of the seats alone: ")
    (lead,) = chain_shifts([_finding(status="lead")], _wear(claimed=False))
    assert lead.sentence.endswith(f"; and {lead.shifts[0].sentence}.")


@pytest.mark.parametrize(
    ("variable", "direction", "shifted"),
    [
        ("clearance_mm", "higher", "higher"),
        ("clearance_mm", "lower", "lower"),
        ("fit", "higher", "higher"),
        ("seat_diameter_mm", "lower", "lower"),
        ("clearance_mm", "away", None),
        ("lubricant", "none", None),
        ("seat_depth_mm", "higher", None),
    ],
)
def test_only_a_width_is_followed_to_what_moved_the_width(
    variable: str, direction: str, shifted: str | None
) -> None:
    """A wide one to wear, a narrow one to fresh burs; a depth or the wax to neither."""
    finding = _finding(variable=variable, direction=direction)
    chained = chain_shifts([finding], _wear())
    assert [s.direction for s in chained[0].shifts] == ([shifted] if shifted else [])
    assert len(chained) == (1 if shifted else 2)


@pytest.mark.parametrize(("defect", "way"), [("high", "lower"), ("low", "higher")])
def test_a_mechanism_is_followed_to_what_moved_the_depth(defect: str, way: str) -> None:
    """A high stone's seat is shallow and a low one's deep (geometry); a width is no matter of it.

    The answer on overcut stands in for one on depth: only which end is asked for is looked at.
    """
    (overcut,) = _wear()
    finding = MECHANISM.model_copy(update={"defect": defect})
    (chained,) = chain_shifts([finding], [replace(overcut, response=DEPTH)])
    assert [s.direction for s in chained.shifts] == [way]
    assert chain_shifts([finding], [overcut])[-1] == finding


def test_a_shift_that_explains_nothing_stands_alone_before_the_mechanisms() -> None:
    """As a finding about wide seats, without odds, after what was found of failure."""
    other = _finding(variable="lubricant", direction="none", defect="marred")
    first, alone, last = chain_shifts([other, MECHANISM], _wear())
    assert (first, last) == (other, MECHANISM)
    assert (alone.variable, alone.defect, alone.direction) == (
        "seat_bur_uses",
        "wide seat",
        "higher",
    )
    assert (alone.odds_ratio, alone.low, alone.high, alone.notes) == (None, None, None, ())
    assert sum(count.of for count in alone.counts) == 96
    assert alone.sentence.startswith("The seat was cut wider with ")


def test_a_lead_that_stands_alone_says_what_chance_does() -> None:
    """One note beside it, and the finding is worth watching as its shift is."""
    (alone,) = chain_shifts([], _wear(claimed=False))
    assert (alone.status, len(alone.notes)) == ("lead", 1)


def _effect(u: float, v: float, mean: float = 0.0, sd: float = 1.0) -> Effect:
    family = _overcut().families[0]
    cell = replace(family.ranked.cell, mean=mean, sd=sd)
    return height_effect(replace(family, ranked=replace(family.ranked, cell=cell, u=u, v=v)))


def test_a_score_and_its_prior_make_a_normal_posterior() -> None:
    """U 4, V 3, N(0, 1): precision 4, mean 4 / 4, sd 1/2; 1 ± 1.96/2 and quartiles 1 ± 0.337."""
    effect = _effect(4.0, 3.0)
    assert (effect.median, effect.unit) == (1.0, 1.0)
    assert (effect.lower, effect.upper) == pytest.approx((0.02, 1.98))
    assert (effect.weak, effect.strong) == pytest.approx((0.66275, 1.33725))


def test_without_readings_the_prior_is_left() -> None:
    """U and V 0: N(0.5, 0.25²) as it was believed before."""
    effect = _effect(0.0, 0.0, mean=0.5, sd=0.25)
    assert (effect.median, effect.lower, effect.upper) == pytest.approx((0.5, 0.01, 0.99))


@given(st.floats(-50, 50), st.floats(0.1, 100))
def test_an_effect_the_other_way_is_its_mirror(u: float, v: float) -> None:
    """Turned round, every limit turns round, and the weak end stays nearer to none."""
    there, back = _effect(u, v), _effect(-u, v)
    assert back.median == pytest.approx(-there.median)
    assert (back.lower, back.upper) == pytest.approx((-there.upper, -there.lower))
    assert abs(there.weak) <= abs(there.strong)


@pytest.mark.parametrize(
    ("height", "results", "shown"),
    [
        ("table height", ("high", "high", "low"), ("high", True)),
        ("table height", ("high", "low", "low"), ("low", False)),
        ("table height", ("good", "good", "good"), ("high", True)),
        ("table tilt", ("tilted", "high", "good"), ("tilted", True)),
        ("table tilt", ("high", "high", "good"), ("tilted", True)),
    ],
)
def test_the_defect_seen_most_speaks_for_a_height(
    height: str, results: tuple[str, ...], shown: tuple[str, bool]
) -> None:
    """High is more of the height and low is less; a tilt shows as tilted alone."""
    family = _overcut().families[0]
    cell = replace(family.ranked.cell, outcome=height)
    asked = replace(family, ranked=replace(family.ranked, cell=cell))
    log = attempt_log([Attempt(result=(word,)) for word in results])
    assert defect_shown(asked, log) == shown


def test_a_family_rests_on_the_height_of_its_outcome() -> None:
    """Its search's own height by name, and none where a defect was asked about."""
    family = _overcut().families[0]
    assert height_of(family) is family.search.heights[0]
    cell = replace(family.ranked.cell, outcome="loose")
    assert height_of(replace(family, ranked=replace(family.ranked, cell=cell))) is None


def test_a_finding_by_heights_counts_the_defect_and_says_how_far() -> None:
    """Counts of the high ones, then the table's height with its interval and number."""
    finding = next(f for f in find(LOG).findings if f.variable == "fit_checks")
    (shift,) = finding.shifts
    assert (finding.defect, shift.response, shift.measured) == ("high", "table height", 64)
    assert finding.odds_ratio is None
    assert finding.headline == (
        "High went with fewer checks of the fit: "
        "13 of 31 (0), 0 of 21 (1-2), 1 of 10 (3-5), 0 of 2 (6+)."
    )
    assert "; and the table stood higher with no checks of the fit: by 0.0" in finding.sentence
    assert finding.sentence.endswith("64 tables measured.")
    assert shift.low <= shift.by <= shift.high


def test_heights_without_any_high_or_low_stone_are_told_alone() -> None:
    """All good, but they stand higher where the fit was hardly checked: failures are others'."""
    rows = [
        replace(a, result=("marred",) if i % 4 == 0 else ("good",), severity=None)
        for i, a in enumerate(LOG)
    ]
    finding = [f for f in find(rows).findings if f.variable == "fit_checks"]
    assert [f.sentence.startswith("The table stood ") for f in finding if f.shifts] == [True]
