"""Revisions from elsewhere that a logbook cannot hold: each is refused in one sentence."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.logbook.books import AUTHOR, ME, a_book_with_setter, log, receive
from tests.logbook.handed_on import revisions_by

from platebook.logbook import LogbookError, setter_records
from platebook.logbook.history.revisions import history_of
from platebook.practice.revision import Bundle, Revision
from platebook.values import replace


def changed(revision: Revision, **values: object) -> Revision:
    """A further revision, like this one but for these values of its record."""
    row = json.loads(revision.record) | values
    return replace(revision, revision_id="x", record=json.dumps(row))


WRONG: dict[str, tuple[Callable[[Revision], Revision], str]] = {
    "another content under a known id": (
        lambda r: replace(r, record=r.record.replace("loose", "gap")),
        "is here already with another content",
    ),
    "no record under a known id": (
        lambda r: replace(r, record="[]"),
        "expected a record as a JSON object",
    ),
    "a change told otherwise": (
        lambda r: replace(r, revision_id="x", change=replace(r.change, counter=77)),
        "The change .* is here already with another content",
    ),
    "a counter that nobody reaches": (
        lambda r: replace(
            r,
            revision_id="x",
            change=replace(r.change, change_id="x", counter=2**50),
        ),
        "numbered up to 1125899906842624, far ahead",
    ),
    "made from a later one": (
        lambda r: replace(
            r,
            revision_id="0",
            parents=(r.revision_id,),
            change=replace(r.change, change_id="x", counter=1),
        ),
        "which cannot be",
    ),
    "no record": (
        lambda r: replace(r, revision_id="x", record="[]"),
        "expected a record as a JSON object",
    ),
    "another record's id": (
        lambda r: changed(r, attempt_id="y"),
        "attempt_id: read 'y', expected",
    ),
    "a text for a number": (
        lambda r: changed(r, minutes="ten"),
        "minutes: read 'ten', expected a number",
    ),
    "a time that no calendar has": (
        lambda r: changed(r, began_us=2**62),
        "began: read 4611686018427387904, expected a time",
    ),
    "a list that is none": (
        lambda r: changed(r, result="good"),
        "result: read 'good', expected a list of words as JSON text",
    ),
    "a number for a defect": (
        lambda r: changed(r, result="[1]"),
        "result: read '\\[1\\]', expected a list of words",
    ),
    "a severity beyond lost": (
        lambda r: changed(r, severity="[4]"),
        "severity: read '\\[4\\]', expected a list of 1, 2 and 3",
    ),
    "an hour that no clock has": (
        lambda r: changed(r, clock=13),
        "clock: read 13, expected a whole number from 1 to 12",
    ),
    "text that turns itself around": (
        lambda r: changed(r, note="a\u202eb"),
        "holds characters that steer a terminal or turn text around",
    ),
    "an escape hidden in a list": (
        lambda r: changed(r, result='["\\u001b[2J"]'),
        "holds characters that steer a terminal",
    ),
    "nobody's attempt": (
        lambda r: changed(r, setter_id=None),
        "setter_id: read None, expected a setter's id",
    ),
}


@pytest.mark.parametrize("name", WRONG)
def test_what_cannot_be_is_refused_with_all_that_came_along(name: str, tmp_path: Path) -> None:
    """One sentence, and the logbook is byte for byte as it was."""
    make, words = WRONG[name]
    with a_book_with_setter(tmp_path) as book:
        (record_id,) = log(book, 1)
        wrong = make(book.ask(history_of, "attempt", record_id).versions[0].revision)
        fine = replace(
            book.ask(revisions_by)[0],
            revision_id="fine",
            kind="lamp",
            change=replace(wrong.change, change_id="fine", counter=2),
        )
        before = book.ask(revisions_by), book.path.read_bytes()
        bundle = Bundle(replica="b", revisions=(fine, wrong))
        with pytest.raises(LogbookError, match=words) as caught:
            receive(book, bundle)
        assert caught.value.cause == "value"
        assert "Nothing of it was taken in" in str(caught.value)
        assert (book.ask(revisions_by), book.path.read_bytes()) == before


def test_a_newer_record_that_cannot_be_read_here_says_so(tmp_path: Path) -> None:
    """It would stand in the way of all others, so it is refused in words."""
    with a_book_with_setter(tmp_path) as book:
        first = book.ask(revisions_by)[0]
        newer = replace(
            first,
            revision_id="~",
            schema=2,
            record=json.dumps({"setter_id": ME, "names": ["Ada", "Quill"]}),
        )
        with pytest.raises(LogbookError, match="written by a newer platebook; install that"):
            receive(book, Bundle(replica="b", revisions=(newer,)))
        assert [s.name for s in book.ask(setter_records.setters)] == [AUTHOR]
