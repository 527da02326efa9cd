"""One question of an attempt: what is asked for its field, and how it is answered.

A question is answered by one digit where the field has few values, else by a typed line. What is
read before the first paint stands here, so nothing heavy is imported.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal

from platebook.practice.fields import choices, fields
from platebook.trade.phrases import several
from platebook.values import Value, replace

if TYPE_CHECKING:
    from platebook.practice.problem import Problem
    from platebook.trade.setup_sheet import SetUpSheet

YES_NO = (("1", "yes"), ("0", "no"))
MOST_DIGITS = 10
MEASURED = (
    "seat_diameter_mm",
    "seat_depth_mm",
    "seat_go_mm",
    "seat_nogo_mm",
    "stone_diameter_mm",
    "stone_depth_mm",
    "table_height_mm",
)
ENDINGS = ("mm", "g", "deg")
"""What ends a name and is no word of it: the unit."""

IN_THE_NAME = ("min", "rpm", "×", "o'clock")
"""Units that a field's name says already, and that do not stand beside its number again."""


_COUNT = re.compile(r"\d(?:-\d|\+)?$")
"""A count, or a span of counts, as a value is named."""


class Question(Value):
    """What is asked for one field.

    `keys` are pairs of digit and value; empty where a line is typed. Where the values are counts
    the digit is the count itself, and `keys` has the first of each span. `low` and `high` bound
    what is wanted of a size, `wanted` lists the values that are, and `target` says it in words.
    """

    field: str
    label: str
    keys: tuple[tuple[str, str], ...] = ()
    unit: str = ""
    target: str = ""
    low: float | None = None
    high: float | None = None
    wanted: tuple[str, ...] = ()
    meaning: str = ""

    @property
    def counts(self) -> bool:
        """Whether a digit is a number of times, of which each value spans some: 3-5 or 6+."""
        spans = any(len(value) > len(key) for key, value in self.keys)
        return spans and all(_COUNT.match(v) and v.startswith(k) for k, v in self.keys)

    @property
    def answers(self) -> tuple[tuple[str, str], ...]:
        """What to press and what it says, an answer each: ("1", "proud"), or ("3-5", "times")."""
        if not self.counts:
            return self.keys
        return tuple((value, "time" if value == "1" else "times") for _, value in self.keys)

    def in_words(self, value: str) -> str:
        """A value as it is told once it is noted: a span of counts says what it counts."""
        told = dict(self.answers).get(value) if self.counts else None
        return f"{value} {told}" if told else value

    @property
    def digits(self) -> tuple[str, ...]:
        """Every key that answers."""
        if not self.counts:
            return tuple(key for key, _ in self.keys)
        return tuple(str(digit) for digit in range(int(self.keys[0][0]), MOST_DIGITS))

    def value_for(self, key: str) -> str | None:
        """The value that this digit stands for, or None; of a count the span that it lies in."""
        if self.counts and key in self.digits:
            return [value for k, value in self.keys if k <= key][-1]
        return next((value for k, value in self.keys if k == key), None)

    def key_for(self, value: str) -> str:
        """The digit of this value; the value itself where it has none."""
        return next((k for k, v in self.keys if v == value), value)

    def verdict(self, value: str) -> Literal["inside", "outside", ""]:
        """Whether an answer is as wanted; empty where nothing is wanted or nothing was read."""
        if self.wanted:
            return "inside" if value in self.wanted else "outside"
        size = size_of(value)
        if size is None or (self.low is None and self.high is None):
            return ""
        low = self.low if self.low is not None else float("-inf")
        high = self.high if self.high is not None else float("inf")
        return "inside" if low <= size <= high else "outside"


def question_for(field: str) -> Question:
    """The question that the record's contract alone gives for a field."""
    spec = fields()[field]
    return Question(
        field=field,
        label=spec.label,
        keys=YES_NO if spec.type == "yes/no" else _digits(field),
        unit="" if spec.unit in IN_THE_NAME else spec.unit,
        meaning=spec.meaning,
    )


