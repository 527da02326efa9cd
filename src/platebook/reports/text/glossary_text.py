"""The glossary in words: one entry with its drawing, a list of entries, and the page of all."""

from collections.abc import Iterable, Mapping
from itertools import groupby

from platebook.practice.fields import fields
from platebook.practice.glossary import KINDS, Term, glossary
from platebook.reports.drawings.terms import DRAWN, term_caption, term_cells
from platebook.reports.text.figures import folded

WIDTH = 78
HANGS = 2
DRAWING_WIDTH, DRAWING_HEIGHT = 28, 9
PICTURES = "pictures/terms"
"""Where the drawings on paper lie, seen from the page of all words."""

_DRAWN = frozenset(DRAWN)


def sentence(text: str) -> str:
    """Half a sentence as a sentence; a whole one stays."""
    begun = text[:1].upper() + text[1:]
    return begun if begun.endswith((".", "?", "!")) else f"{begun}."


def of_what(term: Term) -> str:
    """What kind of word it is, in a few words: "an answer to fit", "tools"."""
    field = fields().get(term.field)
    if term.value and field is not None and term.kind == "answer":
        return f"an answer to {field.label}"
    return KINDS[term.kind]


def met(term: Term) -> str:
    """Where it is asked or met, in a sentence; empty for nowhere in particular."""
    return f"Where: {term.asked}." if term.asked else ""


def is_drawn(term: Term) -> bool:
    """Whether the word has a drawing."""
    return (term.field, term.value) in _DRAWN


def drawing(
    term: Term, width: int = DRAWING_WIDTH, height: int = DRAWING_HEIGHT
) -> tuple[str, ...]:
    """The drawing in braille dots, no larger than this; empty for a word without one."""
    return term_cells(term.field, term.value, width, height) if is_drawn(term) else ()


def entry_lines(term: Term, *, picture: bool = False) -> tuple[str, ...]:
    """The word, what it is, how it is read, where it is met, and with `picture` its drawing."""
    told = (sentence(term.meaning), *term.how, met(term))
    lines = [f"{term.word}  ({of_what(term)})"]
    lines += [line for part in told if part for line in _hanging(part)]
    if picture and is_drawn(term):
        rows = [" " * HANGS + row.rstrip() for row in drawing(term)]
        lines += ["", *(row for row in rows if row.strip()), ""]
        lines += _hanging(term_caption(term.field, term.value))
    return tuple(lines)


def list_lines(terms: Iterable[Term]) -> tuple[str, ...]:
    """Each word with its meaning alone."""
    rows = (folded(sentence(t.meaning), WIDTH, first=f"{t.word}: ", rest="    ") for t in terms)
    return tuple(line for row in rows for line in row)


def entry_values(term: Term) -> Mapping[str, object]:
    """An entry as JSON has it; `drawing` are the lines of its drawing, empty where it has none."""
    return {
        "word": term.word,
        "kind": KINDS[term.kind],
        "meaning": sentence(term.meaning),
        "how": list(term.how),
        "asked": term.asked or None,
        "field": term.field or None,
        "value": term.value or None,
        "drawing": list(drawing(term)),
    }


def glossary_page() -> str:
    """All words as docs/terms.md has them, by kind, with the drawings on paper."""
    parts = [
        "# Words",
        "",
        "Made from the glossary of the program: `platebook glossary` prints it, and F12 or Ctrl+G",
        "opens it in the app at what is asked. How answers are understood and what to do at a step",
        "is common practice; teachers differ, and a course or a teacher comes first. The drawings",
        "are to scale, of one stone in its sheet; where a fault is drawn larger, it says so.",
    ]
    order = list(KINDS)
    terms = sorted(glossary(), key=lambda term: order.index(term.kind))
    for kind, listed in groupby(terms, key=lambda term: term.kind):
        parts += ["", f"## {sentence(KINDS[kind])[:-1]}"]
        parts += [line for term in listed for line in _page_entry(term)]
    return "\n".join(parts) + "\n"


def _page_entry(term: Term) -> list[str]:
    of = f" ({of_what(term)})" if term.kind == "answer" else ""
    told = " ".join(filter(None, (sentence(term.meaning), *term.how)))
    where = f" *{met(term)}*" if term.asked else ""
    lines = ["", f"**{term.word}**{of}: {told}{where}"]
    if is_drawn(term):
        file = f"{PICTURES}/{picture_name(term.field, term.value)}"
        lines += ["", f"![{term_caption(term.field, term.value)}]({file})"]
    return lines


def picture_name(field: str, value: str) -> str:
    """The file of a term's drawing among the pictures of the docs."""
    return f"{field}-{value}".replace("_", "-").replace(" ", "-").casefold() + ".svg"


def _hanging(text: str) -> list[str]:
    return folded(text, WIDTH, first=" " * HANGS, rest=" " * HANGS)
