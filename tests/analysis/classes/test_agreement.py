"""Agreement of two pairs of eyes against published kappas and a reference library."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.inter_rater import cohens_kappa

from platebook import analysis
from platebook.analysis.classes.agreement import FEW, Agreement, agreement, kappa
from platebook.practice.attempt import Attempt
from platebook.practice.records import Inspection


@pytest.mark.parametrize(
    ("table", "published"),
    [
        ([[20, 5], [10, 15]], 0.4),
        ([[0, 4, 1], [0, 8, 0], [0, 1, 5]], 0.4842),
    ],
)
def test_kappa_gives_the_published_values(table: list[list[int]], published: float) -> None:
    """Cohen's kappa: textbook 2 x 2, and the SAS example in the tests of statsmodels."""
    assert kappa(table).value == pytest.approx(published, abs=5e-5)


@given(
    st.lists(st.lists(st.integers(1, 30), min_size=4, max_size=4), min_size=4, max_size=4),
    st.booleans(),
)
def test_kappa_and_its_interval_agree_with_statsmodels(
    table: list[list[int]],
    weighted: bool,  # noqa: FBT001 a parameter
) -> None:
    """Value and 95 % limits, plain and linearly weighted, on random tables."""
    reference = cohens_kappa(np.array(table), wt="linear" if weighted else None)
    answer = kappa(table, weighted=weighted)
    assert answer.value == pytest.approx(reference.kappa, abs=1e-9)
    assert answer.low == pytest.approx(max(reference.kappa_low, -1), abs=1e-6)
    assert answer.high == pytest.approx(min(reference.kappa_upp, 1), abs=1e-6)


def test_kappa_of_nothing_or_of_one_word_cannot_be_told() -> None:
    """No counts, and both always saying the same, have no kappa."""
    assert kappa([[0, 0], [0, 0]]).value is None
    assert kappa([[12, 0], [0, 0]]).value is None


@pytest.mark.parametrize("table", [[[11, 0], [1, 0]], [[11, 1], [0, 0]], [[0, 4], [0, 9]]])
def test_kappa_has_no_interval_where_one_always_says_the_same(table: list[list[int]]) -> None:
    """11 of 12 agree, and it would be 0 (0 to 0): nothing can be told."""
    answer = kappa(table)
    assert (answer.value, answer.low, answer.high) == (None, None, None)


def _pair(
    number: int, own: tuple[str, ...] | None, other: tuple[str, ...] | None, *, drawn: bool = True
) -> tuple[Attempt, Inspection]:
    name = f"a{number}"
    look = Inspection(attempt_id=name, inspector="I", result=other, drawn_at_random=drawn)
    return Attempt(attempt_id=name, result=own), look


def _agree(*pairs: tuple[Attempt, Inspection]) -> tuple[list[Attempt], list[Inspection]]:
    return [a for a, _ in pairs], [i for _, i in pairs]


GOOD = ("good",)
LOOSE = ("loose",)


def test_no_shared_look_says_so() -> None:
    """Nothing looked at by both gives counts of nothing and no kappa."""
    answer = agreement([], [])
    assert (answer.looks, answer.verdict, answer.bias, answer.defects) == (0, None, None, ())
    assert answer.severity_kappa.value is None
    assert answer.sentence == "No position drawn at random has been looked at by both yet."


def test_only_random_positions_with_both_looks_count() -> None:
    """Chosen positions, unknown attempts and looks without a result are left out."""
    attempts, looks = _agree(
        _pair(1, GOOD, LOOSE),
        _pair(2, GOOD, LOOSE, drawn=False),
        _pair(3, None, GOOD),
        _pair(4, GOOD, None),
    )
    looks.append(Inspection(attempt_id="elsewhere", inspector="I", drawn_at_random=True))
    answer = agreement(attempts, looks)
    assert (answer.looks, answer.left_out) == (1, 4)
    assert answer.not_enough == "not enough yet: 1 of 10 positions"
    assert answer.verdict is not None
    assert answer.verdict.kappa.value is None


