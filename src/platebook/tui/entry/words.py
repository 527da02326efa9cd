"""An entry as words on the screen, with how a result is judged."""

import itertools
import re
from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.content import Content

from platebook.practice.defects import GOOD, looks_of, verdicts
from platebook.practice.reading.questions import Question, label_of
from platebook.practice.results import DEFAULT_SEVERITY, SEVERITIES
from platebook.trade.cautions import BEFORE_A_PLATE, cautions_beside
from platebook.trade.lengths import read_length
from platebook.tui.entry.answers import focus_of
from platebook.tui.entry.doubts import DOUBT, ways_out
from platebook.tui.entry.entry import (
    ANOTHER,
    FINISH,
    FINISH_KEYS,
    MORE,
    READINGS,
    RESULT,
    ROWS_A_PAGE,
    SET_UP,
    Entry,
    result_text,
)
from platebook.tui.entry.moves import types
from platebook.tui.parts.signs import VERDICT_SIGNS
from platebook.tui.parts.text import ELLIPSIS, MARK, fit, keycap, line, stack, txt

if TYPE_CHECKING:
    from platebook.practice.reading.doubts import Doubt

STATE = "metal_state"
RAIL = 27
LABEL = 13
BESIDE = 4
"""Cells of a row of the rail for its mark before it and its sign behind."""
MOST_LINES = 3
UNWEIGHED = SEVERITIES[DEFAULT_SEVERITY]
"""How bad a defect is that nobody weighs."""
NOT_NOTED = "—"
TITLES = {
    RESULT: "How did it come out?",
    ANOTHER: "Which other defect?",
    SET_UP: "The set-up",
    MORE: "More that was measured",
}
LONGEST_SET_UP = 200
SAME_MM = 0.0005
_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")


def rail(entry: Entry, width: int = RAIL) -> Content:
    """What stands so far: each reading with its value and sign, then the result.

    What is longer than the column goes on in the next line, in whole words.
    """
    shown = entry.readings if entry.asked or _any_reading(entry) else ()
    rows = [_reading_row(entry, question, width) for question in shown]
    rows.append(_result_row(entry, width))
    noted = (name for name in ("first_seen", "clock", "ended", "note") if entry.value(name))
    for name in noted:
        here = entry.stop == name
        rows.append(_rail_row(label_of(name), entry.value(name), width=width, here=here))
    if entry.stop == FINISH:
        rows.append(Content.styled("▸ finish", "bold $accent"))
    return stack(*rows)


def page(entry: Entry) -> Content:
    """What can be answered at this stop, one numbered line each, and what Enter does."""
    defect = entry.severity_of()
    if defect is not None:
        return _severities(entry, defect)
    question = entry.question()
    if question is not None:
        return _options(entry, question)
    if entry.stop == DOUBT:
        return doubt_page(entry.doubt())
    if entry.stop == FINISH:
        return _finish(entry)
    if entry.stop in entry.lists:
        return _list(entry)
    return _results(entry)


def doubt_page(doubt: "Doubt | None") -> Content:
    """The ways out of a doubt, a line each."""
    if doubt is None:
        return txt("Enter goes on.", "$muted")
    rows = [_row(key, words) for key, _, words in ways_out(doubt)]
    return stack(*rows, txt(""), txt("A digit answers; Enter keeps it as it is.", "$muted"))


def set_up_line(entry: Entry) -> Content:
    """The set-up in one line, with what of it is carried over and what is proposed."""
    stands = [name for name in entry.lists.get(SET_UP, ()) if entry.value(name)]
    if not stands:
        return Content.styled("set-up: nothing noted yet", "$muted")
    values = [_told(entry, name) for name in _telling(stands)]
    mark = f"set-up{_origins(entry, stands)}: "
    told = Content.assemble((mark, "$muted"), line(" · ".join(values))[:LONGEST_SET_UP])
    others = entry.other_tools()
    if not others:
        return told
    says = " ".join(other.sentence for other in others)
    return stack(told, Content.assemble(("! ", "bold $text-warning"), f"{says} = takes it."))


def _origins(entry: Entry, names: list[str]) -> str:
    """Where what stands there comes from; "partly" where it is not all from one place."""
    carried = [name for name in names if entry.carried(name)]
    origins = sorted({entry.origin_of(name) for name in carried})
    partly = "partly " if len(origins) > 1 or len(carried) < len(names) else ""
    return "".join(f", {partly}{origin}" for origin in origins)


