"""Words and signs of findings and grades."""

from collections.abc import Mapping
from typing import Any, get_args

import pytest

from platebook.analysis.findings.results import Status
from platebook.analysis.grades.progress import State
from platebook.reports.signs import AT_WORK, FINDINGS, GRADES, Sign


@pytest.mark.parametrize(("kinds", "signs"), [(Status, FINDINGS), (State, GRADES)])
def test_each_has_words_and_signs_of_its_own(kinds: Any, signs: Mapping[str, Sign]) -> None:
    """Colour is never the only sign, in plain text as on a screen."""
    assert signs.keys() == set(get_args(kinds))
    for told in ("words", "plain", "drawn"):
        assert len({getattr(sign, told) for sign in signs.values()}) == len(signs)


def test_what_is_worked_at_are_states_of_a_grade() -> None:
    """None is misspelt."""
    assert GRADES.keys() >= AT_WORK
