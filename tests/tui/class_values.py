"""Values of an invented class that the screens show in tests: its people, its queue, its looks."""

from datetime import UTC, date, datetime
from typing import Any

from tests.builders import a_setter_line

from platebook.advice.class_standing import GradeState, QueueReason, QueueRow, SetterLine
from platebook.analysis.findings.deciding.support import support_of
from platebook.analysis.findings.telling.results import ClassFinding, ClassFindings, Count, Personal
from platebook.analysis.grades.states import State
from platebook.analysis.periods.practice_by_week import Practice, Used, Week
from platebook.practice.people.received import Received, SeenLook, Word
from platebook.practice.records import ClassTerm, Setter, Teacher
from platebook.practice.results import Outcome
from platebook.services.classes.enrolment import ListedClass
from platebook.services.classes.last_looks import AtTheirGrade
from platebook.services.classes.second_look import AgainRow
from platebook.services.people.keys import ListedKey
from platebook.services.people.setters import ListedSetter
from platebook.services.people.teachers import ListedTeacher
from platebook.services.sharing.share_ahead import Heard
from platebook.services.sharing.who_is_mine import Waiting
from platebook.trade import Sheet, Stone, size
from platebook.values import replace


def some_class_findings() -> ClassFindings:
    """One thing that two setters share, and one that is one setter's own."""
    sentence = (
        "Loose went with a stone that drops in and moves: 9 of 14, against 6 of 61 otherwise."
    )
    return ClassFindings(
        setters=2,
        attempts=75,
        failures=24,
        common=(
            ClassFinding(
                variable="fit",
                family="width of the seat",
                defect="loose",
                direction="higher",
                status="claim",
                counts=(
                    Count(label="it moves", failed=9, of=14),
                    Count(label="-", failed=6, of=61),
                ),
                support=support_of(
                    (Count(label="", failed=9, of=14), Count(label="", failed=6, of=61)), "claim"
                ),
                odds_ratio=2.4,
                odds_ratio_per="one standard deviation more",
                low=1.5,
                high=3.9,
                posterior=0.97,
                share=0.003,
                holds_for=2,
                of_setters=2,
                stays_first=True,
                sentence=sentence,
                notes=("2 of 2 setters point the same way.",),
            ),
        ),
        personal=(
            Personal(
                setter="Bram Osk",
                variable="lubricant",
                family="lubricant",
                defect="marred",
                direction="none",
                counts=(
                    Count(label="lubricant none", failed=4, of=6),
                    Count(label="lubricant wax", failed=2, of=30),
                ),
                posterior=0.61,
                share=0.12,
                sentence="Marred metal went with no lubricant: 4 of 6, against 2 of 30 with wax.",
            ),
        ),
        not_judged=(),
        checked="Checked 12 variables against failure as a whole and against 2 defects.",
        answer=(
            "2 setters, 75 attempts judged, 24 failed.",
            "What the class shares stands first; each setter's own lead is worth watching at most.",
            "Checked 12 variables against failure as a whole and against 2 defects.",
        ),
    )


EVERYONE = (
    ListedSetter(Setter(setter_id="s1", name="Ottoline Marsh", group="Thursday"), 37, in_use=True),
    ListedSetter(Setter(setter_id="s2", name="Bram Osk", group="Thursday"), 1, in_use=False),
)


PRACTISED = Practice(
    weeks=tuple(
        Week(f"2026-01-{5 + 7 * n:02}" if n < 4 else f"2026-02-{7 * n - 26:02}", count, 1)
        for n, count in enumerate((3, 5, 8, 0, 4, 6, 7, 4))
    ),
    recent=True,
    a_week=37 / 8,
    stones=(Used("1.5 mm", 13), Used("2.0 mm", 24)),
    burs=(Used("1.90 mm hart", 37),),
)


def _a_standing(setter_id: str, name: str, **values: Any) -> SetterLine:
    grades = _grades("passed", "slipping", "practised", "ahead")
    known = a_setter_line(setter_id=setter_id, name=name, practice=PRACTISED, grades=grades)
    return replace(known, **values)


def _grades(*states: State) -> tuple[GradeState, ...]:
    return tuple(GradeState(f"copper-{n}", state) for n, state in enumerate(states))


