"""A stone of another grade, and a fit that cannot be: asked while they are typed, each once."""

from tests.builders import some_course
from tests.tui.entries import started, typed

from platebook.tui.entry.doubts import DOUBT
from platebook.tui.entry.entry import FINISH, Entry, from_draft, row_of, to_draft
from platebook.tui.entry.head import asked
from platebook.tui.entry.moves import ask_doubt, visit
from platebook.tui.entry.words import page

GRADES = some_course().grades


def with_stone(size: str) -> Entry:
    """A good attempt at 2.0 mm in copper, with this stone typed in its set-up."""
    judged = typed(started(grades=GRADES), "3210")
    return typed(visit(visit(judged, "list:set-up"), "stone_diameter_mm"), f"{size}>")


def test_a_stone_of_another_grade_is_asked_about_at_once() -> None:
    """By the name of the grade it is, with the ways out below."""
    entry = with_stone("1.48")
    assert entry.stop == DOUBT
    assert asked(entry) == "A stone of 1.48 mm: that is 1.5 mm in copper. Log it there?"
    assert [line.strip() for line in page(entry).plain.splitlines()[:3]] == [
        "1   Yes, at 1.5 mm in copper.",
        "0   No, keep it at this grade.",
        "2   The stone's size is wrong.",
    ]


def test_it_is_logged_there_or_kept() -> None:
    """A doubt that was settled is not asked again, not before saving either."""
    moved, kept = typed(with_stone("1.48"), "1"), typed(with_stone("1.48"), "0")
    # A 1.48 mm stone does not snap into the seat of a 1.9 mm bur: that is asked next.
    told = asked(moved)
    assert told.startswith("A stone of 1.48 mm that enters tilted and snaps: but the seat of this")
    assert asked(kept) == told
    moved, kept = typed(moved, "1"), typed(kept, "1")
    assert (row_of(moved)["grade"], row_of(kept)["grade"]) == ("copper-1.5", "copper-2.0")
    assert row_of(moved)["proposed"] == "grade by stone"
    assert moved.where.startswith("A whole setting · 1.5 mm in copper")
    assert ask_doubt(moved) is moved
    assert ask_doubt(kept) is kept


def test_a_size_that_was_wrong_is_typed_anew() -> None:
    """The question leads back to it, and asks no more once it is right."""
    entry = typed(with_stone("1.48"), "2")
    assert entry.stop == "stone_diameter_mm"
    assert ask_doubt(typed(entry, "1.98>")).stop != DOUBT


def test_a_stone_that_no_grade_has_is_work_of_ones_own() -> None:
    """It is logged at no grade."""
    entry = typed(with_stone("5"), "1")
    assert "grade" not in row_of(entry)
    assert "work of your own" in entry.where


def test_before_saving_what_was_never_asked_is_asked() -> None:
    """Such as after going back past the size; the finish is where the answer leads."""
    entry = visit(with_stone("1.48"), FINISH)
    asked = ask_doubt(entry)
    assert asked.stop == DOUBT
    assert typed(asked, "0").stop == FINISH


def test_a_draft_keeps_what_was_settled() -> None:
    """The course's grades are read again; what was answered stands."""
    entry = typed(typed(with_stone("1.48"), "0"), "1")
    again = from_draft(to_draft(entry))
    assert again is not None
    assert (again.settled, again.grades) == (entry.settled, ())
    assert len(again.settled) == 2


def test_a_stone_to_refuse_is_asked_about_and_what_was_misread_typed_anew() -> None:
    """Behind the finish too, where an uneven stone's readings are typed."""
    judged = typed(started(grades=GRADES), "3210")
    entry = typed(visit(judged, "stone_hole_mm"), "2.20>")
    assert entry.stop == DOUBT
    assert asked(entry).startswith("This stone is one to refuse: up to ")
    assert [line.strip() for line in page(entry).plain.splitlines()[:2]] == [
        "1   Yes: keep it.",
        "2   No: that was read wrong.",
    ]
    assert typed(entry, "2").stop == "stone_hole_mm"
    assert row_of(typed(entry, "1"))["stone_hole_mm"] == "2.20"