def _telling(names: list[str]) -> list[str]:
    first = ("seat_bur", "seat_bur_shape", "seat_bur_mm", "lubricant", "support", "speed_step")
    said = [n for n in first if n in names] or names[:5]
    # One bur is told once: its name, or its shape, has the size with it.
    bur = [n for n in ("seat_bur", "seat_bur_shape", "seat_bur_mm") if n in said]
    return [n for n in said if n not in bur[1:]]


def _told(entry: Entry, name: str) -> str:
    """What stands at a field; the seat bur by its name or shape, with a size not said by it."""
    value, size = entry.value(name), entry.value("seat_bur_mm")
    if name not in {"seat_bur", "seat_bur_shape", "seat_bur_mm"}:
        return f"{label_of(name)} {value}"
    if name == "seat_bur_mm":
        return f"seat bur {size} mm"
    between = ", " if name == "seat_bur" else " "
    beside = f"{between}{size} mm" if size and not _names_size(value, size) else ""
    return f"seat bur {value}{beside}"


def _names_size(name: str, size: str) -> bool:
    """Whether a size as typed stands in a name, as 1.9 does in "setting 1.90, no. 3"."""
    size_mm = read_length(size)[0]
    numbers = (float(number) for number in _NUMBER.findall(name.replace(",", ".")))
    return size_mm is not None and any(abs(number - size_mm) < SAME_MM for number in numbers)


def _any_reading(entry: Entry) -> bool:
    fields = {question.field for question in entry.readings}
    return entry.stop in fields or any(entry.value(name) for name in fields)


def _reading_row(entry: Entry, question: Question, width: int) -> Content:
    value = entry.value(question.field)
    mark = VERDICT_SIGNS[question.verdict(value)] if value else " "
    here = entry.stop == question.field
    return _rail_row(question.label, question.in_words(value), mark, width=width, here=here)


def _result_row(entry: Entry, width: int) -> Content:
    here = entry.stop in {RESULT, ANOTHER} or entry.severity_of() is not None
    result = result_text(entry) if entry.results() else ""
    return _rail_row("result", result, width=width, here=here)


def _rail_row(
    label: str, value: str, mark: str = " ", *, width: int, here: bool = False
) -> Content:
    """What is noted under this label with the sign of its verdict, in lines of so many cells."""
    room = width - LABEL - BESIDE
    named, told = _in_lines(label, LABEL - 1), _in_lines(value or NOT_NOTED, room)
    texts = [
        f"{fit(name, LABEL)}{fit(each, room)}"
        for name, each in itertools.zip_longest(named, told, fillvalue="")
    ]
    texts[0] += f" {mark}"
    style = "bold" if here else ("" if value else "$muted")
    lead = Content.styled("▸ ", "bold $accent") if here else Content("  ")
    return stack(
        *(
            Content.assemble(Content("  ") if place else lead, (text, style))
            for place, text in enumerate(texts)
        )
    )


def _in_lines(value: str, width: int) -> list[str]:
    """The words in lines of this width, of a long note the first few."""
    lines = [part.plain.strip() for part in txt(value).wrap(width)]
    if len(lines) <= MOST_LINES:
        return lines
    *whole, last = lines[:MOST_LINES]
    if cell_len(last) >= width:
        last = last.rpartition(" ")[0]
    return [*whole, f"{last}{ELLIPSIS}"]


def _row(
    key: str,
    text: str,
    *,
    stands: bool = False,
    remark: str = "",
    marked: bool = False,
    width: int = 1,
) -> Content:
    return Content.assemble(
        (MARK if marked else " ", "bold $accent"),
        keycap(key, width),
        ("● " if stands else "  "),
        (text, "bold" if stands or marked else ""),
        (f" {line(remark)}" if remark else "", "$muted"),
    )


def _options(entry: Entry, question: Question) -> Content:
    value = entry.value(question.field)
    if types(entry):
        field = question.field
        stands = [txt(entry.origin_of(field), "$muted")] if entry.carried(field) else []
        return stack(
            *stands, txt("Type it, then Enter. Enter alone leaves it as it stands.", "$muted")
        )
    width = max(len(pressed) for pressed, _ in question.answers)
    rows = [
        _row(
            pressed,
            line(says),
            stands=v == value,
            remark=f"  {VERDICT_SIGNS['inside']} wanted" if v in question.wanted else "",
            marked=key == entry.marked,
            width=width,
        )
        for (key, v), (pressed, says) in zip(question.keys, question.answers, strict=True)
    ]
    enter = f"Enter {'keeps it' if value else 'leaves it empty'}."
    asks = "Press how many" if question.counts else "A digit answers"
    minded = (
        Content.assemble(("! ", "bold $text-warning"), (line(caution), "$muted"))
        for caution in (cautions_beside(*BEFORE_A_PLATE) if question.field == STATE else ())
    )
    says = _taking(entry) or f"{asks}; {enter}"
    return stack(*rows, txt(""), txt(says, "$muted"), *minded)


