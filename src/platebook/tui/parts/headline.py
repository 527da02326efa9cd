"""The headline of a screen: what it says in one line, how far, what to mind, and one number large.

It is where the eye lands; everything under it is quieter. A screen makes a `Head` from its frozen
values and hands it over; what has no words takes no room.
"""

from collections.abc import Mapping
from typing import ClassVar

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Digits

from platebook.tui.parts.text import stack, txt
from platebook.tui.parts.widgets import Words
from platebook.values import Value

BAR = 20
NARROW = 70
"""Below so many columns no number is drawn large."""
DIGIT, HIGH = 3, 3
"""Cells and lines of one digit drawn large."""
CAPTION, AROUND = 11, 6
"""Cells that the caption may take, and those between and around the parts."""

DONE, LEFT = "━", "─"
"""A heavy line for what is done and a light one for what is left: told apart without colour."""
NOTHING = Content("")


class Head(Value):
    """One screen's answer. `number` is drawn large, with `caption` beside it; both may be empty."""

    PARTS: ClassVar[tuple[str, ...]] = ("title", "far", "mind", "number", "caption")

    title: Content
    far: Content = NOTHING
    mind: Content = NOTHING
    number: str = ""
    caption: str | Content = ""

    def parts(self) -> dict[str, Content]:
        """The same by name, as it is kept and shown."""
        return {
            "title": self.title,
            "far": self.far,
            "mind": self.mind,
            "number": txt(self.number),
            "caption": txt(self.caption) if isinstance(self.caption, str) else self.caption,
        }


def to_go_words(good_to_go: int) -> str:
    """What stands under the number of good ones to go."""
    return "good one to go" if good_to_go == 1 else "good ones to go"


class Headline(Vertical):
    """A band under the title line: what it says beside the number, what to mind under both."""

    can_focus = False
    DEFAULT_CSS = """
    Headline {
        height: auto; min-height: 1; padding: 0 1; background: $surface;
        border-left: outer $primary;
    }
    Headline > Horizontal { height: auto; }
    Headline Vertical { width: 1fr; height: auto; }
    Headline Words { height: auto; }
    Headline #title { text-style: bold; color: $accent; }
    Headline #number { width: auto; margin: 0 0 0 1; height: 3; color: $accent; text-style: bold; }
    Headline #caption { width: auto; max-width: 11; height: 3; padding: 0 0 0 1;
                        content-align-vertical: middle; color: $muted; }
    """

    def compose(self) -> ComposeResult:
        """Words on the left, the number and what it counts on the right."""
        with Horizontal():
            with Vertical():
                yield Words(id="title")
                yield Words(id="far")
            yield Digits("", id="number")
            yield Words(id="caption")
        yield Words(id="mind")

    def __init__(self, waiting: str = "") -> None:
        super().__init__()
        self._parts: Mapping[str, Content] = Head(txt(waiting)).parts()

    def on_mount(self) -> None:
        """What is waited for, if that is to be said."""
        self.show_parts(self._parts)

    def on_resize(self) -> None:
        """In a narrow window the number is a word among the others."""
        self.show_parts(self._parts)

    def show(self, head: Head) -> None:
        """Say this."""
        self.show_parts(head.parts())

    def say(self, sentence: str) -> None:
        """One sentence and nothing else, such as what is waited for."""
        self.show(Head(txt(sentence)))

    def show_parts(self, parts: Mapping[str, Content]) -> None:
        """Show the parts of a head by name; what is missing or empty goes."""
        self._parts = parts
        shown = {name: parts.get(name, NOTHING) for name in Head.PARTS}
        if 0 < self.size.width < NARROW and shown["number"].plain:
            caption = " ".join(shown["caption"].plain.split())
            count = txt(f"{shown['number'].plain} {caption}", "bold")
            far = Content("  ").join(filter(None, (count, shown["far"])))
            shown |= {"far": far, "number": NOTHING, "caption": NOTHING}
        elif shown["number"].plain and self._fits_beside(shown):
            shown |= {"far": stack(*filter(None, (shown["far"], shown["mind"]))), "mind": NOTHING}
        for name in ("title", "far", "mind", "caption"):
            self.query_one(f"#{name}", Words).say(shown[name])
        number = shown["number"].plain
        digits = self.query_one(Digits)
        digits.display = bool(number)
        if digits.value != number:
            digits.update(number)

    def _fits_beside(self, shown: Mapping[str, Content]) -> bool:
        """Whether all words stand in the lines that the number is high, and none under it."""
        caption = max(map(len, shown["caption"].plain.split()), default=0)
        beside = DIGIT * len(shown["number"].plain) + max(caption, CAPTION) + AROUND
        words = stack(*filter(None, (shown[name] for name in ("title", "far", "mind"))))
        lines = words.plain.split("\n")
        return len(lines) <= HIGH and max(map(cell_len, lines)) <= self.size.width - beside


def bar(done: float, of: float, width: int = BAR) -> Content:
    """How far, as a line of `width` cells: heavy for what is done, light for what is left."""
    full = min(max(round(width * done / of), 0), width) if of > 0 else 0
    return Content.assemble((DONE * full, "$accent"), (LEFT * (width - full), "$muted"))
