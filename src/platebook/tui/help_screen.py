"""Help: what this screen is for, and what every key does here."""

from collections.abc import Iterable, Mapping
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from platebook.practice.fields import fields
from platebook.practice.reading.questions import Question
from platebook.tui.base_screen import ReadWindow
from platebook.tui.commands import bindings_for, commands_for, everywhere_at
from platebook.tui.keys.command import DIGITS, Command
from platebook.tui.parts.term_picture import DrawnWord, gallery
from platebook.tui.parts.text import fit, line, stack, txt
from platebook.tui.places import PLACES

ABOUT: Mapping[str, str] = {
    "now": (
        "What to do next and why, with the sizes for this stone, the seat drawn to scale "
        "and the plate. Enter logs the attempt; whether readings are asked is said before "
        "it begins."
    ),
    "attempt": (
        "One attempt, one question at a time: the set-up is carried over and marked, "
        "readings never are. Digits answer; what is typed is kept even if the program dies."
    ),
    "saved": ("The attempt is in the logbook. Enter goes on to the next stone."),
    "plate": (
        "The whole plate: one operation down the positions, one key a reading, the look at "
        "the end. ! marks a reading outside what is wanted. * saves what is judged."
    ),
    "log": (
        "All attempts. Type / and words to narrow it, or field=value for one field; tick "
        "with Space to hide or write out several."
    ),
    "findings": (
        "What went with failure in this log, with counts. It says what goes with failure, "
        "never why; what could not be judged is told with the reason."
    ),
    "progress": (
        "The grades as a stair, how good the work is lately with its band, and how many "
        "good ones are to go."
    ),
    "course": ("The grades and exercises of the course, and what each is about."),
    "drawer": (
        "The tools you own. Sizes come from them first. A tool is typed as its kind, its "
        "size and for a bur its shape."
    ),
    "class": (
        "A line a setter. q shows what to look at first and why; a digit judges the "
        "position marked, and the setter's own verdict is told only afterwards."
    ),
    "register": (
        "A sign an evening for each person, the newest at the right: o came, . missed. An evening "
        "is a day on which somebody of the class logged something."
    ),
    "plate looks": (
        "A whole plate, blind: a digit judges the position marked, a defect asks how bad it is, "
        "and the next one is marked. Each verdict is in the logbook at once; * marks what was "
        "drawn at random and counts for the agreement of eyes."
    ),
    "shared": (
        "What goes with failure in most of the class, with how many it holds for, and under it "
        "what is one setter's own. A class read for the first time takes a while; Esc stops it."
    ),
    "second look": (
        "Three positions of your last day, drawn at random and judged again without the first "
        "verdict: your own eye compared with itself."
    ),
    "share": (
        "Your bundle goes into a folder or to an address that others can open too, and theirs come "
        "in. Each logbook writes one file, its own; files that did not change are not read again. "
        "Esc stops it between two files, and sharing again goes on from there."
    ),
    "seeing": (
        "A plate whose verdicts are known, judged blind: how well your eye agrees. A digit judges "
        "the position asked, a defect asks how bad it is; all is told at the end."
    ),
    "sheet": (
        "A list of attempts from elsewhere comes in. What is not clear is asked once; nothing is "
        "stored before you agree."
    ),
    "glossary": ("What a word means. Type letters to find one; the arrows mark another."),
    "settings": ("How the screens of this machine are. Enter takes the next of the one marked."),
    "setters": ("Who is at the bench. Everything that is logged from now on is theirs."),
}


def about_field(question: Question) -> Content:
    """The field in focus: what is read and how, in which unit, by which digits, what is wanted."""
    field = fields().get(question.field)
    says = (field.help if field is not None else "") or question.meaning
    parts = [txt(f"Here: {question.label}", "bold $accent"), *([txt(says)] if says else [])]
    if question.keys:
        wanted = dict.fromkeys(question.wanted, "  wanted")
        for key, value in question.keys:
            remark = wanted.get(value, "")
            parts.append(
                Content.assemble((f" {key}  ", "bold $accent"), line(value), (remark, "$muted"))
            )
    elif question.unit:
        parts.append(txt(f"Typed in {question.unit}, with a point or a comma."))
    if not question.keys and question.target:
        parts.append(txt(f"Wanted here: {question.target}."))
    elif not (question.target or question.wanted):
        parts.append(txt("No answer is better than another: it is noted, not judged.", "$muted"))
    return stack(*parts, txt(""))


KEY_WIDTH = 14
FEW, ROWS_OF_FEW, ROWS_OF_MANY = 6, 16, 24
"""Lines that the drawings of so many answers may take, and of more."""

WIDE, EDGES = 76, 8
"""The window's width, and how much of it text cannot use."""
LAST = 99


class HelpScreen(ReadWindow):
    """A window with the field in focus, the keys of one screen, and those that work everywhere."""

    BINDINGS: ClassVar[list[BindingType]] = [*bindings_for("help")]

    def __init__(self, place: str, focus: Question | None = None) -> None:
        super().__init__()
        self.place = place
        self.focus_on = focus

    def compose(self) -> ComposeResult:
        """The keys here, then everywhere."""
        with VerticalScroll() as window:
            window.border_title = txt(f"Help: {PLACES.get(self.place, self.place)}")
            field = [about_field(self.focus_on)] if self.focus_on is not None else []
            drawn = self._drawn(self.focus_on) if self.focus_on is not None else []
            about = [_about(ABOUT[self.place])] if self.place in ABOUT else []
            # Now is about more than the one field that a digit answers there.
            parts = [*about, *field] if self.place == "now" else [*field, *drawn, *about]
            width = min(self.app.size.width, WIDE) - EDGES
            keys = _table(sorted(commands_for(self.place), key=_rank), width)
            behind = [txt(""), *drawn] if drawn and self.place == "now" else []
            yield from (Static(part) for part in (*parts, keys, *behind))
            yield Static(stack(txt(""), txt("Everywhere", "bold $accent")))
            yield Static(_table(everywhere_at(self.place), width))
            yield Static(stack(txt(""), txt("Esc closes this.", "$muted")))

    def _drawn(self, question: Question) -> list[Content]:
        """The answers drawn side by side, where several have a drawing and there is room."""
        words = DrawnWord.those_drawn(question.field, question.keys)
        lines = ROWS_OF_FEW if len(words) <= FEW else ROWS_OF_MANY
        drawn = gallery(words, min(self.app.size.width, WIDE) - EDGES, lines)
        return [drawn] if len(words) > 1 and drawn.plain else []


def _rank(command: Command) -> int:
    """Digits first, then the most needed, as on the key line; what stands not there comes last."""
    return 0 if set(DIGITS) <= set(command.keys) else command.foot or LAST


def _about(text: str) -> Content:
    """What the page is for: its first sentence stands out, the others are quieter."""
    first, stop, others = text.partition(". ")
    head = txt(f"{first}." if stop else first, "bold $accent")
    return stack(head, *([txt(others)] if others else []), txt(""))


def _table(commands: Iterable[Command], width: int) -> Content:
    return stack(*(row for command in commands for row in _rows(command, width)))


def _rows(command: Command, width: int) -> list[Content]:
    """Key and what it does, which goes on under its own beginning."""
    first, *others = txt(command.says).wrap(max(width - KEY_WIDTH, 1))
    head = Content.assemble((fit(command.key_text, KEY_WIDTH), "bold $accent"), first)
    return [head, *(Content.assemble(" " * KEY_WIDTH, other) for other in others)]
