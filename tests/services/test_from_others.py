"""What others said reaches the setter, is told until it is read, and stands beside their own."""

from pathlib import Path

from tests.services.bench import ADA, BRAM, a_row, logged, minutes_on
from tests.services.school import School, a_school, all_share, answered

from platebook.services.attempts.log import attempt_history, log_page, looked_at
from platebook.services.attempts.recording import undo
from platebook.services.classes.inspections import inspect
from platebook.services.classes.second_look import second_look
from platebook.services.from_others import from_others, mark_read, news, read_news, said_of
from platebook.services.people.setters import add_setter, erase_setter, merge_setters, switch_setter
from platebook.services.session import opened, with_setter_of


def looked(school: School, count: int = 2) -> tuple[str, ...]:
    """Ada's attempts, of which the instructor looked at the first ones, one with a comment."""
    ids = logged(
        school.ada, *(a_row(began=minutes_on(n), plate="B", position=str(n)) for n in range(5))
    )
    all_share(school, school.ada, school.tutor)
    for n, one in enumerate(ids[:count]):
        comment = "Level it first." if n == 0 else ""
        inspect(school.tutor, one, "high", severity="2", comment=comment, by="Edda Vale")
    all_share(school, school.tutor, school.ada)
    return ids


def test_a_look_reaches_the_setter_and_the_line_goes_when_it_is_read(tmp_path: Path) -> None:
    """Whose and how many, one with a comment; read once, it is told no more, but is still there."""
    school = a_school(tmp_path)
    looked(school)
    said = "Edda Vale looked at 2 of yours, one with a comment: l opens them"
    assert news(school.ada) == said
    received = read_news(school.ada)
    assert [look.new for look in received.looks] == [True, True]
    first = received.looks[-1]
    assert (first.by, first.position, first.own_result, first.result, first.severity) == (
        "Edda Vale",
        "0",
        ("good",),
        ("high",),
        (2,),
    )
    assert first.comment == "Level it first."
    assert news(school.ada) == ""
    assert [look.new for look in read_news(school.ada).looks] == [False, False]


def test_one_look_is_told_as_one(tmp_path: Path) -> None:
    """In the singular, with its comment."""
    school = a_school(tmp_path)
    looked(school, 1)
    assert news(school.ada) == "Edda Vale looked at one of yours, with a comment: l opens it"


def test_what_was_read_is_each_setters_own_and_goes_with_them(tmp_path: Path) -> None:
    """Nobody else's looks are told; what another one reads is not read by me."""
    school = a_school(tmp_path)
    ids = looked(school)
    assert news(school.bram) == ""
    mark_read(school.bram, [look.inspection_id for look in from_others(school.ada).looks])
    assert news(school.ada) != ""
    said_of(school.ada, ids[0])
    assert news(school.ada) == "Edda Vale looked at one of yours: l opens it"
    said_of(school.tutor, ids[1])
    assert news(school.ada) != ""
    erase_setter(school.tutor, ADA)
    assert looked_at(school.tutor, ()) == {}


def test_two_entries_made_one_have_read_what_either_had_read(tmp_path: Path) -> None:
    """A look that came to the other entry and was read there is not news again."""
    school = a_school(tmp_path)
    looked(school)
    read_news(school.ada)
    add_setter(school.ada, "A. Quill")
    merge_setters(school.ada, "A. Quill", ADA)
    kept = switch_setter(school.ada, "A. Quill")
    assert (len(from_others(kept).looks), news(kept)) == (2, "")


def test_a_merge_that_a_bundle_brings_leaves_read_what_was_read(tmp_path: Path) -> None:
    """The teacher made two entries one; the student's logbook follows, and tells nothing twice."""
    school = a_school(tmp_path)
    looked(school)
    read_news(school.ada)
    add_setter(school.tutor, "A. Quill")
    merge_setters(school.tutor, "A. Quill", ADA)
    all_share(school, school.tutor, school.ada)
    all_share(school, answered(school.ada))
    with opened(school.ada) as book:
        kept = with_setter_of(school.ada, book)
    assert (kept.setter_name, len(from_others(kept).looks), news(kept)) == ("A. Quill", 2, "")


def test_the_log_marks_what_was_looked_at(tmp_path: Path) -> None:
    """New until it is read, then read; the history says who saw what."""
    school = a_school(tmp_path)
    ids = looked(school)

    def marks() -> list[str]:
        return [row.looked for row in reversed(log_page(school.ada).rows)]

    assert marks() == ["new", "new", "", "", ""]
    said_of(school.ada, ids[1])
    assert marks() == ["new", "read", "", "", ""]
    assert any(
        line.startswith("Looked at: ") and "Edda Vale: high, clearly; Level it first." in line
        for line in attempt_history(school.ada, ids[0])
    )


def test_a_look_that_is_taken_back_is_told_no_more(tmp_path: Path) -> None:
    """Undone and shared again."""
    school = a_school(tmp_path)
    looked(school, 1)
    undo(school.tutor)
    all_share(school, school.tutor, school.ada)
    assert (news(school.ada), from_others(school.ada).looks) == ("", ())


def test_ones_own_second_look_is_no_news(tmp_path: Path) -> None:
    """Nor is a session without a setter told anything, or one without a logbook."""
    school = a_school(tmp_path)
    logged(school.ada, a_row(began=minutes_on(-60 * 24 * 9)))
    assert second_look(school.ada) is not None
    assert (news(school.ada), news(school.tutor)) == ("", "")
    assert BRAM
