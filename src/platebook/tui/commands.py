"""The one table of what a key does; bindings, key line, palette, help and docs/keys.md use it.

A `Command` stands in `tui/keys/`: those of the pages and of everywhere in `of_pages`, those of what
is opened from a page in `of_windows`.
"""

from textual.binding import Binding

from platebook.tui.keys.command import Command
from platebook.tui.keys.of_pages import OF_PAGES
from platebook.tui.keys.of_windows import OF_WINDOWS
from platebook.tui.places import ASIDE, AT_ONCE, EVERYWHERE, PAGES
from platebook.values import replace

COMMANDS = (*OF_PAGES, *OF_WINDOWS)
SHOWS = "app.show("
"""How an action begins that leads to a page."""


def commands_for(place: str) -> tuple[Command, ...]:
    """The commands of one screen, in the order of the table, without those that work everywhere."""
    return tuple(c for c in COMMANDS if place in c.places)


def command_for(place: str, key: str) -> Command | None:
    """The command that this key stands for on this screen, or None."""
    return next((c for c in commands_for(place) if key in c.keys), None)


def bindings_for(place: str) -> list[Binding]:
    """The key bindings of one screen, or of the app for `everywhere`.

    Where keys work at once, those of everywhere are the screen's own as well, so that none of them
    is overtaken by the next.
    """
    at_once = place in AT_ONCE
    commands = commands_for(place) + (commands_for(EVERYWHERE) if at_once else ())
    return [
        Binding(
            key,
            command.action.format(key=key),
            command.label,
            show=False,
            priority=at_once or command.action == "app.leave",
        )
        for command in commands
        for key in command.keys
    ]


def everywhere_at(place: str) -> tuple[Command, ...]:
    """The commands of everywhere, each with those of its keys that work on this screen.

    On a page all of them do. Elsewhere letters are typed or mean an answer, and the pages are left
    to the F-keys, where what is in front can be set aside for one.
    """
    commands = commands_for(EVERYWHERE)
    if place in PAGES:
        return commands
    leads = {"saved", *ASIDE}
    staying = [c for c in commands if place in leads or not c.action.startswith(SHOWS)]
    staying = [c for c in staying if c.action != f"app.{place}"]
    own = {key for command in commands_for(place) for key in command.keys}
    cut = (
        replace(c, keys=tuple(key for key in c.keys if len(key) > 1 and key not in own))
        for c in staying
    )
    return tuple(command for command in cut if command.keys)


def page_of(key: str) -> str:
    """The page that an F-key leads to from everywhere that can be set aside; empty for none."""
    shows = (c for c in commands_for(EVERYWHERE) if c.action.startswith(SHOWS))
    action = next((c.action for c in shows if len(key) > 1 and key in c.keys), "")
    return action.removeprefix(SHOWS).strip("')")


def foot_commands(place: str) -> tuple[Command, ...]:
    """What the key line of a screen shows, the most needed first, then the ways to others."""
    here = f"{SHOWS}'{place}')"
    ways = [c for c in everywhere_at(place) if c.action != here]
    shown = [c for c in (*commands_for(place), *ways) if c.foot]
    if place in PAGES:
        return tuple(sorted(shown, key=lambda command: command.foot))
    own = commands_for(place)
    return tuple(sorted(shown, key=lambda c: (c not in own, c.action.startswith(SHOWS), c.foot)))


def ways_elsewhere(place: str) -> tuple[Command, ...]:
    """What the key line of a page shows to a teacher who has nothing on it: the ways to others."""
    first = {"app.show('class')": 0, "app.setters": 1, "app.share": 2}
    ways = [c for c in foot_commands(place) if EVERYWHERE in c.places]
    return tuple(sorted(ways, key=lambda c: first.get(c.action, len(first))))
