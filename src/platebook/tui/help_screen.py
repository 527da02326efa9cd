"""Help: what this screen is for, and what every key does here."""

from collections.abc import Iterable, Mapping
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.widgets import Static

from platebook.practice.defects import GOOD, verdicts
from platebook.practice.fields import fields
from platebook.practice.reading.questions import Question
from platebook.practice.results import NOT_JUDGED
from platebook.reports.text.figures import OUTCOMES
from platebook.tui.base_screen import ReadWindow
from platebook.tui.commands import bindings_for, commands_for, everywhere_at
from platebook.tui.keys.command import DIGITS, Command
from platebook.tui.parts.columns import GAP, columns_in, poured
from platebook.tui.parts.term_picture import DrawnWord, gallery
from platebook.tui.parts.text import fit, keycap, line, stack, txt
from platebook.tui.places import PLACES

ABOUT: Mapping[str, str] = {
    "now": (
        "What to do next and why, with the sizes for this stone, the seat drawn to scale "
        "and the plate. Enter starts the attempt; whether readings are asked is said before "
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
        "The grades in the course's order, how good the work is lately and where that may be, "
        'and how many good ones are to go. "May be" holds in about 95 of 100 cases.'
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
        width = max(len(pressed) for pressed, _ in question.answers)
        for (_, value), (pressed, says) in zip(question.keys, question.answers, strict=True):
            remark = wanted.get(value, "")
            parts.append(
                Content.assemble(" ", keycap(pressed, width), f"  {line(says)}", (remark, "$muted"))
            )
    elif question.unit:
        parts.append(txt(f"Typed in {question.unit}, with a point or a comma."))
    if not question.keys and question.target:
        parts.append(txt(f"Wanted here: {question.target}."))
    elif not (question.target or question.wanted):
        parts.append(txt("No answer is better than another: it is noted, not judged.", "$muted"))
    return stack(*parts, txt(""))


WITH_A_PLATE = ("now", "log")
"""Where a plate is drawn with how each of its settings came out."""


def holes_in_words() -> str:
    """What the signs and letters in a plate's holes mean, all of them."""
    letters = ", ".join(f"{v.sign} {v.name}" for v in verdicts().values() if v.name != GOOD)
    good, slight = OUTCOMES["good"], OUTCOMES["slight"]
    shapes = f"{good.drawn} {good.words}, {slight.drawn} {slight.words}"
    return f"On the plate: {shapes}. Letters of what failed: {letters}, ? {NOT_JUDGED}."


KEY_WIDTH = 14
FEW, ROWS_OF_FEW, ROWS_OF_MANY = 6, 16, 24
"""Lines that the drawings of so many answers may take, and of more."""

EDGES, BORDER = 8, 2
"""How much of the window's width and height text cannot use."""
LAST = 99


class HelpScreen(ReadWindow):
    """A window with the field in focus, the keys of one screen, and those that work everywhere.

    Where all of it is higher than the screen it stands in as many columns as it takes to be seen
    whole, or as there is width for; what is too long even then is scrolled.
    """

    DEFAULT_CSS = f"""
    HelpScreen > VerticalScroll {{ width: auto; }}
    HelpScreen #columns {{ width: auto; height: auto; padding: 0 1 0 0; }}
    HelpScreen #columns > Static {{ margin: 0 0 0 {GAP}; padding: 0; }}
    HelpScreen #columns > Static:first-child {{ margin: 0; }}
    """
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_for("help")]

    def __init__(self, place: str, focus: Question | None = None) -> None:
        super().__init__()
        self.place = place
        self.focus_on = focus
        self.poured_for: tuple[int, int] = (0, 0)

    def compose(self) -> ComposeResult:
        """One window, with its columns side by side."""
        with VerticalScroll() as window:
            window.border_title = txt(f"Help: {PLACES.get(self.place, self.place)}")
            with Horizontal(id="columns"):
                yield from self._poured()

    async def on_resize(self) -> None:
        """Pour it anew where there is another room for it."""
        if self.app.size == self.poured_for:
            return
        shown = self.query_one("#columns", Horizontal)
        async with self.batch():
            await shown.remove_children()
            await shown.mount(*self._poured())

    def _poured(self) -> list[Static]:
        """What this window says, in the fewest columns that show all of it.

        On Now it does without the drawings where only so all is seen: the glossary has them too.
        """
        width, height = self.poured_for = self.app.size
        rooms = columns_in(width - EDGES)
        tried = [(room, True) for room in rooms]
        if self.place == "now" and len(rooms) > 1:
            tried.append((rooms[-1], False))
        for columns, drawn in tried:
            parts = poured(self._blocks(columns.width, drawn=drawn), columns)
            if max(part.plain.count("\n") + 1 for part in parts) <= height - BORDER:
                return _beside(parts, columns.width)
        return _beside(poured(self._blocks(rooms[-1].width), rooms[-1]), rooms[-1].width)

    def _blocks(self, width: int, *, drawn: bool = True) -> list[Content]:
        """What is asked, what the screen is for, the keys here, then those that work everywhere."""
        asked = self.focus_on
        field = [about_field(asked)] if asked is not None else []
        pictures = _drawn(asked, width) if asked is not None and drawn else []
        about = [_about(ABOUT[self.place])] if self.place in ABOUT else []
        # Now is about more than the one field that a digit answers there.
        about += [_about(holes_in_words())] if self.place in WITH_A_PLATE else []
        parts = [*about, *field] if self.place == "now" else [*field, *pictures, *about]
        keys = _table(sorted(commands_for(self.place), key=_rank), width)
        behind = [txt(""), *pictures] if pictures and self.place == "now" else []
        first, *others = _table(everywhere_at(self.place), width)
        everywhere = [stack(txt("Everywhere", "bold $accent"), first), *others]
        return [*parts, *keys, *behind, txt(""), *everywhere]


def _beside(parts: Iterable[Content], width: int) -> list[Static]:
    """Each part in a column of this width."""
    shown = [Static(part) for part in parts]
    for each in shown:
        each.styles.width = width
    return shown


def _drawn(question: Question, width: int) -> list[Content]:
    """The answers drawn side by side, where several have a drawing and there is room."""
    words = DrawnWord.those_drawn(question.field, question.keys)
    lines = ROWS_OF_FEW if len(words) <= FEW else ROWS_OF_MANY
    drawn = gallery(words, width, lines)
    return [drawn] if len(words) > 1 and drawn.plain else []


def _rank(command: Command) -> int:
    """Digits first, then the most needed, as on the key line; what stands not there comes last."""
    return 0 if set(DIGITS) <= set(command.keys) else command.foot or LAST


def _about(text: str) -> Content:
    """What the page is for: its first sentence stands out, the others are quieter."""
    first, stop, others = text.partition(". ")
    head = txt(f"{first}." if stop else first, "bold $accent")
    return stack(head, *([txt(others)] if others else []), txt(""))


def _table(commands: Iterable[Command], width: int) -> list[Content]:
    return [_row(command, width) for command in commands]


def _row(command: Command, width: int) -> Content:
    """Key and what it does, which goes on under its own beginning."""
    first, *others = txt(command.says).wrap(max(width - KEY_WIDTH, 1))
    head = Content.assemble((fit(command.key_text, KEY_WIDTH), "bold $accent"), first)
    return stack(head, *(Content.assemble(" " * KEY_WIDTH, other) for other in others))
