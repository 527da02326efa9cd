"""Stock comments: what an instructor says again and again of a result, a key each.

The comments are our own wording of common practice; they stand with each verdict and defect in the
table of defects, in the order of their keys.
"""

from collections.abc import Iterable, Mapping

from platebook.practice.defects import verdicts

MOST = 9
"""Keys there are for comments: the digits of the number pad but for 0."""


def stock_comments() -> Mapping[str, tuple[str, ...]]:
    """All stock comments by result."""
    return {name: verdict.comments for name, verdict in verdicts().items()}


def comments_on(result: Iterable[str]) -> tuple[str, ...]:
    """The comments that fit this result, first defect first; the first one's key is 1.

    None for a result that nothing is said of.
    """
    known = stock_comments()
    fitting = (comment for word in result for comment in known.get(word, ()))
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
