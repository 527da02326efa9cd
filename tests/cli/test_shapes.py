"""What `--json` prints has the keys that programs were promised.

Every list of keys here is written down from the design's "Command line", not from the program.
"""

from typing import Any, get_args

import pytest
from tests.cli.shell import ADA, COURSE, Shell, keys_of

from platebook.analysis.grades.states import State
from platebook.practice.fields import fields

TOOL = ("target_mm", "choose_mm", "from", "rule", "source")
SIZES = {
    "stone",
    *(f"{tool}.{key}" for tool in ("pilot_drill", "opening_bur", "seat_bur") for key in TOOL),
    *(
        f"seat.{key}"
        for key in ("diameter_low_mm", "diameter_high_mm", "depth_mm", "entry_tilt_deg")
    ),
    *(
        f"sheet.{key}"
        for key in (
            "thickness_mm",
            "ledge_mm",
            "culet_clearance_mm",
            "customary_gauge",
            "ways_out",
        )
    ),
    *(f"hand.{key}" for key in ("overcut_mm", "spread_mm", "chance_of_fit", "from_attempts")),
    "cautions",
}
FINDING = (
    "variable",
    "family",
    "defect",
    "direction",
    "status",
    "counts",
    "odds_ratio",
    "low",
    "high",
    "posterior",
    "sentence",
)
FINDINGS = {
    "setter",
    "attempts",
    "failures",
    "evidence",
    "findings",
    *(f"findings[].{key}" for key in FINDING),
    *(f"findings[].counts[].{key}" for key in ("label", "failed", "of")),
    "not_judged[].variable",
    "not_judged[].reason",
    "checked",
    "more_needed.low",
    "more_needed.high",
}
PROGRESS = {
    f"grades[].{key}"
    for key in (
        "grade",
        "attempts",
        "good",
        "rate",
        "low",
        "high",
        "now",
        "now_low",
        "now_high",
        "points",
        "promote_at",
        "state",
    )
}
NEXT = {"course", "grade", "exercise", "kind", "part", "repeat", "why", "sizes"}


@pytest.mark.parametrize(
    ("words", "promised"),
    [
        (("sizes", "1.98"), SIZES),
        (("findings",), FINDINGS),
        (("progress",), PROGRESS),
        (("next",), NEXT | {f"sizes.{key}" for key in SIZES}),
        (("log",), {"attempts", *(f"attempts[].{name}" for name in fields())}),
    ],
)
def test_every_promised_key_is_there(
    season: Shell, words: tuple[str, ...], promised: set[str]
) -> None:
    """A program that reads the JSON finds each key of the contract, and the schema first."""
    answer = season.answers(*words)
    assert promised - set(keys_of(answer)) == set()
    assert next(iter(answer.items())) == ("schema", 1)


def test_the_season_is_counted_as_it_was_written(season: Shell, found: dict[str, Any]) -> None:
    """The three answers rest on the same 64 settings, and name whose they are."""
    rows = season.attempts()
    failed = [row for row in rows if row["result"] != "good"]
    stairs = season.answers("progress")
    assert (found["setter"], found["attempts"], found["failures"]) == (ADA, 64, len(failed))
    assert sum(grade["attempts"] for grade in stairs["grades"]) == 64
    assert sum(grade["good"] for grade in stairs["grades"]) == 64 - len(failed)
    assert season.answers("next")["course"] == COURSE


def test_the_planted_habit_is_the_first_finding(found: dict[str, Any]) -> None:
    """Loose stones were made to go with a loose seat: that is what is said first."""
    first = found["findings"][0]
    assert (first["variable"], first["defect"], first["direction"]) == (
        "clearance_mm",
        "loose",
        "higher",
    )
    assert first["low"] < first["odds_ratio"] < first["high"]


def test_words_of_a_closed_list_stay_in_it(season: Shell, found: dict[str, Any]) -> None:
    """`evidence`, `status`, `state` and `from` take only the values of the contract."""
    assert found["evidence"] in {"counts only", "leads", "claims"}
    assert {f["status"] for f in found["findings"]} <= {"lead", "claim", "mechanism"}
    states = {grade["state"] for grade in season.answers("progress")["grades"]}
    assert states <= set(get_args(State))
    sizes = season.answers("sizes", "1.98")
    chosen = [sizes[tool]["from"] for tool in ("pilot_drill", "opening_bur")]
    assert chosen == ["last time", "to buy"]  # her drawer holds burs and no drill
    assert sizes["seat_bur"]["from"] == "to buy"  # the hand cuts wide: her 1.9 is too wide in 58 %
    wider = season.answers("sizes", "2.05")
    assert wider["seat_bur"]["from"] == "drawer", wider["hand"]["what_to_do"]


def test_empty_is_null_and_never_zero(ada: Shell) -> None:
    """What was not written down reads back as null, a zero as 0."""
    ada.runs("record", "--result", "good", "--set", "stone_uses=0")
    row = ada.attempts()[0]
    assert (row["stone_uses"], row["pilot_mm"], row["severity"]) == (0, None, None)
