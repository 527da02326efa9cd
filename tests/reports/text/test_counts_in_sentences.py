"""What the makers of sentences say of none, one and two of a thing."""

import re
from collections.abc import Callable

import pytest

from platebook.analysis.findings.telling.results import MoreNeeded
from platebook.analysis.findings.telling.sentences import more_attempts
from platebook.analysis.grades.outlook import Forecast
from platebook.analysis.grades.own_work import NotWhole
from platebook.analysis.grades.points import good_ones
from platebook.analysis.periods.practice_by_week import Practice, Week
from platebook.practice.problem import Problem
from platebook.reports.text.analysis_text import not_whole_words
from platebook.reports.text.class_text import practice_line
from platebook.reports.text.figures import outlook_words, waits_for_sign_off
from platebook.trade.phrases import days_ago

WEEK = Week(monday="2026-02-02", attempts=1, days=1)
WRONG = re.compile(
    r"\b1 (?:more |good )?(?:attempts|days|exercises|ones|points|rows|seats|settings|weeks)\b"
    r"|\b0 days ago|\b[02] (?:more |good )?(?:attempt|day|exercise|one|point|row|setting|week)\b"
)

Maker = Callable[[int], str]
MAKERS: dict[str, Maker] = {
    "good ones": good_ones,
    "last practised": days_ago,
    "points": lambda n: waits_for_sign_off(n, n),
    "more attempts": lambda n: more_attempts(MoreNeeded(low=n, high=n)),
    "outlook": lambda n: outlook_words(Forecast(within=20, chance=0.4, middle=n, low=n, high=n)),
    "no outlook": lambda n: outlook_words(
        Forecast(within=n, chance=0.4, middle=None, low=None, high=None)
    ),
    "not whole": lambda n: not_whole_words(NotWhole(parts=n, blocks=n, not_judged=n)),
    "weeks": lambda n: practice_line(
        Practice(weeks=(WEEK,) * n, recent=True, a_week=1.0, stones=(), burs=())
    ),
    "rows with a problem": lambda n: str(Problem(2, "result", "x", "good", times=n + 1)),
}


@pytest.mark.parametrize("maker", MAKERS.values(), ids=MAKERS)
@pytest.mark.parametrize("count", [0, 1, 2])
def test_a_noun_goes_with_its_count(maker: Maker, count: int) -> None:
    """Never "1 settings", "2 setting" or "0 days ago"."""
    assert WRONG.findall(maker(count)) == []


def test_one_is_said_as_one() -> None:
    """The same makers, word for word."""
    assert [days_ago(n) for n in (0, 1, 2)] == ["today", "yesterday", "2 days ago"]
    assert [MAKERS["more attempts"](n) for n in (1, 2)] == ["1 more attempt", "2 more attempts"]
    assert MAKERS["points"](1) == "1 of 1 point; waits for an instructor's sign-off."
    assert MAKERS["rows with a problem"](1).startswith("row 2 and 1 row more")
