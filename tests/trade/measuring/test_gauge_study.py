"""Gauge repeatability and reproducibility."""

import csv
from pathlib import Path

import pytest

from platebook.trade.measuring.gauge_study import RANGE_OF_MANY, Study, check_study, study_gauge
from platebook.trade.validation import TradeError

TABLE = Path(__file__).parents[2] / "reference" / "gauge-rr.csv"


def example() -> list[list[list[float]]]:
    """The worked example: three persons, ten parts, three trials."""
    with TABLE.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    return [
        [
            [float(row[f"p{part}"]) for row in rows if row["appraiser"] == person]
            for part in range(1, 11)
        ]
        for person in "ABC"
    ]


def test_the_worked_example() -> None:
    """AIAG, Measurement Systems Analysis, 4th ed., average and range method."""
    found = study_gauge(example())
    assert found.repeatability == pytest.approx(0.2019, abs=5e-4)
    assert found.reproducibility == pytest.approx(0.2297, abs=5e-4)
    assert found.gauge == pytest.approx(0.3058, abs=5e-4)
    assert found.parts == pytest.approx(1.1046, abs=5e-4)
    assert found.total == pytest.approx(1.1461, abs=5e-4)
    assert found.percent == pytest.approx(26.68, abs=0.05)
    assert found.categories == 5
    assert found.sentence.endswith("make 27 % of the spread: usable with care.")


def test_the_unit_does_not_matter() -> None:
    """In micrometres the standard deviations are a thousandfold, the percentage the same."""
    found = study_gauge(example())
    micro = study_gauge([[[1000 * x for x in cell] for cell in person] for person in example()])
    assert micro.gauge == pytest.approx(1000 * found.gauge)
    assert micro.percent == pytest.approx(found.percent)


def test_persons_who_agree_have_no_reproducibility() -> None:
    """The estimate below zero is zero (AIAG)."""
    same = example()[0]
    assert study_gauge([same, same]).reproducibility == 0


@pytest.mark.parametrize(
    ("readings", "percent", "categories", "words"),
    [
        ([[[2.0, 2.0], [2.0, 2.0]]] * 2, 0, None, "All readings are alike"),
        ([[[1.0, 1.0], [2.0, 2.0]]] * 2, 0, None, "good"),
        ([[[1.0, 2.0], [1.0, 2.0]]] * 2, 100, 0, "not good enough"),
    ],
)
def test_degenerate_studies(
    readings: Study, percent: float, categories: int | None, words: str
) -> None:
    """All alike, a perfect gauge, and one that sees nothing but itself."""
    found = study_gauge(readings)
    assert found.percent == pytest.approx(percent)
    assert found.categories == categories
    assert words in found.sentence


@pytest.mark.parametrize(
    ("readings", "field"),
    [
        ([], "persons"),
        ([[[1.0, 1.0], [2.0, 2.0]]], "persons"),
        ([[[1.0, 1.0], [2.0, 2.0]], [[1.0, 1.0]]], "parts"),
        ([[[1.0, 1.0]], [[1.0, 1.0]]], "parts"),
        ([[[1.0, 1.0], [2.0]], [[1.0, 1.0], [2.0, 2.0]]], "trials"),
        ([[[1.0], [2.0]], [[1.0], [2.0]]], "trials"),
    ],
)
def test_what_is_no_study(readings: Study, field: str) -> None:
    """Too few or not all alike: named by field, refused by the study."""
    assert [fault.field for fault in check_study(readings)] == [field]
    with pytest.raises(TradeError):
        study_gauge(readings)


def test_the_constant_for_three_trials() -> None:
    """AIAG prints K1 = 0.5908 for three trials: 1 / 1.693 to four decimals."""
    assert 1 / RANGE_OF_MANY[3] == pytest.approx(0.5908, abs=0.0002)