def test_a_kind_setter_is_told_by_counts_and_bias() -> None:
    """20 both loose, 10 seen by the inspector alone, 5 by the setter alone, 15 by neither: 0.4."""
    cases = [(LOOSE, LOOSE)] * 20 + [(GOOD, LOOSE)] * 10 + [(LOOSE, GOOD)] * 5 + [(GOOD, GOOD)] * 15
    answer = agreement(*_agree(*(_pair(n, own, other) for n, (own, other) in enumerate(cases))))
    (loose,) = answer.defects
    assert (loose.both, loose.setter_only, loose.inspector_only, loose.neither) == (20, 5, 10, 15)
    assert loose.kappa.value == pytest.approx(0.4)
    assert (answer.kinder, answer.harder) == (10, 5)
    assert answer.bias == pytest.approx((10 - 5) * 2 / 50)
    assert answer.sentence == (
        "Of 50 positions drawn at random, 35 got the same verdict; "
        "the setter saw less 10 times and more 5 times."
    )


@pytest.mark.parametrize(
    ("own", "other", "ends"),
    [
        (GOOD, GOOD, "12 got the same verdict; neither saw more than the other."),
        (GOOD, LOOSE, "11 got the same verdict; the setter saw less once and never more."),
        (LOOSE, GOOD, "11 got the same verdict; the setter saw more once and never less."),
    ],
)
def test_nobody_saw_anything_0_times(
    own: tuple[str, ...], other: tuple[str, ...], ends: str
) -> None:
    """What did not happen is not counted."""
    pairs = [_pair(0, own, other), *(_pair(n, GOOD, GOOD) for n in range(1, 12))]
    assert agreement(*_agree(*pairs)).sentence == f"Of 12 positions drawn at random, {ends}"


def test_a_hard_setter_is_told_the_other_way_round() -> None:
    """Seeing more than the inspector is said as such."""
    cases = [(LOOSE, GOOD)] * 2 + [(GOOD, LOOSE)] + [(GOOD, GOOD)] * FEW
    answer = agreement(*_agree(*(_pair(n, own, other) for n, (own, other) in enumerate(cases))))
    assert answer.sentence.endswith("the setter saw more 2 times and less once.")
    assert answer.bias is not None
    assert answer.bias < 0


def _looked(own: tuple[str, int | None], other: tuple[str, int | None]) -> Agreement:
    """One position, each look a result with its severity."""
    (result, severity), (seen, how_bad) = own, other
    attempt = Attempt(
        attempt_id="a", result=(result,), severity=None if severity is None else (severity,)
    )
    look = Inspection(
        attempt_id="a",
        inspector="I",
        result=(seen,),
        severity=None if how_bad is None else (how_bad,),
        drawn_at_random=True,
    )
    return agreement([attempt], [look])


@pytest.mark.parametrize(
    ("own", "other", "both", "neither"),
    [
        (("good", None), ("high", 1), 1, 0),
        (("high", 1), ("good", None), 1, 0),
        (("high", 2), ("high", 3), 0, 1),
        (("good", None), ("high", 2), 0, 0),
        (("loose", 1), ("good", None), 0, 0),
    ],
)
def test_a_slight_mark_beside_good_is_agreement_on_good(
    own: tuple[str, int | None], other: tuple[str, int | None], both: int, neither: int
) -> None:
    """A remark is no other verdict; a loose stone fails at any severity."""
    verdict = _looked(own, other).verdict
    assert verdict is not None
    assert (verdict.both, verdict.neither) == (both, neither)


def test_a_stricter_course_has_stricter_verdicts() -> None:
    """Where slight ones fail, a slight mark beside good is another verdict."""
    attempts, looks = _agree(_pair(1, GOOD, ("high",)))
    look = looks[0].model_copy(update={"severity": (1,)})
    verdicts = [agreement(attempts, [look], failure_from=n).verdict for n in (2, 1)]
    assert [verdict.both for verdict in verdicts if verdict is not None] == [1, 0]


def test_severity_is_weighed_by_distance() -> None:
    """One step apart costs less than three."""
    near = [[5, 1, 0, 0], [0, 5, 0, 0], [0, 0, 5, 0], [0, 0, 0, 5]]
    far = [[5, 0, 0, 1], [0, 5, 0, 0], [0, 0, 5, 0], [0, 0, 0, 5]]
    near_kappa, far_kappa = kappa(near, weighted=True).value, kappa(far, weighted=True).value
    assert near_kappa is not None
    assert far_kappa is not None
    assert near_kappa > far_kappa


def test_it_is_what_the_package_promises() -> None:
    """`platebook.analysis.agreement` is the function, also after its module was loaded."""
    assert analysis.agreement is agreement
