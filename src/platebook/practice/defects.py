"""What a look can say, from the one table of it: `data/defects.toml`.

A defect is one table there: its word, key, sign, test, remedy, comments and the skills it speaks
against. Everything that shows, asks or counts defects reads them here; the file's head says what
each key means.
"""

import functools
from collections.abc import Iterable, Mapping
from typing import Any, Literal

from platebook.tables import toml_table
from platebook.values import Value, field

GOOD = "good"
MISSED = "missed"
"""What a part exercise says in place of defects."""

COMMON_PRACTICE = "common practice"


class Suspicion(Value):
    """How far a defect speaks against each skill, by weights, after what was read before it.

    `read_before` is empty where the weights hold whatever was read.
    """

    read_before: str
    weights: Mapping[str, float]
    kind: str


class Verdict(Value, kw_only=True):
    """One word that a look can say: how it is typed and shown, judged and commented on.

    `means` is what it is, in half a sentence; `key` the digit or letter that says it, empty where
    no key does. `looks` describe severities by their digit.
    """

    name: str
    sign: str
    means: str = ""
    aliases: tuple[str, ...] = ()
    key: str = ""
    check: str = ""
    comments: tuple[str, ...] = ()
    looks: Mapping[str, str] = field(default_factory=dict)


class Defect(Verdict, kw_only=True):
    """One thing that can be wrong with a setting.

    `spoken` and `many` are how a sentence speaks of one and of several. `fails` says from where on
    it makes a failure (`results.fails`), and `computed` that stone and sheet alone decide it.
    `saved` says whether the setting can be saved, `do` what now, and `why` the reason.
    """

    spoken: str
    many: str
    fails: Literal["slight", "clear", "enclosed"] = "clear"
    computed: bool = False
    saved: Literal["yes", "sometimes", "no"]
    do: tuple[str, ...]
    why: str
    speaks_against: tuple[Suspicion, ...]


@functools.cache
def verdicts() -> Mapping[str, Verdict]:
    """Every word of a look by its name: good, the defects in the order of the table, missed."""
    tables = _tables()
    good, missed = (Verdict(**_row(name, tables[name])) for name in (GOOD, MISSED))
    return {GOOD: good, **defects(), MISSED: missed}


@functools.cache
def defects() -> Mapping[str, Defect]:
    """All defects by name, in the order of the table; ValueError for one that lacks something."""
    return {row["name"]: _defect(row) for row in _tables()["defect"]}


def looks_of(result: str) -> Mapping[str, str]:
    """What slight, clear and lost look like, by severity digit; empty where the table has none."""
    known = verdicts().get(result)
    return known.looks if known is not None else {}


def _defect(plain: Mapping[str, Any]) -> Defect:
    name = plain["name"]
    row: dict[str, Any] = {"spoken": name, "many": f"{name} ones", **_row(name, plain)}
    if "speaks_against" in row:
        row["speaks_against"] = tuple(map(_suspicion, row["speaks_against"]))
    try:
        return Defect(**row)
    except TypeError as error:
        raise ValueError(f"defects.toml, {name}: {error}") from error


def _row(name: str, plain: Mapping[str, Any]) -> dict[str, Any]:
    """A table's values as the dataclasses hold them: lists as tuples, the severities together."""
    row = {key: tuple(v) if isinstance(v, list) else v for key, v in plain.items()}
    words = [row.pop(word, "") for word in ("slight", "clear", "lost")]
    looks = {str(size): word for size, word in enumerate(words, 1) if word}
    return {**row, "name": name, "looks": looks}


def _suspicion(plain: Mapping[str, Any]) -> Suspicion:
    weights = dict(plain)
    read_before = weights.pop("read_before", "")
    kind = weights.pop("kind", COMMON_PRACTICE)
    return Suspicion(read_before, weights, kind)


@functools.cache
def _tables() -> Mapping[str, Any]:
    return toml_table("platebook.practice", "defects.toml")


MOST_COMMENTS = 9
"""Keys there are for comments: the digits of the number pad but for 0."""


def stock_comments() -> Mapping[str, tuple[str, ...]]:
    """All stock comments by result."""
    return {name: verdict.comments for name, verdict in verdicts().items()}


def comments_on(result: Iterable[str]) -> tuple[str, ...]:
    """The comments that fit this result, first defect first; the first one's key is 1.

    Empty for a result that nothing is said of.
    """
    known = stock_comments()
    fitting = (comment for word in result for comment in known.get(word, ()))
    return tuple(dict.fromkeys(fitting))[:MOST_COMMENTS]


def comment_of(result: Iterable[str], typed: str) -> tuple[str | None, str]:
    """The comment meant and "", or None and what was expected: a key there is, or words."""
    words = typed.strip()
    if not words.isdecimal():
        return words, ""
    known = {str(key): comment for key, comment in enumerate(comments_on(result), 1)}
    if words in known:
        return known[words], ""
    keys = "; ".join(f"{key} {comment}" for key, comment in known.items())
    return None, f"a comment in words{f', or one of: {keys}' if keys else ''}"
