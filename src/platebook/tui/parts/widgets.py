"""The parts that screens are made of; each is bound to frozen values and posts messages.

| part | what it is |
|---|---|
| `Words` | plain words |
| `TitleLine`, `KeyLine` | the first and the last line of every screen |
| `OrderedInput` | a line to type in |
| `PickList` | rows with one marked; `typed_to_find` is what its rows are found by |

Textual hands printable keys to the focused input's own queue, while keys that are bindings (Enter,
Backspace, arrows) go round by the app and run later. A caliper that types like a keyboard, or a
person during a stall, then finds Enter after the next reading. `OrderedInput` runs its own bindings
in place. A series of readings needs no input at all: Attempt and Plate take their keys themselves.
"""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from rich.cells import cell_len
from textual import events
from textual.content import Content
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget
from textual.widgets import Input, Static

from platebook.tui.keys.command import Command, is_f_key, key_text
from platebook.tui.parts.text import MARK, fit, held_together, line, stack, txt


class Words(Static):
    """Shows a content; never takes a plain string, which would be read as markup.

    Its lines break between words, but not within a number and what it counts.
    """

    def __init__(self, content: Content | None = None, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name
        super().__init__(content or Content(""), id=id)
        self._shown = content or Content("")

    def show(self, content: Content) -> None:
        """Show this content."""
        # Contents with the same letters count as equal, whatever their styles.
        if (content.plain, content.spans) != (self._shown.plain, self._shown.spans):
            self._shown = content
            self.update(content, layout=self.styles.auto_dimensions)

    def render(self) -> Content:
        """The content in lines of the width there is."""
        return self._in_lines(self.content_size.width)

    def get_content_width(self, container: Size, viewport: Size) -> int:
        """As wide as its longest line, where it is broken for the most it may have."""
        del container, viewport
        most = self.styles.max_width
        room = most.cells - self.gutter.width if most is not None and most.cells else 0
        shown = held_together(self._shown, room)
        return max(cell_len(each) for each in shown.plain.split("\n"))

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """So many lines does it take in this width."""
        if not width or self.styles.text_wrap == "nowrap":
            return super().get_content_height(container, viewport, width)
        return len(self._in_lines(width).wrap(width))

    def _in_lines(self, width: int) -> Content:
        nowrap = self.styles.text_wrap == "nowrap"
        return self._shown if nowrap else held_together(self._shown, width)

    def say(self, content: Content) -> None:
        """Show this content, or take no room where it is empty."""
        self.show(content)
        self.display = bool(content.plain)


INVENTED = " INVENTED CLASS "


class TitleLine(Widget):
    """Program and place on the left, the setter on the right, and the mark of invented data."""

    DEFAULT_CSS = """
    TitleLine { height: 1; background: $panel; color: $foreground; }
    """

    who: reactive[str] = reactive("")
    invented: reactive[bool] = reactive(default=False)
    place: reactive[str] = reactive("")

    def __init__(self, place: str) -> None:
        super().__init__()
        self.place = place

    def render(self) -> Content:
        """The line, in exactly the width of the screen."""
        mark = INVENTED if self.invented else ""
        left = f" platebook  {self.place} "
        room = self.size.width - cell_len(left) - cell_len(mark) - 1
        who = self.who
        words = who.split()
        if words and cell_len(line(who)) > room:
            who = " ".join([words[0], *(f"{name[0]}." for name in words[1:])])
        who = fit(who, min(cell_len(line(who)), max(room, 0)))
        gap = " " * max(room - cell_len(who), 0)
        return Content.assemble(
            (" platebook  ", "$muted"),
            (f"{self.place} ", "bold $accent"),
            gap,
            who,
            " ",
            (mark, "reverse bold"),
        )


LEAVE = ("Ctrl+Q", "quit", "app.leave")


class KeyLine(Widget):
    """As many commands as fit, the most needed first; help and the way out always.

    While something is typed, letters are its text: the line then offers Esc and the F-keys alone.
    """

    DEFAULT_CSS = """
    KeyLine { dock: bottom; height: 1; background: $panel; color: $foreground; }
    """

    commands: reactive[tuple[Command, ...]] = reactive(())
    typing: reactive[bool] = reactive(default=False)

    class Chosen(Message):
        """A command was clicked."""

        def __init__(self, action: str) -> None:
            super().__init__()
            self.action = action

    def __init__(self, help_key: str = "?") -> None:
        super().__init__()
        self.help_key = help_key

    def on_click(self, event: events.Click) -> None:
        """Do what stands under the pointer."""
        action = self._at(event.x)
        if action:
            self.post_message(self.Chosen(action))

    def on_mouse_move(self, event: events.MouseMove) -> None:
        """The command under the pointer says what it does."""
        action = self._at(event.x)
        says = next((c.says for c in self.commands if c.action == action), "")
        self.tooltip = txt(says) if says else None

    def render(self) -> Content:
        """The line."""
        parts = [
            Content.assemble((f" {key}", "bold $accent"), f" {label} ")
            for key, label, _ in self._shown()
        ]
        return Content("").join(parts)

    def _at(self, x: int) -> str:
        """The action under this column; empty behind the last."""
        end = 0
        for key, label, action in self._shown():
            end += cell_len(key) + cell_len(label) + 3
            if x < end:
                return action
        return ""

    def _shown(self) -> list[tuple[str, str, str]]:
        last = (("F1" if self.typing else self.help_key, "help", "app.help"), LEAVE)
        room = self.size.width - sum(len(k) + len(label) + 3 for k, label, _ in last)
        shown = []
        # The way out of what is typed stands first, however seldom it is wanted otherwise.
        offered = sorted(self.commands, key=lambda c: self.typing and "escape" not in c.keys)
        for command in offered:
            keys = [k for k in command.keys if not self.typing or k == "escape" or is_f_key(k)]
            if not keys:
                continue
            key = key_text(keys[0])
            room -= cell_len(key) + cell_len(command.label) + 3
            if room < 0:
                break
            shown.append((key, command.label, command.action))
        return [*shown, *last]


class OrderedInput(Input):
    """An input whose editing keys keep their order with printable ones. Use it for every input."""

    async def _on_key(self, event: events.Key) -> None:
        # Textual goes on to Input's own handler unless the default is prevented.
        if event.is_printable:
            return
        for binding in self._bindings.key_to_bindings.get(event.key, ()):
            if not binding.priority:
                event.stop()
                event.prevent_default()
                await self.run_action(binding.action)
                return


class AskedLine(OrderedInput):
    """A line that is there only while words are asked for; it has the class `asked` then."""

    DEFAULT_CSS = """
    AskedLine { display: none; height: 1; border: none; padding: 0 1; background: $surface; }
    AskedLine.-textual-compact { padding: 0 1; }
    AskedLine.asked { display: block; }
    """

    def __init__(self, placeholder: str = "", *, id: str) -> None:  # noqa: A002 - as Textual has it
        super().__init__(placeholder=placeholder, compact=True, select_on_focus=False, id=id)

    @property
    def is_asked(self) -> bool:
        """Whether words are asked for now."""
        return self.has_class("asked")

    def ask(self, value: str = "", placeholder: str | None = None) -> None:
        """Show the line with this in it, to be typed on."""
        if placeholder is not None:
            self.placeholder = placeholder
        self.value, self.cursor_position = value, len(value)
        self.add_class("asked")
        self.focus()

    def put_away(self) -> None:
        """Take the line away with what is in it; keys go to the screen again."""
        self.value = ""
        if self.is_asked:
            self.remove_class("asked")
            self.screen.set_focus(None)


def typed_to_find(typed: str, event: events.Key) -> str | None:
    """What rows are found by after a letter or Backspace, which is used up; None after others."""
    if event.key == "backspace":
        typed = typed[:-1]
    elif event.is_printable and event.character:
        typed += event.character
    else:
        return None
    event.stop()
    event.prevent_default()
    return typed


FEWEST_TO_TELL = 5
"""Lines below which a list has none to spare for what is out of sight."""


class PickList(Widget):
    """Rows of two columns; a click marks one. Wrapped rows show all of their left column.

    `headings` are quiet lines by the place of the row that each stands above. With `tells_more` the
    first and the last line say how many rows are out of sight there.
    """

    DEFAULT_CSS = "PickList { height: 1fr; }"

    rows: reactive[Sequence[tuple[str, str]]] = reactive(())
    marked: reactive[int] = reactive(0)
    wrapped: reactive[bool] = reactive(default=False)
    headings: reactive[Mapping[int, str]] = reactive(MappingProxyType({}))

    def __init__(self, *, tells_more: bool = False) -> None:
        super().__init__()
        self.tells_more = tells_more

    class Marked(Message):
        """Another row is marked."""

    def move(self, by: int) -> None:
        """Mark the row this many further down."""
        self.mark(self.marked + by)

    def page(self, by: int) -> None:
        """Mark the row about a window further down."""
        self.move(by * max(self.size.height - 1, 1))

    def edge(self, last: int) -> None:
        """Mark the first row (0) or the last one (1)."""
        self.mark(len(self.rows) - 1 if last else 0)

    def mark(self, place: int) -> None:
        """Mark this row, or the nearest one there is."""
        self.marked = min(max(place, 0), max(len(self.rows) - 1, 0))
        self.post_message(self.Marked())

    def on_click(self, event: events.Click) -> None:
        """Mark the row under the pointer."""
        offset = event.get_content_offset(self)
        shown = self._shown()
        if offset is not None and offset.y < len(shown):
            self.mark(shown[offset.y][0])

    def head(self) -> list[Content]:
        """Lines that stand above the rows, whichever are shown."""
        return []

    def render(self) -> Content:
        """The rows around the mark."""
        return stack(*(content for _, content in self._shown())) if self.rows else txt("")

    def _shown(self) -> list[tuple[int, Content]]:
        """The lines in the window, each with the row it is of; the marked row is among them."""
        lines = [
            (place, content) for place in range(len(self.rows)) for content in self._row(place)
        ]
        head = self.head()
        room = max(self.size.height - len(head), 1)
        mine = [n for n, (place, _) in enumerate(lines) if place == self.marked] or [0]
        middle = (mine[0] + mine[-1]) // 2
        first = max(min(middle - room // 2, mine[0], len(lines) - room), 0)
        shown = lines[first:][:room]
        if self.tells_more and len(lines) > room >= FEWEST_TO_TELL:
            shown = self._with_more(shown)
        return [*((self.marked, above) for above in head), *shown]

    def _with_more(self, shown: list[tuple[int, Content]]) -> list[tuple[int, Content]]:
        """The lines, those at the edges in place of which it says how many rows are beyond."""
        (top, _), *inner, (bottom, _) = shown
        before = inner[0][0]
        after = len(self.rows) - 1 - inner[-1][0]
        if top > 0:
            shown[0] = top, txt(f"  … {before} before", "$muted")
        if bottom < len(self.rows) - 1:
            shown[-1] = bottom, txt(f"  … {after} after", "$muted")
        return shown

    def _row(self, place: int) -> list[Content]:
        left, right = self.rows[place]
        above = [txt(self.headings[place], "$muted")] if place in self.headings else []
        here = place == self.marked
        right = line(right)
        room = max(self.size.width - len(right) - 4, 4)
        style = "bold" if here else ""
        texts = (
            [part.plain.strip() for part in txt(left).wrap(room - 2)] if self.wrapped else [left]
        )
        first, *others = (fit(text, room) for text in texts)
        head = Content.assemble(
            (f"{MARK} " if here else "  ", "bold $accent"), (first, style), (f" {right}", "$muted")
        )
        under = (Content.assemble("    ", (text, style)) for text in others)
        return [*above, head, *under]
