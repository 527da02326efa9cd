"""An attempt while it is being filled in: a frozen value, always standing at one stop.

`moves` turns each key into the next entry; the screen holds one and feeds it keys in the
order they came. A stop is a field's name, or one of the names below.
"""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from platebook.practice.defects import GOOD, MISSED
from platebook.practice.reading.questions import Question, question_from
from platebook.practice.results import DEFAULT_SEVERITY, RESULT_KEYS, fails, verdict
from platebook.tui.entry.doubts import RAISED_BY, first_doubt
from platebook.values import Value, as_dict, field, replace

if TYPE_CHECKING:
    from platebook.practice.courses.course import Grade
    from platebook.practice.reading.doubts import Doubt
    from platebook.services.attempts.form import SetUpDiffers

RESULT = "result"
ANOTHER = "another defect"
SEVERITY = "severity"
FINISH = "finish"
SET_UP = "list:set-up"
MORE = "list:more"
FIRST_SEEN = "first_seen"
ENDED = "ended"
READINGS = "readings"
SEAT = "seat_diameter_mm"
SEAT_TOOL = "seat_measured_with"
PART_KEYS = {"0": GOOD, "1": MISSED}
FINISH_KEYS = {
    "0": RESULT,
    "1": FIRST_SEEN,
    "2": "clock",
    "3": "push_test",
    "4": ENDED,
    "5": "rescued",
    "6": "note",
    "7": READINGS,
    "8": SET_UP,
    "9": MORE,
}
ROWS_A_PAGE = 9
CARRIED_OVER = "carried over"
PROPOSED = "proposed"
AS_LOGGED = "as logged"


class Entry(Value):
    """What has been answered so far, and the stop that the next key goes to.

    `readings` are the questions that stand before the result; `asked` says whether this attempt
    asks them (else the finish offers them). `others` are all the rest by field, and `lists` the
    fields of the set-up and of "more" in the order shown. `known` are the values the attempt starts
    with and `origin` says where they are from, all but those `proposed` by the course and the
    sizes; `answers` are those given now, "" where one was taken out. `defects` are pairs of defect
    and severity ("" = not given). `trail` holds the stops behind this one, and `marked` is the key
    of the answer that the arrows point at, "" for none. `attempt_id` names the attempt being
    corrected, None for a new one; `where` and `criterion` are what the screen says about it, and
    `slight` how a slight fault counts. `grades` are the course's, to tell a stone of another grade,
    and `settled` the doubts that were answered. `differs` are tools of the set-up that are not
    those the set-up sheet says.
    """

    readings: tuple[Question, ...] = ()
    asked: bool = True
    others: Mapping[str, Question] = field(default_factory=dict)
    lists: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    known: Mapping[str, str] = field(default_factory=dict)
    origin: str = CARRIED_OVER
    answers: Mapping[str, str] = field(default_factory=dict)
    part: bool = False
    verdict: str = ""
    defects: tuple[tuple[str, str], ...] = ()
    stop: str = RESULT
    trail: tuple[str, ...] = ()
    typed: str | None = None
    marked: str = ""
    page: int = 0
    attempt_id: str | None = None
    where: str = ""
    criterion: str = ""
    slight: str = ""
    proposed: tuple[str, ...] = ()
    grades: "tuple[Grade, ...]" = ()
    settled: tuple[str, ...] = ()
    differs: "tuple[SetUpDiffers, ...]" = ()

    def question(self) -> Question | None:
        """The question at this stop; None at the result, a severity, a list and the finish."""
        asked = next((q for q in self.readings if q.field == self.stop), None)
        return asked or self.others.get(self.stop)

    def doubt(self) -> "Doubt | None":
        """What is doubtful about what stands so far and was not settled, or None."""
        values = {name: self.value(name) for name in (*RAISED_BY, "grade")}
        return first_doubt(values, self.grades, self.settled)

    def other_tools(self) -> "tuple[SetUpDiffers, ...]":
        """The tools of the set-up that are still not those the set-up sheet says."""
        return tuple(d for d in self.differs if self.value(d.field) != d.takes[d.field])

    def value(self, name: str) -> str:
        """What stands for a field now."""
        return self.answers.get(name, self.known.get(name, ""))

    def carried(self, name: str) -> bool:
        """Whether what stands for a field stood there before this attempt."""
        return name not in self.answers and bool(self.known.get(name))

    def origin_of(self, name: str) -> str:
        """Where a value comes from that stood there before this attempt."""
        return PROPOSED if name in self.proposed else self.origin

    def results(self) -> tuple[str, ...]:
        """The result as words: good, missed or the defects; empty where it is not judged."""
        return (self.verdict,) if self.verdict else tuple(d for d, _ in self.defects)

    def severity_of(self) -> str | None:
        """The defect whose severity is asked at this stop, or None."""
        head, _, defect = self.stop.partition(":")
        return defect if head == SEVERITY else None

    def rows(self) -> tuple[str, ...]:
        """The fields on the page shown of the list at this stop; empty elsewhere."""
        start = self.page * ROWS_A_PAGE
        return self.lists.get(self.stop, ())[start : start + ROWS_A_PAGE]

    def started(self) -> bool:
        """Whether anything was answered or typed that would be missed."""
        return bool(self.typed or changes_of(self))

    def failure(self) -> bool:
        """Whether the result fails as the house rule has it, with severities as given so far."""
        if self.verdict:
            return self.verdict == MISSED
        return any(fails(d, int(s or DEFAULT_SEVERITY), enclosed=True) for d, s in self.defects)

    def enter_saves(self) -> bool:
        """Whether all that is left is to save it."""
        return self.stop == FINISH and self.complete()

    def complete(self) -> bool:
        """Whether it can be saved: judged, or said how it ended."""
        return bool(self.results() or self.value(ENDED))

    def result_keys(self) -> Mapping[str, str]:
        """What each digit means at the result."""
        return PART_KEYS if self.part else RESULT_KEYS


