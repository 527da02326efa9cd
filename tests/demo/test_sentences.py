"""The invented class, sentence by sentence: what findings say is counted again from the rows."""

import pytest
from tests.demo.test_evening_class import CLASS
from tests.simulated.recount import in_time, recount

from platebook.analysis import find
from platebook.practice.reading.attempt_rows import write_row
from platebook.practice.records import Setter


@pytest.mark.slow
@pytest.mark.parametrize("setter", CLASS.setters, ids=lambda setter: setter.name)
def test_every_sentence_of_a_setter_says_what_the_rows_say(setter: Setter) -> None:
    """All settings with a result, whatever the finding is about."""
    attempts = CLASS.attempts_by_setter[setter.setter_id or ""]
    judged = [a for a in attempts if a.result and a.kind != "part"]
    written = in_time([write_row(attempt) for attempt in judged])
    found = find(attempts)
    for finding in (*found.findings, *found.retired):
        if " went with " in finding.sentence:
            again = recount(finding.sentence, finding.variable, written)
            assert again.said == again.counted, finding.sentence
