"""A tool from a line of text, in whatever order people write it: size, shape and kind.

The names that the drawer itself makes, such as `1.9 mm setting bur`, are read back as what they
name.
"""

from platebook.practice.fields import choices
from platebook.practice.text import folded
from platebook.trade.lengths import read_length
from platebook.trade.records import ToolKind

KIND_WORDS: dict[tuple[str, ...], ToolKind] = {
    ("twist", "drill"): "twist drill",
    ("twist", "drills"): "twist drill",
    ("drill", "bit"): "twist drill",
    ("drill",): "twist drill",
    ("bur",): "bur",
    ("burr",): "bur",
    ("burs",): "bur",
    ("pin",): "pin",
    ("burnisher",): "burnisher",
    ("punch",): "punch",
    ("measuring",): "measuring",
}
"""What a kind may be called, longer names first."""

LONGEST_SIZE = 4
"""A size is at most so many words: 1 1/4 in, number 60."""


def kind_in(words: list[str]) -> tuple[ToolKind | None, list[str]]:
    """The kind that these words name, and the words without it; None where none does."""
    lowered = [word.casefold().strip(",;") for word in words]
    for named, kind in KIND_WORDS.items():
        for place in range(len(words) - len(named) + 1):
            if tuple(lowered[place : place + len(named)]) == named:
                return kind, words[:place] + words[place + len(named) :]
    shaped = any(shape_in([word])[0] for word in words)
    return ("bur" if shaped else None), words


def size_in(words: list[str]) -> tuple[str | None, list[str]]:
    """The first words that are a length, as many as belong to it, and the words without them."""
    for start in range(len(words)):
        for end in range(min(len(words), start + LONGEST_SIZE), start, -1):
            typed = " ".join(words[start:end]).strip(",;")
            if read_length(typed)[0] is not None:
                return typed, words[:start] + words[end:]
    return None, words


def shape_in(words: list[str]) -> tuple[str | None, list[str]]:
    """The words that are a shape of the record, and the words without them."""
    spelt = {
        folded(name)
        for field in ("seat_bur_shape", "opening_bur_shape")
        for choice in choices()[field]
        for name in (choice.value, *choice.aliases)
    }
    for many in (2, 1):
        for place in range(len(words) - many + 1):
            named = " ".join(words[place : place + many])
            if folded(named) in spelt:
                return named, words[:place] + words[place + many :]
    return None, words
