"""A term beside the ones before, after as many weeks of each."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, NOW, a_row, ada_at, logged, ticking

from platebook.services.classes.compare import NoFirstDay, begin_class, compare_terms
from platebook.services.classes.enrolment import Details, list_classes, new_class
from platebook.services.classes.listed_names import read_names
from platebook.services.people.at_the_bench import view_class
from platebook.services.people.setters import add_setter
from platebook.services.session import Refused, Session
from platebook.values import replace

BEFORE = datetime(2025, 9, 11, 18, tzinfo=UTC)
THIS = datetime(2026, 1, 8, 18, tzinfo=UTC)


def evenings(session: Session, name: str, first: datetime, results: str) -> None:
    """A setting a week from the first evening on: g good, x loose."""
    rows = [
        a_row(
            setter=name,
            began=(first + timedelta(weeks=week)).isoformat(),
            result="good" if result == "g" else "loose",
            grade="copper-2.0",
        )
        for week, result in enumerate(results)
    ]
    logged(session, *rows)


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """Four weeks into the second term of Thursday; three of the eight last year were good."""
    earlier = replace(ada_at(tmp_path), clock=ticking(BEFORE))
    listed = read_names(earlier, [ADA, BRAM], {})
    last = Details(begins=BEFORE.date(), ends=date(2025, 12, 4))
    new_class(earlier, "Thursday", listed, last)
    evenings(earlier, ADA, BEFORE, "gxxggg")
    evenings(earlier, BRAM, BEFORE, "xgxg")
    now = replace(earlier, clock=ticking(NOW))
    listed = read_names(now, [ADA, BRAM], {})
    new_class(now, "Thursday", listed, Details(begins=THIS.date()))
    evenings(now, ADA, THIS, "ggg")
    evenings(now, BRAM, THIS, "gx")
    return now


def test_each_term_is_counted_after_the_weeks_this_one_has_run(session: Session) -> None:
    """Three full weeks have gone: what was set in the fourth and later last year is left out."""
    found = compare_terms(session, "Thursday")
    this, before = found.terms
    assert found.weeks == 3
    assert (this.so_far.good, this.so_far.of, this.so_far.people) == (4, 5, 2)
    assert (before.begins, before.so_far.good, before.so_far.of) == (BEFORE.date(), 2, 6)
    words = "\n".join(found.sentences)
    assert "Thursday after 3 weeks:" in words
    assert "This term (from 8 January 2026): 80 in 100 good (may be " in words
    assert "5 settings of 2 of 2 people" in words
    assert "The term before (from 11 September 2025): 33 in 100 good (may be " in words
    assert "fewer than 20 settings say little" in words


def test_other_weeks_are_asked_for(session: Session) -> None:
    """Six weeks of last year hold all that was set."""
    assert compare_terms(session, "Thursday", weeks=6).terms[1].so_far.of == 10
    with pytest.raises(Refused, match="expected 1 or more"):
        compare_terms(session, "Thursday", weeks=0)


def test_the_class_screen_says_it_of_the_class_in_view(session: Session) -> None:
    """Or of the only one that runs."""
    head, first = compare_terms(session).sentences[:2]
    assert (head, first[:9]) == ("Thursday after 3 weeks:", "This term")
    add_setter(session, "Cleo Vane", group="Saturday")
    other = next(each.term for each in list_classes(session) if each.term.name == "Saturday")
    with pytest.raises(Refused, match="say which"):
        compare_terms(session)
    view_class(session, other.class_id)
    with pytest.raises(NoFirstDay, match="has no first day"):
        compare_terms(session)
    with pytest.raises(Refused, match="first day: read nothing"):
        begin_class(session, " ")
    assert "5 January 2026" in begin_class(session, "2026-01-05")
    assert compare_terms(session).terms[0].begins == date(2026, 1, 5)
