"""Sentences, word for word: counts in every finding, never a cause."""

import pytest
from tests.builders import an_attempt

from platebook.analysis.findings.telling import counts_in_sentences, sentences
from platebook.analysis.findings.telling.results import Count, MoreNeeded, Status
from platebook.analysis.findings.telling.sentences import SeatsChecked
from platebook.analysis.models.censored import DEPTH, OVERCUT
from platebook.analysis.variables.attempt_log import attempt_log


def test_the_main_sentence() -> None:
    """The sentence of the design, from its counts."""
    counts = (Count(label="", failed=7, of=10), Count(label="", failed=2, of=15))
    assert counts_in_sentences.went_with(
        "loose", "a clearance above 0.05 mm", "below it", counts
    ) == ("Loose went with a clearance above 0.05 mm: 7 of 10, against 2 of 15 below it.")


@pytest.mark.parametrize(
    ("share", "text"),
    [
        (0.125, "A lead this strong turns up in 1 such log in 8 with nothing behind it."),
        (0.5, "A lead this strong turns up in 1 such log in 2 with nothing behind it."),
        (0.005, "A lead this strong turns up in under 1 such log in 150 with nothing behind it."),
    ],
)
def test_chance_is_said_in_logs(share: float, text: str) -> None:
    """No p-value: so many such logs."""
    assert sentences.chance(share) == text


def test_a_mechanism_counts_both_sides() -> None:
    """How many of the high ones were cut shallow, and how many of the others."""
    counts = (Count(label="high", failed=6, of=7), Count(label="others", failed=10, of=40))
    assert sentences.mechanism("high", "cut shallow", counts) == (
        "6 of 7 high ones were cut shallow, against 10 of 40 others."
    )


def test_what_was_checked_is_said() -> None:
    """The more is looked at, the more turns up by chance."""
    assert sentences.variables_checked(18, ["loose", "gap", "high"]) == (
        "Checked 18 variables against failure as a whole and against 3 defects "
        "(loose, gap and high)."
    )


def test_a_mechanism_of_one_is_one() -> None:
    """One high one, not one high ones."""
    counts = (Count(label="high", failed=1, of=1), Count(label="others", failed=10, of=40))
    assert sentences.mechanism("high", "cut shallow", counts) == (
        "1 of 1 high one was cut shallow, against 10 of 40 others."
    )


def test_slight_ones_are_told_where_they_are_counted() -> None:
    """Of what is counted some passed as good, on either side."""
    counts = (
        Count(label="", failed=12, of=15, slight=7),
        Count(label="", failed=2, of=30, slight=2),
    )
    assert counts_in_sentences.went_with("high", "a light effort", "with another", counts) == (
        "High went with a light effort: 12 of 15 high, 7 of them slight, "
        "against 2 of 30 high, all of them slight, with another."
    )


def test_too_few_attempts_say_how_many_more() -> None:
    """A range, not a promise."""
    assert sentences.outlook("counts only", MoreNeeded(low=8, high=15), ()) == (
        (
            "Not enough yet to say what goes with failure: that takes 20 judged attempts with 6 "
            "failed and 6 good. About 8 to 15 more."
        ),
    )


def test_a_lead_that_may_never_settle_offers_blocks() -> None:
    """Capped at 200, with the honest alternative."""
    assert sentences.outlook("leads", MoreNeeded(low=40, high=200), ["lead"]) == (
        (
            "Worth watching, not settled: 40 more attempts may settle it, or even 200 may not. "
            "Balanced blocks settle it sooner."
        ),
    )


@pytest.mark.parametrize("shown", [["claim"], ["claim", "mechanism"]])
def test_nothing_stands_out_is_never_said_beside_a_claim(shown: list[Status]) -> None:
    """Whatever the claim rests on, failures, tables or seats."""
    assert sentences.outlook("claims", MoreNeeded(low=None, high=None), shown) == ()


def test_a_mechanism_alone_does_not_stand_out_from_chance() -> None:
    """How it came about is no discovery."""
    assert sentences.outlook("claims", MoreNeeded(low=None, high=None), ["mechanism"]) == (
        "Nothing stands out from what chance would show in such a log.",
    )