def _due(attempt_id: str, setter: str, sentence: str, *, drawn: bool) -> QueueRow:
    why = "drawn" if drawn else "stuck"
    setter_id = next((line.setter_id for line in STANDINGS if line.name == setter), "")
    reasons = () if drawn else (QueueReason(why, sentence), QueueReason("not looked at", NEVER))
    whole = sentence if drawn else f"{sentence}; {NEVER}"
    row = QueueRow(attempt_id, setter, "copper-1.5", "B", "3", why, whole, drawn)
    return replace(row, setter_id=setter_id, reasons=reasons)


NEVER = "never looked at"
STUCK = (
    "stuck at 1.5 mm in copper: low for 40 settings, "
    "about 31 in 100 come out good now (may be 20 to 44)"
)


LATELY: tuple[Outcome, ...] = ("failed", "failed", "slight")

STANDINGS = (
    _a_standing("s1", "Ottoline Marsh"),
    _a_standing("s2", "Bram Osk", defect="high", clock=None, last=LATELY, good_to_go=11),
    replace(
        _a_standing("s3", "Cleo Vane", attempts=0, grade="", state="", last=(), defect=""),
        grades=(),
        days_since=None,
        last_day="",
    ),
)
QUEUE = (
    _due("q1", "Bram Osk", STUCK, drawn=False),
    _due("q2", "Ottoline Marsh", "drawn at random", drawn=True),
)
KEYS = (
    ListedKey(
        "Bram Osk",
        "s2",
        "2F7K-9QXM",
        datetime(2026, 1, 3, 18, tzinfo=UTC),
        "first met",
        signs_here=False,
        may_change=False,
    ),
)
AGAIN = (
    AgainRow("g1", "copper-2.0", "C", "4", "2.0 mm in copper"),
    AgainRow("g2", "copper-2.0", "C", "7", "2.0 mm in copper"),
)


TEACHER = ListedTeacher(
    Teacher(teacher_id="t", name="Isolde Crane"), ("Thursday",), "", in_use=False
)
STRANGER = Waiting("w", "Fay Moor", 2, "fay.platebook", "folder")
CLASSES = tuple(
    ListedClass(
        ClassTerm(class_id=name[:3].casefold(), name=name, begins=date(2026, 1, day)),
        members=12,
        ever=12,
        teachers=(),
        runs=True,
        recorded=True,
        called=name,
    )
    for name, day in (("Thursday", 8), ("Saturday", 10))
)


def some_received() -> Received:
    """A look with a comment, one without, and a message to the class."""
    look = SeenLook(
        inspection_id="i1",
        attempt_id="a0",
        by="Edda Vale",
        looked="2026-03-03",
        grade="copper-2.0",
        plate="C",
        position="3",
        own_result=("good",),
        own_severity=(),
        result=("tilted",),
        severity=(2,),
        clock=4,
        comment="Level it before the first pass; the far side was up.",
        new=True,
    )
    plain = replace(
        look,
        inspection_id="i2",
        attempt_id="a1",
        position="2",
        result=("good",),
        comment="",
        severity=(),
        clock=None,
    )
    word = Word(
        "m1", "message", "Edda Vale", "2026-03-04", "Thursday", "Bring a x10 loupe.", new=True
    )
    return Received((look, plain), (word,))


def at_their_grade(setter_id: str, grade: str) -> AtTheirGrade:
    """Two looks at their work, and what its grade wants."""
    sizes = size(Stone(diameter_mm=1.5), Sheet(sheet_mm=0.8, metal="copper"))
    return AtTheirGrade(setter_id, grade, some_received().looks, sizes)


NEWS = "Edda Vale looked at 2 of yours, one with a comment; a message from Edda Vale: l opens them"

HEARD = (
    Heard("Bram Sedge", date(2025, 12, 4), 34),
    Heard("Ada Quill", date(2026, 1, 6), 1, more=True),
)

CAME = (
    "8 attempts came in from 1 other; what is yours has gone out.",
    "Your bundle there holds 12 entries for others to take in.",
    "Ada Quill: came in, new or changed: 8 attempts.",
    "9 bundles are as they were: nothing new.",
)
