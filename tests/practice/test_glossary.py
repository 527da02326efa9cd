"""The glossary: every word of the trade, the log and the methods, once and plainly."""

import pytest

from platebook.practice.defects import defects
from platebook.practice.fields import choices, fields, parts
from platebook.practice.glossary import (
    KINDS,
    Term,
    glossary,
    meant,
    near_words,
    term_of,
    terms_like,
    words_asked,
)
from platebook.practice.results import DEFECTS
from platebook.trade.cautions import work_steps


def words(terms: tuple[Term, ...]) -> list[str]:
    """The words alone."""
    return [term.word for term in terms]


def test_a_word_is_explained_once_and_by_others() -> None:
    """In the order of the alphabet, in kinds that have a heading, and no word by itself."""
    listed = [(term.word.casefold(), term.kind) for term in glossary()]
    assert listed == sorted(set(listed))
    assert {term.kind for term in glossary()} == set(KINDS)
    assert [term.word for term in glossary() if not term.meaning] == []
    explained = [term for term in glossary() if term.kind != "work"]
    assert [t.word for t in explained if t.meaning.casefold().startswith(f"{t.word} ")] == []


def test_a_field_or_an_answer_is_explained_once() -> None:
    """By it a drawing and the help of the field in focus find their word."""
    pairs = [(term.field, term.value) for term in glossary() if term.field]
    assert sorted(pairs) == sorted(set(pairs))


@pytest.mark.parametrize("field", ["fit", "trial_height", "ledge", "first_seen", "push_test"])
def test_every_answer_is_explained(field: str) -> None:
    """Those of the three readings of the seat, every step, and the push test."""
    assert [c.value for c in choices()[field] if term_of(field, c.value) is None] == []


def test_no_word_is_of_a_field_or_a_value_that_is_not() -> None:
    """A row that names a field or a choice wrongly would never be shown."""
    named = [term for term in glossary() if term.field]
    assert [term.word for term in named if term.field not in fields()] == []
    answers = [term for term in named if term.value and term.field != "result"]
    listed = {(name, c.value) for name, some in choices().items() for c in some}
    assert [t.word for t in answers if (t.field, t.value) not in listed] == []


def test_every_defect_has_its_own_half_sentence() -> None:
    """What it is, how it is tested, how bad it can be, and what to do now."""
    assert [defect.name for defect in defects().values() if not defect.means] == []
    tilted = term_of("result", "tilted")
    assert tilted is not None
    assert tilted.how[0] == "Test: flash together both ways?"
    assert "clear: 3-6 degrees, seen unaided." in tilted.how
    assert all(name in meant("defect")[0].meaning for name in DEFECTS)


def test_every_step_of_the_work_is_told() -> None:
    """A step of the list stands under its own name, or with the step at which one first sees it."""
    told = {sentence for term in glossary() for sentence in (term.meaning, *term.how)}
    assert [step.name for step in work_steps() if step.say not in told] == []


def test_every_part_is_explained() -> None:
    """By a word of its own, or by the step whose skill it trains."""
    steps = {choice.value for choice in choices()["first_seen"]}
    assert [p for p in parts() if p not in steps and term_of("part", p) is None] == []


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("flush", ["flush", "flush (an answer)"]),
        ("Well supported", ["well supported"]),
        ("proud", ["high", "proud"]),
        ("tight", ["enters with a firm push"]),
        ("push test", ["push test", "push test"]),
    ],
)
def test_a_word_is_found_by_its_spellings(typed: str, first: list[str]) -> None:
    """And gives every thing that it means."""
    assert words(meant(typed)) == first


def test_typing_narrows_the_list_likeliest_first() -> None:
    """The word, those that begin so, those that hold it, then those that speak of it."""
    assert words(terms_like("")) == words(glossary())
    assert words(terms_like("culet"))[:2] == ["culet", "culet out"]
    assert "stone depth" in words(terms_like("culet"))
    assert terms_like("no such word at all") == ()


@pytest.mark.parametrize(
    ("offered", "asked"),
    [
        (("good", "missed"), ["defect", "good", "missed"]),
        (("1", "2", "3"), ["defect", "good", *DEFECTS, "culet out"]),
    ],
)
def test_what_is_asked_is_the_field_and_the_answers_offered(
    offered: tuple[str, ...], asked: list[str]
) -> None:
    """An exercise in one part has two answers; where keys are no words, all that there are."""
    assert words(words_asked("result", offered)) == asked


def test_a_word_typed_wrongly_has_near_ones() -> None:
    """For the command line to propose."""
    assert near_words("girdel")[0] == "girdle"
    assert near_words("qqqq") == ()
