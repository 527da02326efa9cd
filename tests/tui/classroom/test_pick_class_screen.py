"""Which class: how many there are, and how many of them run."""

import pytest

from platebook.practice.records import ClassTerm
from platebook.services.classes.enrolment import ListedClass
from platebook.tui.classroom.pick_class_screen import classes_head


@pytest.mark.parametrize(
    ("runs", "words"),
    [
        ((True,), "1 class, it runs now"),
        ((False,), "1 class, none runs now"),
        ((True, True), "2 classes, all run now"),
        ((True, True, False), "3 classes, 2 of them run now"),
        ((False, True), "2 classes, 1 of them runs now"),
        ((False, False), "2 classes, none runs now"),
    ],
)
def test_how_many_run_is_said_in_a_sentence(runs: tuple[bool, ...], words: str) -> None:
    """Of one, of all, of some and of none."""
    listed = [
        ListedClass(
            ClassTerm(class_id=str(n), name="Thursday"),
            1,
            1,
            (),
            run,
            recorded=True,
            called="Thursday",
        )
        for n, run in enumerate(runs)
    ]
    assert classes_head(listed).far.plain == words
