"""The one table of what a key does; bindings, key line, palette, help and docs/keys.md use it.

`places` names the screens where the command works. `foot` is its rank in the key line (0 = not
shown there). `{key}` in an action stands for the key that was pressed.
"""

from dataclasses import dataclass

from textual.binding import Binding

from platebook.practice.results import RESULT_KEYS
from platebook.tui.places import AT_ONCE, EVERYWHERE, LISTS, LONG_LISTS, PAGED, PAGES

DIGITS = tuple("0123456789")
LETTERS = tuple(key for key in RESULT_KEYS if key not in DIGITS)
"""Keys of the defects beyond those that the digits say."""

KEY_NAMES = {
    "question_mark": "?",
    "slash": "/",
    "plus": "+",
    "equals_sign": "=",
    "full_stop": ".",
    "asterisk": "*",
    "escape": "Esc",
    "enter": "Enter",
    "backspace": "Bksp",
    "up": "↑",
    "down": "↓",
    "left": "←",
    "right": "→",
    "pageup": "Page up",
    "pagedown": "Page down",
    "home": "Home",
    "end": "End",
    "space": "Space",
}


@dataclass(frozen=True, slots=True)
class Command:
    """One thing a person can ask for by key, by mouse on the key line, or in the palette."""

    action: str
    keys: tuple[str, ...]
    label: str
    says: str
    places: tuple[str, ...]
    foot: int = 0

    @property
    def key_text(self) -> str:
        """The keys as a person reads them: "?, F1"."""
        if self.keys[: len(DIGITS)] == DIGITS:
            letters = (key for key in self.keys[len(DIGITS) :] if len(key) == 1)
            return ", ".join(("0 … 9", *letters))
        return ", ".join(key_text(key) for key in self.keys)


def key_text(key: str) -> str:
    """One key as a person reads it."""
    if key in KEY_NAMES:
        return KEY_NAMES[key]
    if key.startswith("ctrl+"):
        return f"Ctrl+{key_text(key.removeprefix('ctrl+')).upper()}"
    return key.upper() if len(key) > 1 else key