def questions_for(names: Iterable[str]) -> tuple[Question, ...]:
    """Questions for these fields; names the contract does not know are typed lines."""
    known = fields()
    return tuple(
        question_for(name) if name in known else Question(name, label_of(name)) for name in names
    )


def question_from(plain: Mapping[str, Any]) -> Question:
    """The question of a draft file, whose lists were tuples."""
    keys = tuple((str(k), str(v)) for k, v in plain["keys"])
    return Question(**{**plain, "keys": keys, "wanted": tuple(plain["wanted"])})


def sizes_to_measure(sizes: "SetUpSheet | None") -> tuple[Question, ...]:
    """The lengths read of a seat or a stone, with their windows where the sizes give one."""
    sizes_asked = {name: question_for(name) for name in MEASURED}
    if sizes is not None:
        seat = sizes.seat
        windows = {
            "seat_diameter_mm": (seat.diameter_low_mm, seat.diameter_high_mm),
            "seat_depth_mm": (seat.depth_mm, seat.depth_high_mm),
        }
        for name, (low, high) in windows.items():
            target = f"{low:.2f} to {high:.2f} mm"
            asked = sizes_asked[name]
            sizes_asked[name] = replace(asked, target=target, low=low, high=high)
    return tuple(sizes_asked.values())


def problem_words(problem: "Problem") -> str:
    """What is wrong as a person says it: "stone 19.8 mm; expected 0.5 to 10"."""
    known = fields().get(problem.field)
    unit = question_for(problem.field).unit if known is not None else ""
    read = f"{problem.read} {unit}" if unit and problem.read else problem.read
    named = f"{label_of(problem.field)} {read}".strip()
    return f"{named}; expected {problem.expected}"


def how_read(field: str) -> str:
    """How a field is read at the bench; empty where its meaning says enough."""
    known = fields().get(field)
    return known.help if known is not None else ""


def label_of(field: str) -> str:
    """A field in words: `seat_bur_mm` is "seat bur"; a course's own is read off its name."""
    known = fields().get(field)
    if known is not None:
        return known.label
    head, _, ending = field.rpartition("_")
    return (head if ending in ENDINGS and head else field).replace("_", " ")


def _digits(field: str) -> tuple[tuple[str, str], ...]:
    """One digit a value: a count as it is, else its rank where that is one, else its place.

    By rank the answers run from too little by way of what is wanted to too much, or from what is
    wanted to the worst.
    """
    listed = choices().get(field, ())
    if not listed or len(listed) > MOST_DIGITS:
        return ()
    counts = [_COUNT.match(choice.value) for choice in listed]
    if all(counts):
        return tuple((c.value[0], c.value) for c in listed)
    ranked = [choice.rank for choice in listed]
    if None not in ranked and len(set(ranked)) == len(listed) and max(map(_int, ranked)) < 10:
        by_rank = sorted(listed, key=lambda choice: _int(choice.rank))
        return tuple((str(choice.rank), choice.value) for choice in by_rank)
    return tuple((str((i + 1) % 10), choice.value) for i, choice in enumerate(listed))


def _int(rank: int | None) -> int:
    return rank if rank is not None else 0


def size_of(text: str) -> float | None:
    """A typed size in its unit, or None where it is none."""
    try:
        return float(text.replace(",", "."))
    except ValueError:
        from platebook.trade.lengths import read_length

        return read_length(text)[0]


def no_answer(asked: str, sign: str, keys: Sequence[str]) -> str:
    """What is said of a sign that answers nothing: "fit: 8 is no answer; 1 to 5 are."."""
    digits = [int(key) for key in keys if key.isdecimal()]
    in_a_row = len(digits) == len(keys) and digits == [*range(digits[0], digits[-1] + 1)]
    named = f"{digits[0]} to {digits[-1]}" if in_a_row else several(keys)
    return f"{asked}: {sign} is no answer; {named} are."
