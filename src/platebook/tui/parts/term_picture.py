"""The drawings of words in a terminal's cells, each sign in the colour of what it shows.

| part | what it is |
|---|---|
| `term_picture` | one drawing of a given size with what it shows |
| `TermPicture` | one drawing as large as there is room |
| `TermGallery` | the drawings of several answers side by side, where there is room for all |

Lines and shapes say the same without colour.
"""

import itertools
import time
from collections.abc import Callable, Hashable, Iterable, Sequence
from functools import partial

from rich.cells import cell_len
from textual import on
from textual.content import Content
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget
from textual.worker import get_current_worker

from platebook.tui.parts.text import keycap, line, stack, txt
from platebook.values import Value

STYLES = {"metal": "$metal", "stone": "$stone", "tool": "$secondary", "fault": "$text-error"}
"""The style of what a sign shows."""

LARGEST = (44, 14)
"""Columns and lines of the largest drawing of one word."""

SMALLEST_OF_MANY, LARGEST_OF_MANY = (14, 5), (28, 9)
GAP = 2
"""Columns between two drawings of a gallery; a line lies between its rows."""
LINES_ABOVE = 2
"""Lines that the words above a drawing of a gallery may take."""


AFTER_KEY = 0.03
"""Seconds that a drawing waits behind its key: what was painted has gone out to the terminal by
then, and of a burst of keys only the last one is drawn (judgement)."""


class DrawnWord(Value):
    """One word that has a drawing, and the key that answers with it, empty for none."""

    key: str
    field: str
    value: str

    def label(self) -> Content:
        """Key and word."""
        key = Content.assemble(keycap(self.key), " ") if self.key else Content("")
        return Content.assemble(key, (line(self.value), "bold"))

    def key_alone(self) -> Content:
        """The key, where its word has no room; the word of one without a key."""
        return keycap(self.key) if self.key else self.label()

    @staticmethod
    def those_drawn(field: str, keys: Iterable[tuple[str, str]]) -> tuple["DrawnWord", ...]:
        """The answers of a field that have a drawing."""
        from platebook.reports.drawings.terms import SCENES

        drawn = SCENES.get(field, {})
        return tuple(DrawnWord(key, field, value) for key, value in keys if value in drawn)


def term_picture(field: str, value: str, width: int, height: int) -> Content:
    """The drawing with what it shows below; empty where none fits or the word has none."""
    from platebook.reports.drawings.terms import term_caption

    rows = [row for row in _lines(field, value, width, height) if row.plain.strip()]
    return stack(*rows, txt(term_caption(field, value), "$muted")) if rows else Content("")


class DrawnBeside(Widget):
    """Shows a drawing that a worker makes once the key that asked for it is painted.

    What was drawn before stands until the new one is there. A subclass says what is `wanted`; what
    `drawing` gives is called beside the event loop.
    """

    drawn: reactive[Content] = reactive(Content(""))

    class Made(Message):
        """A drawing is there, of what was wanted when it was begun."""

        def __init__(self, wanted: Hashable, drawn: Content) -> None:
            super().__init__()
            self.wanted, self.drawn = wanted, drawn

    def __init__(self) -> None:
        super().__init__()
        self.made: dict[Hashable, Content] = {}

    def wanted(self) -> Hashable:
        """All that the drawing depends on; None where nothing is to be drawn."""
        return None

    def drawing(self, width: int, height: int) -> Callable[[], Content]:
        """What draws it in so many columns and lines."""
        raise NotImplementedError

    def render(self) -> Content:
        """The drawing as far as there is one."""
        return self.drawn

    def on_resize(self) -> None:
        """There is more room, or less."""
        self.draw()

    def draw(self) -> None:
        """Show what is wanted now, from before where it was drawn already."""
        wanted = (self.wanted(), self.size)
        if wanted[0] is None or not self.size:
            self.drawn = Content("")
        elif wanted in self.made:
            self.drawn = self.made[wanted]
        else:
            # A worker that began now would share the processor with the painting of the key.
            self.call_after_refresh(self._begin)

    def _begin(self) -> None:
        wanted = (self.wanted(), self.size)
        if wanted[0] is None or wanted in self.made:
            return
        draw, pause = self.drawing(*self.size), 0.0 if self.app.is_headless else AFTER_KEY

        def work() -> None:
            # What was painted for the key is still on its way through a thread that writes it.
            time.sleep(pause)
            if not get_current_worker().is_cancelled:
                self.post_message(self.Made(wanted, draw()))

        # A drawing that fails is one less: its words stand beside it, and the attempt goes on.
        self.run_worker(work, thread=True, exclusive=True, exit_on_error=False)

    @on(Made)
    def show_made(self, event: Made) -> None:
        """Show it, if it is still what is wanted."""
        self.made[event.wanted] = event.drawn
        if event.wanted == (self.wanted(), self.size):
            self.drawn = event.drawn


