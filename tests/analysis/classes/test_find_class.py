"""What a class shares: found within setters, never between them."""

import dataclasses
from datetime import timedelta
from itertools import pairwise

import pytest
from pydantic import ValidationError
from tests.advice.two_track_course import two_track_course
from tests.simulated.planted import Cause, Plan, planted

from platebook.analysis import find, find_class
from platebook.analysis.classes.find_class import InOneGo, priors_from
from platebook.analysis.classes.search import SEED
from platebook.analysis.findings.deciding.support import support_of
from platebook.analysis.models.bayes_factors import ClassPrior
from platebook.analysis.variables.attempt_log import EVERYTHING, Window
from platebook.practice.attempt import Attempt
from platebook.values import replace

WIDE = Cause("clearance_mm", "loose")


def _priors(attempts: dict[str, tuple[Attempt, ...]]) -> dict[str, ClassPrior | None]:
    return priors_from(InOneGo(attempts, None, SEED).shares())


def _class(setters: int, *causes: Cause, attempts: int = 25) -> dict[str, tuple[Attempt, ...]]:
    return {
        f"setter {number}": planted(Plan(attempts=attempts, causes=causes), [9, number]).attempts
        for number in range(setters)
    }


def test_a_habit_of_the_whole_class_is_common_and_stays_first() -> None:
    """Twelve setters who all cut too wide: one topic for the group, not carried by one person."""
    first = find_class(_class(12, WIDE)).common[0]
    assert (first.family, first.defect, first.status, first.stays_first) == (
        "width of the seat",
        "loose",
        "claim",
        True,
    )
    assert first.holds_for > first.of_setters / 2


def _heavy(carriers: int) -> dict[str, tuple[Attempt, ...]]:
    """Five setters, the first with many attempts; so many of them have the habit."""
    strong = Cause("clearance_mm", "loose", size=1.8)
    return {
        f"setter {number}": planted(
            Plan(220 if number == 0 else 60, (strong,) if number < carriers else ()), [17, number]
        ).attempts
        for number in range(5)
    }


def test_what_one_heavy_log_carries_is_not_shared() -> None:
    """With the same strong habit in one long log of five it is worth watching at most."""
    (alone, *_) = find_class(_heavy(1)).common
    assert (alone.family, alone.status, alone.stays_first) == ("width of the seat", "lead", False)
    assert "Without the setter in whom it is strongest" in " ".join(alone.notes)
    (shared, *_) = find_class(_heavy(5)).common
    assert (shared.family, shared.status, shared.stays_first) == (
        "width of the seat",
        "claim",
        True,
    )


def test_a_class_of_one_shares_nothing() -> None:
    """Whatever the one log shows, it is that setter's own."""
    only = {"setter 0": _heavy(1)["setter 0"]}
    assert [finding.status for finding in find_class(only).common] == ["lead"]


def test_a_difference_between_setters_is_no_finding() -> None:
    """One loses every stone and dries every bur, one neither: that is two people, not a cause."""
    attempts = {
        name: tuple(
            replace(a, lubricant=lubricant, result=result if i % 4 else ("good",))
            for i, a in enumerate(planted(Plan(attempts=24), [10, number]).attempts)
        )
        for number, (name, lubricant, result) in enumerate(
            [("a", "none", ("loose",)), ("b", "wax", ("good",)), ("c", "none", ("loose",))]
        )
    }
    answer = find_class(attempts)
    assert "lubricant" not in [finding.variable for finding in answer.common]


def test_each_setter_is_judged_by_their_own_course() -> None:
    """A slight defect fails in a strict course alone, whoever is listed first."""
    slight = {
        name: tuple(
            replace(a, result=("high",) if i % 3 == 0 else ("good",), severity=(1,) * (i % 3 == 0))
            for i, a in enumerate(planted(Plan(attempts=24), [12, number]).attempts)
        )
        for number, name in enumerate(("strict", "usual"))
    }
    courses = {"strict": two_track_course(failure_from=1), "usual": two_track_course()}
    for order in (("strict", "usual"), ("usual", "strict")):
        logs = {name: slight[name] for name in order}
        assert find_class(logs, course=courses).failures == 8
    assert find_class(slight, course=courses["strict"]).failures == 16
    assert find_class(slight, course=courses["usual"]).failures == 0
    assert find_class(slight, course={"strict": courses["strict"]}).failures == 8


