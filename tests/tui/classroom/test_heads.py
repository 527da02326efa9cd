"""The headlines of the class and its queue: whose work first, and how many wait."""

from tests.tui.class_values import QUEUE, STANDINGS

from platebook.tui.classroom.heads import (
    EMPTY,
    NO_CLASS_YET,
    NOBODY,
    class_head,
    queue_head,
    waiting_words,
)
from platebook.values import replace


def test_what_was_only_drawn_is_counted_apart_in_one_sentence() -> None:
    """With a reason, drawn, both or none; no number stands large beside it."""
    both = "1 with a reason, 1 at random to see how eyes agree."
    assert waiting_words(QUEUE) == both
    assert waiting_words(QUEUE[1:] * 2) == "2 at random to see how eyes agree."
    assert waiting_words(QUEUE[1:2]) == "1 at random to see how eyes agree."
    assert waiting_words(QUEUE[:1]) == ""
    assert waiting_words(()) == ""
    twice = replace(QUEUE[1], setter_id=QUEUE[0].setter_id)
    assert waiting_words((*QUEUE, twice)) == (
        "1 with a reason, 2 at random to see how eyes agree (1 person in both)."
    )
    for head in (class_head("", STANDINGS, QUEUE), queue_head("", QUEUE, by_student=False)):
        assert both in f"{head.far.plain} {head.mind.plain}"
        assert head.number == ""


def test_the_class_says_whose_work_first_or_what_to_do() -> None:
    """A reason, nobody who stands out, nothing that waits, nothing logged, nobody at all."""
    first = class_head("Thursday", STANDINGS, QUEUE).title.plain
    assert first.startswith(f"Thursday: {QUEUE[0].setter} first: stuck at 1.5 mm in copper")
    drawn = class_head("Thursday", STANDINGS, QUEUE[1:])
    assert (drawn.title.plain, drawn.number) == ("Thursday: nobody stands out.", "")
    assert class_head("", STANDINGS, ()).title.plain == EMPTY
    bare = tuple(replace(setter, attempts=0) for setter in STANDINGS)
    assert class_head("", bare, ()).title.plain == NO_CLASS_YET
    assert class_head("", (), ()).title.plain == NOBODY


def test_the_queue_names_the_first_position() -> None:
    """Where nothing but a draw waits that one, without a number."""
    head = queue_head("Thursday", QUEUE, by_student=True)
    where = f"plate {QUEUE[0].plate}, position {QUEUE[0].position}"
    assert head.title.plain == f"Thursday: look first at {QUEUE[0].setter}, {where}"
    assert head.mind.plain.endswith("o puts the weightiest reason on top.")
    drawn = queue_head("", QUEUE[1:], by_student=False)
    assert drawn.title.plain.startswith(f"Look first at {QUEUE[1].setter}")
    assert drawn.number == ""