def _taking(entry: Entry) -> str:
    """What Enter takes where an answer is marked; empty where none is."""
    focus = focus_of(entry)
    if focus is None or not entry.marked:
        return ""
    return f"Enter takes {line(focus.value_for(entry.marked) or '').partition(':')[0]}."


def _results(entry: Entry) -> Content:
    chosen = entry.results()
    rows = [
        _row(
            key,
            f"{result:<10}",
            stands=result in chosen,
            remark=_check(entry, result),
            marked=key == entry.marked,
        )
        for key, result in entry.result_keys().items()
    ]
    says = _taking(entry) or "Clean and dry, x10, one lamp."
    return stack(*rows, txt(""), txt(says, "$muted"), *_how_slight_counts(entry))


def _check(entry: Entry, result: str) -> str:
    if entry.part and result == GOOD:
        return "the criterion was met"
    return verdicts()[result].check


def _severities(entry: Entry, defect: str) -> Content:
    weighed = dict(entry.defects).get(defect, "")
    looks = looks_of(defect)
    rows = [
        _row(
            str(n),
            f"{word:<7}",
            stands=weighed == str(n),
            remark=looks.get(str(n), ""),
            marked=str(n) == entry.marked,
        )
        for n, word in SEVERITIES.items()
    ]
    says = _taking(entry) or ("Enter keeps it." if weighed else f"Enter alone: {UNWEIGHED}.")
    return stack(*rows, txt(""), txt(says, "$muted"), *_how_slight_counts(entry))


def enter_again(entry: Entry, asked: str) -> str:
    """What Enter does after a key that answers nothing: it has not gone on with the first press."""
    defect = entry.severity_of()
    if defect is None or dict(entry.defects).get(defect):
        return f"{asked}: nothing is noted yet. Enter again leaves it so."
    return f"{asked}: nothing is noted yet. Enter again notes {UNWEIGHED}."


def _how_slight_counts(entry: Entry) -> list[Content]:
    return [txt(entry.slight, "$muted")] if entry.slight else []


def _finish(entry: Entry) -> Content:
    rows = []
    for key, stop in FINISH_KEYS.items():
        if stop == RESULT:
            rows.append(_row(key, f"{stop:<14} {result_text(entry)}"))
        elif stop == READINGS:
            count = sum(bool(entry.value(q.field)) for q in entry.readings)
            rows.append(_row(key, f"readings       {count} of {len(entry.readings)}"))
        elif stop in entry.lists:
            count = sum(bool(entry.value(name)) for name in entry.lists[stop])
            name = stop.partition(":")[2]
            rows.append(_row(key, f"{name:<14} {count} noted"))
        else:
            rows.append(_row(key, f"{label_of(stop):<14} {line(entry.value(stop))}"))
    if entry.defects:
        rows.append(_row("+", "another defect"))
    if entry.complete():
        last = Content.styled("Enter saves", "bold $accent")
    else:
        last = txt("Not judged: Enter goes to the result, or 4 says how it ended.", "$muted")
    return stack(*rows, txt(""), last)


def _list(entry: Entry) -> Content:
    rows = []
    # No wider than the labels of this page need, so that a value and its origin share a line.
    room = max((len(label_of(name)) for name in entry.rows()), default=0)
    # Where all of the set-up comes from one place, the line above the list says so once.
    stands = [name for name in entry.lists[entry.stop] if entry.value(name)]
    mixed = entry.stop != SET_UP or ", partly " in _origins(entry, stands)
    for place, name in enumerate(entry.rows(), start=1):
        value = line(entry.value(name)) or "—"
        if name.endswith("_mm") and _NUMBER.fullmatch(value):
            value = f"{value} mm"
        remark = entry.origin_of(name) if mixed and entry.carried(name) else ""
        rows.append(_row(str(place), f"{label_of(name):<{room}}  {value}", remark=remark))
    pages = -(-len(entry.lists[entry.stop]) // ROWS_A_PAGE)
    turn = f", 0 turns the page ({entry.page + 1} of {pages})" if pages > 1 else ""
    return stack(*rows, txt(""), txt(f"A digit opens a line{turn}.", "$muted"))
