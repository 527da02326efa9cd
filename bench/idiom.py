"""What the library's own footer and list would cost: `python -m bench.idiom [TIMES]`.

A screen of 80 by 24, headless. The footer with the bindings of Now against our key line: from the
screen's push until all is laid out. The list with all words of the glossary against ours: from a
letter typed, which narrows it, until it is laid out. The median of each, and their ratio.
"""

import asyncio
import statistics
import sys
import time
from collections.abc import Awaitable, Callable
from typing import ClassVar

from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Footer, OptionList

from platebook.practice.glossary import Term, glossary, terms_like
from platebook.tui.commands import foot_commands
from platebook.tui.parts.widgets import KeyLine, PickList

TYPED = ("c", "cu", "cul", "cu", "c", "")


class OneWidget(Screen[None]):
    """A screen with the keys of Now, as many as fit, and one widget."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(command.keys[0], command.action, command.label)
        for command in foot_commands("now")[:7]
    ]

    def __init__(self, make: Callable[[], Widget]) -> None:
        super().__init__()
        self.make = make

    def compose(self) -> ComposeResult:
        """The widget alone."""
        yield self.make()


def our_line() -> Widget:
    """The key line of Now."""
    line = KeyLine()
    line.commands = foot_commands("now")
    return line


def fill_ours(widget: Widget, terms: tuple[Term, ...]) -> None:
    """The rows of our list."""
    assert isinstance(widget, PickList)
    widget.rows = [(term.word, "") for term in terms]
    widget.mark(0)


def fill_library(widget: Widget, terms: tuple[Term, ...]) -> None:
    """The options of the library's list."""
    assert isinstance(widget, OptionList)
    widget.clear_options()
    widget.add_options([term.word for term in terms])
    widget.highlighted = 0 if terms else None


async def shown_s(pilot: Pilot[None], make: Callable[[], Widget], times: int) -> float:
    """Seconds until a screen with this widget is laid out, the median."""
    taken = []
    for _ in range(times):
        began = time.perf_counter()
        await pilot.app.push_screen(OneWidget(make))
        await pilot.pause()
        taken.append(time.perf_counter() - began)
        await pilot.app.pop_screen()
        await pilot.pause()
    return statistics.median(taken)


async def narrowed_s(
    pilot: Pilot[None],
    make: Callable[[], Widget],
    fill: Callable[[Widget, tuple[Term, ...]], None],
    times: int,
) -> float:
    """Seconds from a letter to the narrowed list, the median."""
    await pilot.app.push_screen(OneWidget(make))
    widget = next(iter(pilot.app.screen.children))
    fill(widget, glossary())
    await pilot.pause()
    taken = []
    for _ in range(times):
        for typed in TYPED:
            terms = terms_like(typed)
            began = time.perf_counter()
            fill(widget, terms)
            await pilot.pause()
            taken.append(time.perf_counter() - began)
    await pilot.app.pop_screen()
    return statistics.median(taken)


async def compare(times: int) -> None:
    """Both pairs, alternating, so that a busy machine is shared."""
    app: App[None] = App()
    async with app.run_test(size=(80, 24)) as pilot:
        pairs: dict[str, tuple[Callable[[], Awaitable[float]], Callable[[], Awaitable[float]]]] = {
            "footer / key line": (
                lambda: shown_s(pilot, Footer, times),
                lambda: shown_s(pilot, our_line, times),
            ),
            "option list / our list": (
                lambda: narrowed_s(pilot, OptionList, fill_library, times),
                lambda: narrowed_s(pilot, PickList, fill_ours, times),
            ),
        }
        for name, (library, ours) in pairs.items():
            rounds = [(await library(), await ours()) for _ in range(3)]
            theirs_s, ours_s = (statistics.median(side) for side in zip(*rounds, strict=True))
            sys.stdout.write(
                f"{name}: {theirs_s * 1000:.1f} ms / {ours_s * 1000:.1f} ms ="
                f" {theirs_s / ours_s:.2f}\n"
            )


if __name__ == "__main__":
    asyncio.run(compare(int(sys.argv[1]) if len(sys.argv) > 1 else 20))