COMMANDS = (
    Command("app.show('now')", ("n", "f2"), "Now", "Go to Now.", (EVERYWHERE,), 20),
    Command("app.show('log')", ("l", "f3"), "Log", "Go to the Log.", (EVERYWHERE,), 21),
    Command("app.show('findings')", ("f", "f4"), "Findings", "Go to Findings.", (EVERYWHERE,), 22),
    Command("app.show('progress')", ("p", "f5"), "Progress", "Go to Progress.", (EVERYWHERE,), 23),
    Command("app.show('course')", ("c", "f6"), "Course", "Go to the Course.", (EVERYWHERE,), 24),
    Command("app.show('drawer')", ("t", "f7"), "Drawer", "Go to the Drawer.", (EVERYWHERE,), 25),
    Command("app.show('class')", ("k", "f8"), "Class", "Go to the Class.", (EVERYWHERE,), 25),
    Command("app.setters", ("b",), "who", "Someone else is at the bench.", (EVERYWHERE,), 26),
    Command("app.share", ("S",), "share", "Exchange logbooks with others.", (EVERYWHERE,)),
    Command("app.help", ("f1", "question_mark"), "help", "What the keys do here.", (EVERYWHERE,)),
    Command("app.next_theme", ("f9",), "colours", "Dark, daylight, high contrast.", (EVERYWHERE,)),
    Command("app.no_rest", ("f10",), "rest", "Say when to rest, or no more.", (EVERYWHERE,)),
    Command(
        "app.command_palette",
        ("ctrl+p",),
        "all commands",
        "Search all commands by name.",
        (EVERYWHERE,),
    ),
    Command(
        "app.leave",
        ("ctrl+q",),
        "quit",
        "Leave; an attempt that is not saved waits for you.",
        (EVERYWHERE,),
    ),
    Command(
        "begin",
        ("enter",),
        "start",
        "Start the next attempt, or go on with the one set aside.",
        ("now",),
        foot=1,
    ),
    Command(
        "good",
        ("g",),
        "good one",
        "A good one, then Enter: no more keys where readings are not asked.",
        ("now",),
        foot=2,
    ),
    Command(
        "first_reading('{key}')",
        (*DIGITS, "full_stop", "comma"),
        "first reading",
        "Start the attempt with its first reading, where one is asked by digit: Now says which.",
        ("now",),
    ),
    Command(
        "whole_plate",
        ("w",),
        "whole plate",
        "The whole plate as a grid, one operation down the positions.",
        ("now",),
        foot=4,
    ),
    Command(
        "throw_away",
        ("x",),
        "drop it",
        "Throw the unfinished attempt away; u brings it back.",
        ("now",),
        foot=3,
    ),
    Command(
        "suggested",
        ("o",),
        "as suggested",
        "Set a choice aside: back to what is suggested.",
        ("now",),
        foot=2,
    ),
    Command("evening", ("e",), "evening", "How it went, and what comes next time.", ("now",), 29),
    Command(
        "second_look", ("j",), "second look", "Judge three of the last day again.", ("now",), 28
    ),
    Command("undo", ("u",), "undo", "Take the last verdict back.", ("second look",), 1),
    Command("close", ("escape",), "back", "Take the digit back; back to Now.", ("second look",), 2),
    Command("seeing", ("v",), "seeing", "Judge a reference plate.", ("now", "course"), 29),
    Command("begin", ("enter",), "judge", "Judge the plate; all positions are in.", ("seeing",), 1),
    Command("add", ("a",), "keep one", "Keep a plate with its known verdicts.", ("seeing",), 2),
    Command("rub_out", ("backspace",), "take back", "Take the last verdict back.", ("seeing",), 3),
    Command("close", ("escape",), "back", "Leave the plate; back to Now.", ("seeing",), 4),
    Command("steps", ("s",), "steps", "One setting step by step; again folds it.", ("now",), 27),
    Command(
        "other_cut",
        ("a",),
        "other cut",
        "In the picture of curved metal: cut along it, or across.",
        ("now",),
    ),
    Command("undo", ("u",), "undo", "Take your last change back.", ("now", "log"), foot=30),
    Command("redo", ("r",), "redo", "Put back what was taken back.", ("now", "log"), foot=31),
    Command(
        "answer",
        (*DIGITS, *LETTERS),
        "answer",
        "Choose the value with that number, or type a size.",
        ("attempt",),
    ),
    Command(
        "go_on",
        ("enter",),
        "go on",
        "Go on: keep what stands, or leave it empty; at the end, save.",
        ("attempt",),
        foot=1,
    ),
    Command(
        "back",
        ("escape",),
        "back",
        "One step back; nothing is lost. From the first step back to Now.",
        ("attempt",),
        foot=2,
    ),
    Command(
        "rub_out",
        ("backspace",),
        "rub out",
        "Take out the last sign typed, or the value that stands.",
        ("attempt",),
        foot=5,
    ),
    Command(
        "another",
        ("plus",),
        "defect",
        "Add another defect to the result.",
        ("attempt",),
        foot=4,
    ),
    Command(
        "set_up",
        ("slash",),
        "set-up",
        "Look at the set-up carried over, and change it.",
        ("attempt",),
        foot=3,
    ),
    Command(
        "by_sheet",
        ("equals_sign",),
        "by the sheet",
        "Take the tools that the set-up sheet says, where the set-up has others.",
        ("attempt",),
    ),
    Command(
        "skip",
        ("enter", "space"),
        "go on",
        "Take in the size typed, or leave it as it is, and go on.",
        ("plate",),
        1,
    ),
    Command("measure", ("m",), "sizes", "A column of sizes, measured one by one.", ("plate",), 4),
    Command(
        "save", ("asterisk", "ctrl+s"), "save", "Save every judged position at once.", ("plate",), 2
    ),
    Command("rub_out", ("backspace",), "rub out", "Empty this one, or the last.", ("plate",), 3),
    Command("day(-1)", ("d",), "day", "From paper: it was a day earlier.", ("plate",), 6),
    Command("day(1)", ("D",), "day on", "From paper: it was a day later.", ("plate",)),
    Command("back", ("escape",), "later", "Back to Now; it waits for you there.", ("plate",), 5),
    Command("step(-1, 0)", ("up",), "up", "The position above.", ("plate",)),
    Command("step(1, 0)", ("down",), "down", "The position below.", ("plate",)),
    Command("step(0, -1)", ("left",), "left", "The reading before.", ("plate",)),
    Command("step(0, 1)", ("right",), "right", "The next reading.", ("plate",)),
    Command("go_on", ("enter",), "next stone", "Start what comes next.", ("saved",), 1),
    Command(
        "first_reading('{key}')",
        DIGITS,
        "first reading",
        "Start what comes next with its first reading, where one is asked by digit.",
        ("saved",),
    ),
    Command("undo", ("u",), "undo", "Take the attempt just saved back.", ("saved",), 2),
    Command("back", ("escape",), "Now", "Back to Now.", ("saved",), 3),
    Command("filter", ("slash",), "filter", "Type words; only rows with all stay.", ("log",), 1),
    Command("amend", ("enter", "a"), "amend", "Correct the attempt marked.", ("log",), 2),
    Command("hide", ("d",), "hide", "Hide this or all ticked; u brings back.", ("log",), 3),
    Command("history", ("h",), "history", "Every change of the attempt marked.", ("log",), 4),
    Command(
        "looks", ("v",), "looks", "What others saw of it, or what they said of all.", ("log",), 4
    ),
    Command("clear", ("escape",), "show all", "No filter any more.", ("log",)),
    Command("tick", ("space",), "tick", "Tick this attempt; hide and write take all.", ("log",), 5),
    Command("order", ("o",), "order", "By time, by stone size, by grade.", ("log",), 6),
    Command("write", ("w",), "write", "Write what is shown, or ticked, to a file.", ("log",), 8),
    Command("sheet", ("i",), "bring in", "Bring in a CSV or XLSX sheet.", ("log",), 9),
    Command("own", ("m",), "my columns", "Your own columns, or those of the record.", ("log",)),
    Command("leave_it", ("escape",), "leave it", "Leave all as it is.", ("sheet",), 2),
    Command("close", ("escape",), "back", "Stop it where it goes on, and go back.", ("share",), 1),
    Command("scroll(-1)", ("pageup",), "page up", "What is above.", ("sheet", "share")),
    Command("scroll(1)", ("pagedown",), "page down", "What is below.", ("sheet", "share")),
    Command("everyone", ("e",), "everyone", "All setters, or only this one.", ("log",), 7),
    Command(
        "everything",
        ("a",),
        "all",
        "All attempts, or the latest 400 of the last twelve months.",
        ("findings", "shared"),
        1,
    ),
    Command(
        "view",
        ("v",),
        "view",
        "The curve, then months, terms, evenings, year beside year.",
        ("progress",),
        1,
    ),
    Command("axis", ("d",), "dates", "The curve by date; again by setting.", ("progress",), 2),
    Command("add", ("a",), "put in", "Put a tool in: kind and size.", ("drawer",), 1),
    Command("change", ("enter",), "change", "Change the tool marked.", ("drawer",), 2),
    Command("take_out", ("d",), "take out", "Take it out; u puts it back.", ("drawer",), 3),
    Command("undo", ("u",), "undo", "Take your last change back.", ("drawer",), 4),
    Command("clear", ("escape",), "put away", "Leave the tool as it is.", ("drawer",)),
    Command("queue", ("q",), "queue", "What to look at and why, or the class.", ("class",), 1),
    Command("plate", ("i",), "plate", "Judge their newest plate, all of it.", ("class",), 1),
    Command("order", ("o",), "order", "The queue by weight, or by student.", ("class",), 5),
    Command("comment", ("plus",), "comment", "A digit picks a comment.", ("plate looks",), 1),
    Command("write", ("w",), "words", "Write a comment in words.", ("plate looks",), 2),
    Command("next_setter", ("enter",), "next one", "The next student.", ("plate looks",), 1),
    Command("undo", ("u",), "undo", "Take the last verdict or comment back.", ("plate looks",), 3),
    Command("close", ("escape",), "back", "Leave a comment; else back.", ("plate looks",), 4),
    Command("other_plate(1)", ("pageup",), "before", "The plate before.", ("plate looks",), 5),
    Command("other_plate(-1)", ("pagedown",), "after", "The plate after.", ("plate looks",)),
    Command("step(0, -1)", ("left",), "left", "The position before.", ("plate looks",)),
    Command("step(0, 1)", ("right",), "right", "The next position.", ("plate looks",)),
    Command("step(-1, 0)", ("up",), "up", "The row above.", ("plate looks",)),
    Command("step(1, 0)", ("down",), "down", "The row below.", ("plate looks",)),
    Command("sign_off", ("s",), "sign off", "Sign off the grade that waits for it.", ("class",), 4),
    Command("record", ("enter",), "record", "Record the look without a comment.", ("class",)),
    Command("write", ("w",), "write", "A comment to the look; a message to them.", ("class",), 3),
    Command("write_all", ("W",), "to all", "A message to everyone in the class.", ("class",)),
    Command("shared", ("a",), "all share", "What goes with failure in the class.", ("class",), 4),
    Command("undo", ("u",), "undo", "Take your last look back.", ("class",), 2),
    Command("clear", ("escape",), "back", "Stop the reading; take the digit back.", ("class",), 3),
    Command("classes", ("g",), "classes", "Another class, or everyone.", ("class", "setters"), 2),
    Command("new_class", ("m",), "new class", "Make a class from a list of names.", ("class",), 6),
    Command("compare", ("d",), "terms", "This term beside the ones before.", ("class",), 7),
    Command("register", ("r",), "who came", "Who came, and who is missing.", ("class",), 7),
    Command("stop", ("escape",), "back", "Stop the reading; back to the class.", ("shared",), 1),
    Command("close", ("escape",), "back", "Back to the class.", ("register",), 1),
    Command("choose", ("enter",), "choose", "This person is at the bench.", ("setters",), 1),
    Command("add", ("a",), "add", "Add a person.", ("setters",), 2),
    Command("seats", ("s",), "seats", "Whether somebody prepares seats for them.", ("setters",), 4),
    Command("close", ("escape",), "back", "Leave it as it is.", ("setters",), 3),
    Command("find", ("slash",), "find", "Type a part of a name.", ("setters",), 3),
    Command("teach", ("h",), "teacher", "Add somebody who teaches.", ("setters",), 6),
    Command("unite", ("u",), "unite", "Make one of two who may be one.", ("setters",), 7),
    Command("let_in", ("i",), "let in", "Let in the one marked, who waits.", ("setters",), 8),
    Command("obey_erasing", ("o",), "erase", "Erase them as others ask.", ("setters",), 9),
    Command("keep_erasing", ("k",), "keep", "Keep whom others ask to erase.", ("setters",), 10),
    Command("erase", ("x",), "erase", "Erase the one marked for good; asks.", ("setters",), 11),
    Command("choose", ("enter",), "choose", "Show this class.", ("pick class",), 1),
    Command("close", ("escape",), "back", "Leave it as it is.", ("pick class",), 2),
    Command("go_on", ("enter",), "go on", "The next line; at the end, make it.", ("new class",), 1),
    Command("close", ("escape",), "back", "Make no class.", ("new class",), 2),
    Command("move(-1)", ("up",), "up", "The one above.", LISTS),
    Command("move(1)", ("down",), "down", "The one below.", LISTS),
    Command("page(-1)", ("pageup",), "page up", "One page up.", PAGED),
    Command("page(1)", ("pagedown",), "page down", "One page down.", PAGED),
    Command("edge(0)", ("home",), "first", "To the first.", LONG_LISTS),
    Command("edge(1)", ("end",), "last", "To the last.", LONG_LISTS),
    Command("edge(0)", ("home",), "newest", "To the newest.", ("log",)),
    Command("edge(1)", ("end",), "older", "To the oldest read so far; reads on.", ("log",)),
    Command("practise", ("enter",), "practise", "Practise the one marked now.", ("course",), 1),
    Command("take_course", ("y",), "take in", "Take in the text that waits.", ("course",), 5),
    Command("refuse_course", ("x",), "refuse", "Refuse the text that waits.", ("course",), 6),
    Command(
        "settle", ("s",), "settle it", "A block of eight settles the lead marked.", ("findings",), 1
    ),
    Command(
        "method",
        ("m",),
        "method",
        "How it was judged and how sure it is, or no more.",
        ("findings",),
        2,
    ),
    Command("again", ("enter",), "try again", "Try again.", ("trouble",)),
    Command("close", ("escape",), "back", "Go back as it is.", ("trouble",)),
    Command("close", ("escape", "f1", "enter"), "close", "Close it.", ("help", "history")),
    Command("skip", ("escape",), "skip", "Skip this and start at once.", ("first run",), 2),
    Command("go_on", ("enter",), "go on", "Go on to the next question.", ("first run",), 1),
    Command("back", ("left",), "back", "The question before.", ("first run",), 3),
    Command("sheet", ("ctrl+o",), "a sheet", "Begin with a sheet of mine.", ("first run",), 4),
    Command("teach", ("ctrl+t",), "I teach", "I teach; again: and set too.", ("first run",), 5),
    Command("report", ("ctrl+r",), "report", "Write the report, a page to print.", PAGES),
    Command("card", ("ctrl+b",), "card", "Write the card for the next exercise.", PAGES),
)


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


def foot_commands(place: str) -> tuple[Command, ...]:
    """What the key line of a screen shows, the most needed first; pages show the way to others."""
    here = f"app.show('{place}')"
    ways = [c for c in commands_for(EVERYWHERE) if c.action != here] if place in PAGES else []
    shown = [c for c in (*commands_for(place), *ways) if c.foot]
    return tuple(sorted(shown, key=lambda command: command.foot))