def test_a_class_is_asked_about_its_present_as_a_setter_is() -> None:
    """Two years ago wide seats were loose, and are not now: only asked of everything it is told."""
    before = _class(6, dataclasses.replace(WIDE, size=2.0), attempts=60)
    later = {
        name: tuple(
            attempt.with_values(began=attempt.began + timedelta(days=900))
            for attempt in planted(Plan(attempts=30), [13, number]).attempts
            if attempt.began is not None
        )
        for number, name in enumerate(before)
    }
    logs = {name: (*before[name], *later[name]) for name in before}
    lately, ever = find_class(logs), find_class(logs, window=EVERYTHING)
    assert (lately.attempts, ever.attempts) == (180, 540)
    assert lately.answer[0].startswith("6 setters, the latest 180 of 540 attempts judged, ")
    assert ever.answer[0].startswith("6 setters, 540 attempts judged, ")
    assert [f.status for f in ever.common][:1] == ["claim"]
    assert "claim" not in [f.status for f in lately.common]
    newest = min(a.began for own in later.values() for a in own if a.began is not None)
    assert find_class(logs, window=Window(since=newest.date())).attempts == 180


def test_slight_ones_are_told_as_in_a_setters_own_sentence() -> None:
    """What passed as good and is counted is said, in the class's sentence and in one's own."""
    leaning = Cause("ledge", "tilted", size=2.5)
    logs = {
        name: tuple(
            a.with_values(severity=tuple(1 if n % 2 else 2 for _ in a.result or ()))
            if a.result and "tilted" in a.result
            else a
            for n, a in enumerate(own)
        )
        for name, own in _class(6, leaning, attempts=60).items()
    }
    found = find_class(logs)
    (shared, *_) = [f for f in found.common if f.defect == "tilted"]
    slight = sum(count.slight for count in shared.counts)
    assert slight > 0
    assert f"{slight} of them slight" in shared.sentence
    for one in found.personal:
        assert ("slight" in one.sentence) == any(count.slight for count in one.counts)


def test_a_common_claim_has_the_difference_of_its_counts() -> None:
    """The same support as a setter's finding: a claim's interval holds a difference."""
    first = find_class(_class(12, WIDE)).common[0]
    assert first.support == support_of(first.counts, "claim")
    assert first.support.low > 0.0


def test_an_empty_class_gets_an_answer() -> None:
    """No setters, and setters without attempts, are told so."""
    assert find_class({}).common == ()
    assert find_class({"a": (), "b": ()}).attempts == 0


def test_the_order_of_the_setters_changes_nothing_that_is_found() -> None:
    """Sums do not depend on who is listed first."""
    attempts = _class(6, WIDE)
    backwards = dict(reversed(attempts.items()))
    found = [
        [(finding.variable, finding.defect, finding.counts) for finding in find_class(a).common[:1]]
        for a in (attempts, backwards)
    ]
    assert all(finding == other for finding, other in pairwise(found))


def test_fewer_than_five_others_give_no_prior() -> None:
    """Sums of fewer than five setters would tell too much of each."""
    assert set(_priors(_class(5)).values()) == {None}
    with pytest.raises(ValidationError):
        ClassPrior(setters=4, cells=())


def test_a_class_lifts_what_its_setters_share_in_one_setters_log() -> None:
    """The class without the setter raises the posterior of the habit that the setter shares."""
    attempts = _class(12, WIDE, attempts=40)
    prior = _priors(attempts)["setter 0"]
    own = attempts["setter 0"]
    alone, helped = find(own), find(own, prior=prior)
    posterior = {
        key: next((f.posterior for f in a.findings if f.family == "width of the seat"), 0.0)
        for key, a in (("alone", alone), ("helped", helped))
    }
    assert (posterior["helped"] or 0.0) > (posterior["alone"] or 0.0)


def test_a_prior_travels_as_json() -> None:
    """What is shared between logbooks is sums, and reads back as the same sums."""
    prior = _priors(_class(6))["setter 0"]
    assert prior is not None
    assert ClassPrior.model_validate_json(prior.model_dump_json()) == prior