def row_of(entry: Entry) -> dict[str, str]:
    """The attempt as a row of the record: field names and text, empty fields left out."""
    return {name: value for name, value in _row(entry).items() if value}


def changes_of(entry: Entry) -> dict[str, str]:
    """What differs from the values the entry started with; "" takes a value out."""
    return {
        name: value for name, value in _row(entry).items() if value != entry.known.get(name, "")
    }


def result_text(entry: Entry) -> str:
    """The result as people say it: "tilted, clearly + gap, slight", or "not judged"."""
    if entry.verdict:
        return entry.verdict
    sizes = [int(size) if size else None for _, size in entry.defects]
    return verdict([defect for defect, _ in entry.defects], sizes)


def with_result(entry: Entry, result: str, severity: str) -> Entry:
    """The entry with a result and severities as the record writes them."""
    words = [w.strip() for w in result.split(";") if w.strip()]
    weights = [w.strip() for w in severity.split(";")]
    if words in ([GOOD], [MISSED]):
        return replace(entry, verdict=words[0], defects=())
    padded = weights + [""] * len(words)
    return replace(entry, verdict="", defects=tuple(zip(words, padded, strict=False)))


def to_draft(entry: Entry) -> dict[str, object]:
    """The entry as plain values for the draft file; what the course and sizes say is read again."""
    plain = as_dict(replace(entry, grades=(), differs=()))
    del plain["grades"], plain["differs"], plain["marked"]
    return plain


def from_draft(draft: Mapping[str, Any]) -> Entry | None:
    """The entry of a draft file; None where the file holds something else.

    Only what the person gave is needed: a draft of an older program lacks later fields.
    """
    try:
        return Entry(
            readings=tuple(question_from(q) for q in draft.get("readings", ())),
            asked=bool(draft.get("asked", True)),
            others={name: question_from(q) for name, q in draft.get("others", {}).items()},
            lists={name: tuple(rows) for name, rows in draft.get("lists", {}).items()},
            known={str(k): str(v) for k, v in draft["known"].items()},
            origin=str(draft.get("origin", CARRIED_OVER)),
            answers={str(k): str(v) for k, v in draft["answers"].items()},
            part=bool(draft["part"]),
            verdict=str(draft["verdict"]),
            defects=tuple((str(d), str(s)) for d, s in draft["defects"]),
            stop=str(draft["stop"]),
            trail=tuple(str(s) for s in draft.get("trail", ())),
            typed=None if draft.get("typed") is None else str(draft["typed"]),
            page=int(draft.get("page", 0)),
            attempt_id=draft.get("attempt_id"),
            where=str(draft.get("where", "")),
            criterion=str(draft.get("criterion", "")),
            slight=str(draft.get("slight", "")),
            proposed=tuple(str(s) for s in draft.get("proposed", ())),
            settled=tuple(str(s) for s in draft.get("settled", ())),
        )
    except (KeyError, TypeError, ValueError, AttributeError):
        return None


def _row(entry: Entry) -> dict[str, str]:
    row = {**entry.known, **entry.answers, RESULT: ";".join(entry.results())}
    if entry.attempt_id is None and entry.carried(SEAT_TOOL) and not entry.value(SEAT):
        # What read the last seat is offered for the next one, and says nothing without one.
        row.pop(SEAT_TOOL)
    weighed = any(s for _, s in entry.defects)
    row[SEVERITY] = (
        ";".join(s or str(DEFAULT_SEVERITY) for _, s in entry.defects) if weighed else ""
    )
    return row
