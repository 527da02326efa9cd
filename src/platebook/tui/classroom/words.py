"""What the Class screen says of the row marked, and a look under way."""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from textual.content import Content

from platebook.analysis.success.share_good import share_words
from platebook.practice.defects import GOOD, comments_on
from platebook.practice.results import RESULT_KEYS, SEVERITIES
from platebook.reports.text.class_text import main_defect, practice_line, used_lines
from platebook.reports.text.figures import GRADES, place_on_plate
from platebook.reports.text.received_text import verdict
from platebook.trade.phrases import count_of
from platebook.tui.classroom.class_list import DRAWN, DRAWN_WORDS, SHORT
from platebook.tui.parts.signs import legend_of
from platebook.tui.parts.text import line, stack, txt

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from platebook.advice.class_standing import QueueRow, SetterLine
    from platebook.practice.results import Outcome
    from platebook.services.classes.plate_looks import PlateToJudge


WEIGH = "How bad? 1 slight, 2 clear, 3 lost. Esc takes the digit back."
COMMENT = "A comment? A digit picks one, w writes one, Enter goes without."


@dataclass(frozen=True, slots=True)
class WantedPlate:
    """A plate to judge: a setter's newest one, or the one named, at a position of it."""

    setter_id: str
    plate: str = ""
    position: str = ""


def plates_of(rows: "Sequence[QueueRow | SetterLine]") -> list[WantedPlate]:
    """The plate that each row of the queue lies on, or the newest one of each setter."""
    return [
        WantedPlate(row.setter_id, getattr(row, "plate", ""), getattr(row, "position", ""))
        for row in rows
    ]


@dataclass(frozen=True, slots=True)
class Looking:
    """What was keyed of a look so far; nothing at first."""

    result: str = ""
    severity: str = ""

    @property
    def waits_for(self) -> Literal["result", "severity", "comment"]:
        """What the next key says."""
        if not self.result:
            return "result"
        return "comment" if self.severity or self.result == GOOD else "severity"

    @property
    def comments(self) -> tuple[str, ...]:
        """The stock comments that digits pick now; none before the result is weighed."""
        return comments_on((self.result,)) if self.waits_for == "comment" else ()

    def after(self, key: str) -> "Looking":
        """The look with one more key; the same where the key says nothing here."""
        if self.waits_for == "result" and key in RESULT_KEYS:
            return replace(self, result=RESULT_KEYS[key])
        if self.waits_for == "severity" and key.isdigit() and int(key) in SEVERITIES:
            return replace(self, severity=key)
        return self

    def prompt(self) -> str:
        """What to do next, in one or two sentences."""
        if self.waits_for == "result":
            return f"Look first, then {keys_in_words()}"
        if self.waits_for == "severity":
            return f"{line(self.result)}: {WEIGH}"
        weight = f", {SEVERITIES[int(self.severity)]}" if self.severity else ""
        return f"{line(self.result)}{weight}: {COMMENT}"


def said_lines(plate: "PlateToJudge") -> list[Content]:
    """What was said of each position judged, beside its setter's own verdict, and comments."""
    lines = []
    for cell in plate.positions:
        if cell.given is not None:
            own = verdict(cell.given.own_result, cell.given.own_severity)
            yours = verdict(cell.given.result, cell.given.severity)
            lines.append(txt(f"{cell.position}: yours {yours}; their own {own}"))
            lines += [txt(f"   {cell.given.comment}", "$muted")] if cell.given.comment else []
    return lines


def keys_in_words() -> str:
    """The digits with what they say, then the letters: "a digit: 0 good, 1 loose, 2 high"."""
    words = [f"{key} {result}" for key, result in RESULT_KEYS.items()]
    letters = any(not key.isdigit() for key in RESULT_KEYS)
    return f"a {'digit or letter' if letters else 'digit'}: {', '.join(words)}"


def legend(
    setter: "SetterLine",
    outcomes: "Iterable[Outcome]",
    width: int,
    *,
    drawn: bool = False,
) -> Content:
    """What the signs of these outcomes mean, and those of the setter's grades.

    In lines of at most this width, no sign torn from its words; with that of what was `drawn`.
    """
    states = {grade.state for grade in setter.grades}
    grades = (f"{sign.drawn} {sign.words}" for state, sign in GRADES.items() if state in states)
    lines = [""]
    random = (f"{DRAWN} drawn at random",) if drawn else ()
    for part in (*legend_of(outcomes), *grades, *random):
        longer = f"{lines[-1]}  {part}" if lines[-1] else part
        if len(longer) > width:
            lines.append(part)
        else:
            lines[-1] = longer
    return stack(*map(txt, lines))


def standing_part(setter: "SetterLine", *, brief: bool = False) -> Content:
    """The setter marked, in a few full lines: what the line in the list does not say.

    The grades by the signs of the stair, easiest first; the sign-off that waits; lately, main
    defect and eye; practice, and what it used where that is not left out to be `brief`.
    """
    stair = "".join(GRADES[grade.state].drawn for grade in setter.grades)
    where = f"{setter.grade}, {setter.state}" if setter.grade else "no grade yet"
    name = (line(setter.name), "bold $accent")
    if not setter.attempts:
        return stack(Content.assemble(name), txt("Nothing logged yet."))
    parts = [Content.assemble(name, f"  {stair}  {line(where)}" if stair else f"  {line(where)}")]
    if setter.sign_off:
        parts.append(txt(f"{setter.sign_off_title} has its points: s signs it off", "bold"))
    about = [
        share_words(setter.lately, setter.lately_low, setter.lately_high),
        f"mostly {main_defect(setter)}" if setter.defect else "",
        f"eye: {setter.eye}",
    ]
    parts.append(txt("; ".join(filter(None, about))))
    done = [count_of(setter.attempts, "attempt")]
    if setter.practice is not None and setter.practice.a_week is not None:
        done.append(practice_line(setter.practice))
        done += () if brief else used_lines(setter.practice)
    return stack(*parts, txt("; ".join(done), "$muted"))


def due_row(row: "QueueRow", *, whole: bool) -> str:
    """A row of the queue: whose it is, and each reason, in a word or two or `whole`.

    What was drawn at random has its sign behind the name, where it is no reason.
    """
    name = f"{row.setter} {DRAWN}" if row.drawn else row.setter
    if whole:
        words = "; ".join(reason.sentence for reason in row.reasons)
    else:
        words = ", ".join(SHORT.get(reason.why, reason.why) for reason in row.reasons)
    return f"{name}: {words}" if words else name


def due_part(row: "QueueRow", looking: Looking, *, whole: bool = True) -> Content:
    """The position marked; the comments to pick from where one is asked for.

    And why, each reason in its own lines, where the list has only a word or two (not `whole`).
    """
    reasons = [] if whole else [txt(reason.sentence) for reason in row.reasons]
    where = place_on_plate(row.plate, row.position)
    drawn = [txt(f"{DRAWN} {DRAWN_WORDS}", "$muted")] if row.drawn else []
    if looking.comments:
        picks = (txt(f"{key} {comment}") for key, comment in enumerate(looking.comments, 1))
        return stack(txt(row.setter, "bold $accent"), txt(where, "bold"), *picks)
    return stack(
        txt(row.setter, "bold $accent"),
        txt(where, "bold"),
        txt(row.grade_title or row.grade),
        *reasons,
        *([txt("s signs it off", "bold")] if row.sign_off else []),
        *drawn,
        txt("Their own verdict is told when yours is in.", "$muted"),
    )