class TermPicture(DrawnBeside):
    """One word with its drawing, as large as there is room; nothing where there is too little."""

    DEFAULT_CSS = "TermPicture { height: 1fr; }"

    def __init__(self) -> None:
        super().__init__()
        self.word: DrawnWord | None = None
        self.hint = ""

    def show(self, word: DrawnWord | None, hint: str) -> None:
        """Draw this word, the hint under it; without a word the hint stands alone."""
        self.word, self.hint = word, hint
        self.draw()

    def wanted(self) -> Hashable:
        """The word and the hint."""
        return (self.word, self.hint) if self.word is not None or self.hint else None

    def drawing(self, width: int, height: int) -> Callable[[], Content]:
        """The word, its drawing, what it shows, the hint."""
        return partial(large, self.word, self.hint, width, height)


class TermGallery(DrawnBeside):
    """The drawings of several words side by side under their keys; nothing where one lacks room."""

    DEFAULT_CSS = "TermGallery { height: 1fr; text-wrap: nowrap; }"

    def __init__(self) -> None:
        super().__init__()
        self.words: tuple[DrawnWord, ...] = ()
        self.marked = ""

    def show(self, words: tuple[DrawnWord, ...], marked: str) -> None:
        """Draw these words, the one of this key marked."""
        self.words, self.marked = words, marked
        self.draw()

    def wanted(self) -> Hashable:
        """The words and the mark."""
        return (self.words, self.marked) if self.words else None

    def drawing(self, width: int, height: int) -> Callable[[], Content]:
        """All words as large as they fit."""
        return partial(gallery, self.words, width, height, marked=self.marked)


WORDS_BESIDE = 3
"""Lines beside a large drawing: its word, and what it shows in one or two."""


def large(word: DrawnWord | None, hint: str, width: int, height: int) -> Content:
    """A word, its drawing as large as it fits, what it shows, and a hint under it."""
    below = [txt(hint, "$muted")] if hint else []
    if word is None:
        return stack(*below)
    room = min(height - WORDS_BESIDE - len(below), LARGEST[1])
    drawn = term_picture(word.field, word.value, min(width, LARGEST[0]), room)
    return stack(word.label(), drawn, *below) if drawn.plain else Content("")


def gallery(words: Sequence[DrawnWord], width: int, height: int, *, marked: str = "") -> Content:
    """Drawings side by side in rows, each under its key and word; empty where they do not fit."""
    sizes = ((*_room(len(words), across, width, height), across) for across in range(1, 7))
    wide, high, across = max(sizes, key=lambda size: min(size[0], 3 * size[1]))
    wide, high = min(wide, LARGEST_OF_MANY[0]), min(high, LARGEST_OF_MANY[1])
    if not words or wide < SMALLEST_OF_MANY[0] or high < SMALLEST_OF_MANY[1]:
        return Content("")
    rows = (tuple(words[first : first + across]) for first in range(0, len(words), across))
    return stack(*(_side_by_side(row, wide, high, marked) for row in rows))


def _room(count: int, across: int, width: int, height: int) -> tuple[int, int]:
    """Columns and lines for each of so many drawings, with so many side by side."""
    down = -(-max(count, 1) // across)
    return (width - GAP * (across - 1)) // across, (height + 1) // down - 2


def _side_by_side(row: tuple[DrawnWord, ...], width: int, height: int, marked: str) -> Content:
    gap = " " * GAP
    style = {True: "bold reverse", False: "bold"}
    folded = [word.label().wrap(width) for word in row]
    above = max(map(len, folded))
    if above > LINES_ABOVE:
        # What would be cut off stands beside its key in the list already.
        folded, above = [[word.key_alone()] for word in row], 1
    labels = (
        Content(gap).join(
            [
                _padded(
                    parts[n] if n < len(parts) else Content(""),
                    width,
                    style[bool(marked) and word.key == marked and n < len(parts)],
                )
                for word, parts in zip(row, folded, strict=True)
            ]
        )
        for n in range(above)
    )
    # A second line of words is taken from the drawings under them.
    drawings = [_lines(word.field, word.value, width, height + 1 - above) for word in row]
    return stack(
        *labels, *(Content(gap).join(parts) for parts in zip(*drawings, strict=True)), txt("")
    )


def _padded(label: Content, width: int, style: str) -> Content:
    """The label in exactly so many cells."""
    return Content.assemble(label, " " * (width - cell_len(label.plain))).stylize(style)


def _lines(field: str, value: str, width: int, height: int) -> list[Content]:
    from platebook.reports.drawings.terms import term_signs

    return [_line(row) for row in term_signs(field, value, width, height)]


def _line(row: tuple[tuple[str, str], ...]) -> Content:
    runs = (
        (role, "".join(s for s, _ in run)) for role, run in itertools.groupby(row, lambda p: p[1])
    )
    return Content.assemble(*((signs, STYLES.get(role, "")) for role, signs in runs))
