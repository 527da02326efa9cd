"""What the Class screen says of the row marked, and a look under way."""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from textual.content import Content

from platebook.analysis.grades.share_good import share_words
from platebook.analysis.grades.states import TO_BE_PASSED
from platebook.practice.defects import GOOD, comments_on
from platebook.practice.results import RESULT_KEYS, SEVERITIES
from platebook.reports.text.class_text import main_defect, practice_line, used_lines
from platebook.reports.text.figures import GRADES, place_on_plate
from platebook.tui.text import line, stack, txt

if TYPE_CHECKING:
    from platebook.advice.class_standing import QueueRow, SetterLine


WEIGH = "How bad? 1 slight, 2 clear, 3 lost. Esc takes the digit back."
COMMENT = "A comment? A digit picks one, w writes one, Enter goes without."


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


def keys_in_words() -> str:
    """The digits with what they say, then the letters: "a digit: 0 good, 1 loose, 2 high"."""
    words = [f"{key} {result}" for key, result in RESULT_KEYS.items()]
    letters = any(not key.isdigit() for key in RESULT_KEYS)
    return f"a {'digit or letter' if letters else 'digit'}: {', '.join(words)}"


def grades_and_signs(setter: "SetterLine") -> str:
    """The grades by the signs of the stair, easiest first, then how the last eight came out."""
    grades = "".join(GRADES[grade.state].drawn for grade in setter.grades)
    return f"{grades}  {setter.signs or '-':>8}"


def legend() -> str:
    """What the signs of the grades mean."""
    return "  ".join(f"{sign.drawn} {sign.words}" for sign in GRADES.values())


def standing_part(setter: "SetterLine") -> Content:
    """The setter marked: grade, lately, main defect, eye, practice and what it used."""
    parts = [txt(setter.name, "bold $accent")]
    if not setter.attempts:
        return stack(*parts, txt("Nothing logged yet."))
    where = f"{setter.grade}: {setter.state}" if setter.grade else "no grade yet"
    parts.append(txt(where))
    if setter.state in TO_BE_PASSED:
        parts.append(txt(f"{setter.good_to_go} good ones to go"))
    if setter.sign_off:
        parts.append(txt(f"{setter.sign_off_title} has its points", "bold"))
        parts.append(txt("s signs it off", "bold"))
    if share := share_words(setter.lately, setter.lately_low, setter.lately_high):
        parts.append(txt(share))
    if setter.defect:
        parts.append(txt(f"mostly {main_defect(setter)}"))
    parts.append(txt(f"eye: {setter.eye}"))
    if setter.practice is not None and setter.practice.a_week is not None:
        about = (practice_line(setter.practice), *used_lines(setter.practice))
        parts += [txt(sentence, "$muted") for sentence in about]
    days = "" if setter.days_since is None else f", last {setter.days_since} days ago"
    return stack(*parts, txt(f"{setter.attempts} attempts{days}", "$muted"))


def due_part(row: "QueueRow", looking: Looking) -> Content:
    """The position marked and why; the comments to pick from where one is asked for."""
    where = place_on_plate(row.plate, row.position)
    drawn = (
        [txt("drawn at random: counts for the agreement of eyes", "$muted")] if row.drawn else []
    )
    if looking.comments:
        picks = (txt(f"{key} {comment}") for key, comment in enumerate(looking.comments, 1))
        return stack(txt(row.setter, "bold $accent"), txt(where, "bold"), *picks)
    return stack(
        txt(row.setter, "bold $accent"),
        txt(where, "bold"),
        txt(row.grade),
        *([txt("s signs it off", "bold")] if row.sign_off else []),
        *drawn,
        txt("Their own verdict is told when yours is in.", "$muted"),
    )
