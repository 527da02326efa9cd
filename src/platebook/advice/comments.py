"""Stock comments: what an instructor says again and again of a result, a key each.

The comments are our own wording of common practice, in `data/comments.csv`, by result and in the
order of their keys.
"""

import csv
import functools
from collections.abc import Iterable, Mapping
from importlib import resources

MOST = 9
"""Keys there are for comments: the digits of the number pad but for 0."""


@functools.cache
def stock_comments() -> Mapping[str, tuple[str, ...]]:
    """All stock comments by result."""
    file = resources.files("platebook.advice").joinpath("data", "comments.csv")
    found: dict[str, tuple[str, ...]] = {}
    for row in csv.DictReader(file.read_text(encoding="utf-8").splitlines()):
        found[row["result"]] = (*found.get(row["result"], ()), row["comment"])
    return found


def comments_on(result: Iterable[str]) -> tuple[str, ...]:
    """The comments that fit this result, first defect first; the first one's key is 1.

    None for a result that nothing is said of.
    """
    fitting = (c for one in result for c in stock_comments().get(one, ()))
    return tuple(dict.fromkeys(fitting))[:MOST]


def comment_of(result: Iterable[str], given: str) -> tuple[str | None, str]:
    """The comment meant and "", or None and what was expected: a key there is, or words."""
    words = given.strip()
    if not words.isdecimal():
        return words, ""
    known = comments_on(result)
    if 1 <= int(words) <= len(known):
        return known[int(words) - 1], ""
    keys = "; ".join(f"{key} {comment}" for key, comment in enumerate(known, 1))
    return None, f"a comment in words{f', or one of: {keys}' if keys else ''}"
