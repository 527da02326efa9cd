"""What the Class screen tells of the setter or the position marked."""

from typing import TYPE_CHECKING

from textual.content import Content

from platebook.reports.signs import GRADES
from platebook.tui.looking import Looking
from platebook.tui.text import stacked, txt

if TYPE_CHECKING:
    from platebook.advice.standing import QueueRow, Standing


def grades_and_signs(one: "Standing") -> str:
    """The grades by the signs of the stair, easiest first, then how the last eight came out."""
    grades = "".join(GRADES[grade.state].drawn for grade in one.grades)
    return f"{grades}  {one.signs or '-':>8}"


def legend() -> str:
    """What the signs of the grades mean."""
    words = {"waiting": "to be signed off", "slipping": "slipping back"}
    return "  ".join(f"{sign.drawn} {words.get(state, state)}" for state, sign in GRADES.items())


def standing_part(one: "Standing") -> Content:
    """The setter marked: grade, lately, main defect, eye, practice and what it used."""
    parts = [txt(one.name, "bold $accent")]
    if not one.attempts:
        return stacked(*parts, txt("Nothing logged yet."))
    where = f"{one.grade}: {one.state}" if one.grade else "no grade yet"
    parts.append(txt(where))
    if one.state == "working":
        parts.append(txt(f"{one.good_to_go} good ones to go"))
    if one.sign_off:
        parts.append(txt(f"{one.sign_off_title} has its points", "bold"))
        parts.append(txt("s signs it off", "bold"))
    if one.lately is not None and one.lately_low is not None and one.lately_high is not None:
        band = f"{100 * one.lately_low:.0f} to {100 * one.lately_high:.0f} %"
        parts.append(txt(f"lately {100 * one.lately:.0f} % good ({band})"))
    if one.defect:
        at = f" at {one.clock} o'clock" if one.clock is not None else ""
        parts.append(txt(f"mostly {one.defect}{at}"))
    parts.append(txt(f"eye: {one.eye}"))
    if one.practice is not None and one.practice.a_week is not None:
        from platebook.reports.practice_text import practice_line, used_lines

        about = (practice_line(one.practice), *used_lines(one.practice))
        parts += [txt(said, "$muted") for said in about]
    days = "" if one.days_since is None else f", last {one.days_since} days ago"
    return stacked(*parts, txt(f"{one.attempts} attempts{days}", "$muted"))


def due_part(row: "QueueRow", looking: Looking) -> Content:
    """The position marked and why; the comments to pick from where one is asked for."""
    where = f"plate {row.plate}, position {row.position}" if row.plate else "no plate noted"
    drawn = (
        [txt("drawn at random: counts for the agreement of eyes", "$muted")] if row.drawn else []
    )
    if looking.comments:
        picks = (txt(f"{key} {said}") for key, said in enumerate(looking.comments, 1))
        return stacked(txt(row.setter, "bold $accent"), txt(where, "bold"), *picks)
    return stacked(
        txt(row.setter, "bold $accent"),
        txt(where, "bold"),
        txt(row.grade),
        txt(row.sentence),
        *([txt("s signs it off", "bold")] if row.sign_off else []),
        *drawn,
        txt("Their own verdict is told when yours is in.", "$muted"),
    )