def test_a_checkpoint_is_explained_where_it_stands() -> None:
    """Two claims by attempts are decided at one time, one by seats at its own."""
    assert sentences.decided([(60, "attempt"), (60, "attempt"), (33, "measured seat")]) == (
        (
            "What is well supported was decided at 48 attempts and is asked again at 72: asked "
            "every evening, luck alone would sooner or later look like it."
        ),
        (
            "What is well supported was decided at 32 measured seats and is asked again at 48: "
            "asked every evening, luck alone would sooner or later look like it."
        ),
    )


def test_seats_that_were_left_out_are_told() -> None:
    """Of many measured seats the latest are used; one seat is one."""
    seen = [SeatsChecked(OVERCUT, 500, 3000, 12), SeatsChecked(DEPTH, 1, 1, 0)]
    assert sentences.seats_checked(seen) == (
        "Checked how wide the latest 500 of 3000 measured seats came out against 12 variables.",
        "Not enough yet to say what goes with how deep (1 measured) seats come out: that takes 20.",
    )


def test_responses_read_on_the_same_seats_are_told_together() -> None:
    """As many seats, against as many variables: one sentence; else one each."""
    same = [SeatsChecked(OVERCUT, 51, 51, 5), SeatsChecked(DEPTH, 51, 51, 5)]
    assert sentences.seats_checked(same) == (
        "Checked how wide and how deep 51 measured seats came out against 5 variables.",
    )
    other = [SeatsChecked(OVERCUT, 51, 51, 5), SeatsChecked(DEPTH, 40, 40, 1)]
    assert sentences.seats_checked(other) == (
        "Checked how wide 51 measured seats came out against 5 variables.",
        "Checked how deep 40 measured seats came out against 1 variable.",
    )


def test_earlier_attempts_are_told_where_the_latest_say_too_little() -> None:
    """Who comes back after two years is told that there is more, and how to ask for it."""
    assert sentences.left_out("counts only", 301) == (
        "301 earlier attempts are left out: all are asked with --all, in the app with a.",
    )
    assert sentences.left_out("counts only", 1)[0].startswith("1 earlier attempt is left out: ")
    assert sentences.left_out("claims", 301) == sentences.left_out("counts only", 0) == ()


@pytest.mark.parametrize(
    ("counted", "says"),
    [
        ((12, 686, 229, 0), "12 setters, 686 attempts judged, 229 failed."),
        ((12, 686, 229, 14), "12 setters, the latest 686 of 700 attempts judged, 229 failed."),
        ((1, 1, 0, 0), "1 setter, 1 attempt judged, 0 failed."),
        ((3, 0, 0, 9), "No judged attempts in that time."),
        ((3, 0, 0, 0), "Nobody has an attempt judged yet."),
    ],
)
def test_a_class_is_told_by_what_it_rests_on(counted: tuple[int, ...], says: str) -> None:
    """Setters, attempts and failures; how many more there are; nothing for none."""
    assert sentences.class_counts(*counted) == says


def test_nothing_could_be_checked_is_not_said_beside_what_was() -> None:
    """Seats may be measured where nothing is judged."""
    assert [sentences.variables_checked(0, [], seats=seats) for seats in (True, False)] == [
        "Of failure nothing could be checked yet.",
        "Nothing could be checked yet.",
    ]


def test_counts_tell_slight_ones_from_those_that_fail() -> None:
    """A slight defect passes as good (bench practice: severity 1 is a remark), so it is said."""
    log = (
        an_attempt(result=("high",), severity=(1,)),
        an_attempt(result=("high", "loose"), severity=(2, 1)),
        an_attempt(result=("good",)),
    )
    assert sentences.log_counts(attempt_log(log)) == (
        "3 attempts judged, 1 failed. Seen: 2 high, 1 of them slight; 1 loose."
    )


def test_a_part_of_a_log_is_said_to_be_one() -> None:
    """How many of how many, and since when."""
    log = attempt_log([an_attempt(result=("good",)) for _ in range(3)])
    assert sentences.log_counts(log.since(1)).startswith("The latest 2 of 3 attempts judged, since")
    assert sentences.log_counts(log.since(3)) == "No judged attempts in that time."
