"""What the Class screen says of a row, and a look under way, key by key."""

from tests.tui.class_values import QUEUE, STANDINGS

from platebook.practice.defects import comments_on
from platebook.practice.results import RESULT_KEYS
from platebook.reports.text.figures import GRADES
from platebook.tui.classroom.words import (
    COMMENT,
    WEIGH,
    Looking,
    due_part,
    keys_in_words,
    legend,
    standing_part,
    with_keys,
)
from platebook.values import replace

TILTED = next(key for key, result in RESULT_KEYS.items() if result == "tilted")


def test_a_look_waits_for_result_severity_and_comment() -> None:
    """A good one is not weighed; a key that says nothing there changes nothing."""
    looking = Looking()
    assert (looking.waits_for, looking.comments) == ("result", ())
    assert looking.prompt().startswith("Look first, then a digit: 0 good, ")
    judged = looking.after(TILTED)
    assert judged.prompt() == f"tilted: {WEIGH}"
    assert judged.after("9") == judged
    weighed = judged.after("2")
    assert weighed.prompt() == f"tilted, clearly: {COMMENT}"
    assert weighed.comments == comments_on(("tilted",))
    assert weighed.after("1") == weighed
    assert looking.after("0").waits_for == "comment"


def test_every_key_is_listed_with_what_it_says() -> None:
    """None is left out, and no sentence ends in dots."""
    said = keys_in_words()
    assert said.startswith("a digit: 0 good, 1 loose, ")
    assert all(f"{key} {result}" in said for key, result in RESULT_KEYS.items())
    assert "…" not in said


def test_the_signs_of_the_setter_marked_are_explained() -> None:
    """Those of their stair and of the last eight, and no other; no sign is torn from its words."""
    setter = STANDINGS[0]
    assert legend(setter, setter.last, 78).plain == (
        "● good  × failed  ■ passed  ▸ now  ↓ slipping  · ahead"
    )
    lines = legend(setter, setter.last, 20).plain.splitlines()
    assert lines == ["● good  × failed", "■ passed  ▸ now", "↓ slipping  · ahead"]
    drawn = "".join(GRADES[grade.state].drawn for grade in setter.grades)
    assert f"{setter.name}  {drawn}  {setter.grade}" in standing_part(setter).plain


def test_a_setter_without_attempts_is_one_line() -> None:
    """There is nothing more to say."""
    new = replace(STANDINGS[0], attempts=0)
    assert standing_part(new).plain.splitlines() == [new.name, "Nothing logged yet."]


def test_what_is_not_known_of_a_setter_is_left_out() -> None:
    """No interval, no defect and no practice dated leave grade, eye and count."""
    bare = replace(
        STANDINGS[0],
        state="passed",
        sign_off="",
        lately=None,
        defect="",
        practice=None,
        days_since=None,
        attempts=9,
        eye="not known",
    )
    stair = "".join(GRADES[grade.state].drawn for grade in bare.grades)
    assert standing_part(bare).plain.splitlines() == [
        f"{bare.name}  {stair}  {bare.grade}, passed",
        "eye: not known",
        "9 attempts",
    ]


def test_a_position_says_why_or_offers_comments() -> None:
    """The setter's own verdict is not told before."""
    row = replace(QUEUE[0], drawn=True)
    told = "Their own verdict is told when yours is in."
    assert "random" not in due_part(row, Looking()).plain
    assert due_part(QUEUE[1], Looking()).plain.splitlines()[-2:] == [
        "Drawn at random, to see how eyes agree",
        told,
    ]
    weighed = due_part(row, Looking("tilted")).plain.splitlines()
    heads = [words.partition(":")[0] for words in weighed[2:]]
    assert heads == [" 1  slight", " 2  clear", " 3  lost"]
    offered = due_part(row, Looking("tilted", "2")).plain.splitlines()
    assert offered[2:] == [f" {n}  {c}" for n, c in enumerate(comments_on(("tilted",)), 1)]


def test_keys_of_a_sentence_are_drawn_as_keys() -> None:
    """Each with what it says behind; a number that is none stays as it is."""
    prompt = with_keys(Looking("high").prompt())
    assert prompt.plain == (
        "high: How bad?  1  slight,  2  clear,  3  lost: set again. Esc takes it back."
    )
    drawn = [prompt.plain[span.start : span.end] for span in prompt.spans]
    assert drawn == [" 1 ", " 2 ", " 3 "]
    assert with_keys("Judged 3 of 12: high, clearly.").plain == "Judged 3 of 12: high, clearly."
