"""The position drawn for a look, as the class's services keep it."""

from pathlib import Path

import pytest
from tests.services.bench import ADA, BRAM, a_row, ada_at, logged, minutes_on
from tests.services.school import a_school, all_share

from platebook.advice.comments import comments_on
from platebook.logbook import belongings
from platebook.logbook.attempts import select_attempts
from platebook.logbook.revisions import revisions_by
from platebook.logbook.wanted import Wanted
from platebook.reports.log_table import inspection_lines
from platebook.services.class_answers import eyes
from platebook.services.desk import Desk
from platebook.services.faults import Refused, opened
from platebook.services.inspecting import NOBODYS, inspect, queue
from platebook.services.log import attempt_with, inspections_of
from platebook.services.recording import amend, hide, undo
from platebook.services.roster import add_setter, erase_setter


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """Ada at her own desk, and Bram with six settings of one evening."""
    found = ada_at(tmp_path)
    add_setter(found, BRAM)
    for n, result in enumerate(("good", "high", "good", "good", "high", "good")):
        logged(found, a_row(setter=BRAM, result=result, began=minutes_on(n), plate="1"))
    return found


def drawn(desk: Desk) -> list[str]:
    """Ids of the positions drawn, as the queue has them."""
    return [row.attempt_id for row in queue(desk) if row.drawn]


def brams(desk: Desk) -> list[str]:
    """Ids of Bram's attempts, in order."""
    with opened(desk) as book:
        return [a.attempt_id or "" for a in book.ask(select_attempts) if a.setter == BRAM]


def test_what_was_drawn_stays_drawn_whatever_is_logged_or_looked_at(desk: Desk) -> None:
    """Asked again, after more attempts, after looks at all others."""
    (one,) = drawn(desk)
    for n in range(6, 30):
        logged(desk, a_row(setter=BRAM, began=minutes_on(n), result="loose"))
    assert drawn(desk) == [one]
    for row in queue(desk):
        if not row.drawn:
            inspect(desk, row.attempt_id, "good", by="Tutor")
    assert drawn(desk) == [one]
    assert inspect(desk, one, "good", by="Tutor").inspection.drawn_at_random
    (following,) = drawn(desk)
    assert following != one


def test_a_look_before_the_queue_was_asked_for_does_not_choose_the_sample(desk: Desk) -> None:
    """The draw is made before the look, out of all that waited."""
    with opened(desk) as book:
        bram = next(s.setter_id or "" for s in book.ask(belongings.setters) if s.name == BRAM)
        ids = {a.attempt_id for a in book.ask(select_attempts, Wanted(setter_id=bram))}
    inspect(desk, min(map(str, ids)), "good", by="Tutor")
    with opened(desk) as book:
        (kept,) = book.ask(belongings.draws, bram)
    assert set(kept.pool) == ids


def test_undo_does_not_draw_again(desk: Desk) -> None:
    """A draw is nobody's change: undo takes back what the author did before it."""
    with opened(desk) as book:
        last = book.ask(select_attempts)[-1].attempt_id or ""
    hide(desk, last)
    (one,) = drawn(desk)
    assert undo(desk).startswith("Taken back: hide of 1 attempt")
    assert drawn(desk) == [one]
    with opened(desk) as book:
        assert [c.change.author for c in book.ask(revisions_by) if c.kind == "draw"] == [NOBODYS]


def test_a_look_after_the_verdict_was_told_is_no_sample(desk: Desk) -> None:
    """Taken back and given again: the second one has seen the setter's own."""
    (one,) = drawn(desk)
    assert inspect(desk, one, "loose", by="Tutor").inspection.drawn_at_random
    undo(desk)
    assert drawn(desk) == [one]
    assert not inspect(desk, one, "good", by="Tutor").inspection.drawn_at_random
    assert eyes(desk)[BRAM].looks == 0


def test_a_verdict_corrected_after_the_look_counts_as_it_was(desk: Desk) -> None:
    """Else everybody's eye would become the instructor's."""
    (one,) = drawn(desk)
    done = inspect(desk, one, "loose", by="Tutor")
    assert done.own_result != ("loose",)
    assert amend(desk, one, {"result": "loose"}).stored
    found = eyes(desk)[BRAM]
    assert found.verdict is not None
    assert [d.defect for d in found.defects if d.inspector_only] == ["loose"]
    undo(desk)
    assert eyes(desk)[BRAM] == found


def test_a_second_instructor_does_not_count_twice(desk: Desk) -> None:
    """Both looks stand; of one position the first counts."""
    (one,) = drawn(desk)
    inspect(desk, one, "loose", by="Tutor")
    inspect(desk, one, "good", by="Another")
    found = eyes(desk)[BRAM]
    assert (found.looks, found.left_out) == (1, 1)


def test_a_draw_travels_and_is_the_same_for_everyone(tmp_path: Path) -> None:
    """The setter's own logbook knows it, and a second instructor looks at no other one."""
    school = a_school(tmp_path)
    logged(school.ada, *(a_row(began=minutes_on(n), plate="1") for n in range(5)))
    all_share(school, school.ada, school.tutor)
    (one,) = drawn(school.tutor)
    logged(school.ada, *(a_row(began=minutes_on(n), plate="2") for n in range(20, 25)))
    all_share(school, school.tutor, school.ada, school.tutor)
    assert drawn(school.tutor) == [one]
    with opened(school.ada) as book:
        (kept,) = book.ask(belongings.draws, school.ada.setter_id or "")
    assert kept.attempt_id == one
    inspect(school.tutor, one, "good", by="Tutor")
    all_share(school, school.tutor, school.ada)
    with opened(school.ada) as book:
        (look,) = book.ask(belongings.inspections, school.ada.setter_id)
    assert (look.attempt_id, look.drawn_at_random) == (one, True)


def test_a_stock_comment_is_kept_in_its_words(desk: Desk) -> None:
    """A digit picks it; what is typed is kept as it is."""
    first, second = brams(desk)[:2]
    picked = inspect(desk, first, "tilted", severity="2", comment="1", by="Tutor")
    typed = inspect(desk, second, "good", comment="2 of 3 level", by="Tutor")
    assert picked.inspection.comment == comments_on(("tilted",))[0]
    assert typed.inspection.comment == "2 of 3 level"


def test_an_erased_instructor_is_an_instructor(desk: Desk) -> None:
    """The look stays beside the attempt, and nobody's name with it."""
    tutor = add_setter(desk, "Runa Falk").setter_id or ""
    attempts = brams(desk)[:2]
    for one, by in zip(attempts, (tutor, "Runa Falk"), strict=True):
        inspect(desk, one, "gap", by=by)
    shown = [look for one in attempts for look in inspections_of(desk, attempt_with(desk, one))]
    assert [look.inspector for look in shown] == ["Runa Falk", "Runa Falk"]
    erase_setter(desk, "Runa Falk")
    after = [look for one in attempts for look in inspections_of(desk, attempt_with(desk, one))]
    assert [look.inspector for look in after] == ["an instructor", "an instructor"]
    assert [look.result for look in after] == [("gap",), ("gap",)]
    assert "an instructor: gap" in inspection_lines(after)[0]


def test_ones_own_second_look_neither_uses_up_nor_spoils_a_draw(desk: Desk) -> None:
    """It is no look by others, and it is refused as one."""
    (one,) = drawn(desk)
    with pytest.raises(Refused, match="someone else's look"):
        inspect(desk, one, "good", by=BRAM)
    assert drawn(desk) == [one]
    assert ADA not in {row.setter for row in queue(desk)}
