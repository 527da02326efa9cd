"""The setter chooses: another grade or exercise than suggested, or a block that settles a lead.

| function | does |
|---|---|
| `practise` | from now on this grade or exercise |
| `settle` | a block that settles a lead, or the rest of one that was begun |
| `as_suggested` | back to what is suggested |
| `with_block_of` | rows of the kind block become the settings of the block under way |
| `take_back` | undo of a choice after which nothing was changed yet |
"""

from collections.abc import Mapping, Sequence

from platebook.advice.blocks import grade_of_lead, lay_out, planned_names, runs_left
from platebook.advice.choices import effect_of, exercise_meant
from platebook.advice.exercise import Choice
from platebook.advice.replay import Replay
from platebook.advice.suggestion import exercise_after
from platebook.logbook import Logbook
from platebook.logbook.attempts.attempt_queries import select_attempts
from platebook.logbook.attempts.wanted_attempts import Wanted
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course import Course, Exercise, Grade
from platebook.practice.problem import Problem
from platebook.services.answers import Basis, basis_in, basis_of, hand_of, sizes_at
from platebook.services.findings import findings
from platebook.services.now.next_up import advise, lacking
from platebook.services.now.own_choice import (
    block_begun,
    choice_in,
    choice_mark,
    forget_last,
    keep_choice,
    last_choice,
)
from platebook.services.session import Refused, Session, opened, setter_in_use, today_at
from platebook.trade.phrases import count_of, several
from platebook.values import Value

SETTLE_IN_FINDINGS = "A block settles a lead: choose the lead in Findings, then s settles it."
"""What an exercise of the kind block is answered with where somebody chooses it by itself."""

NOT_LOGGED_YET = (
    "a setting of the block that is not in the log yet; both are kept, and the Log takes one out"
)
"""Said of the second of two, as when a window and a command each logged the block's next one."""


class Chosen(Value):
    """What was chosen, in a sentence, and what it does or wants, a sentence each."""

    sentence: str
    effects: tuple[str, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """All of it, a sentence each."""
        return (self.sentence, *self.effects)

    @property
    def words(self) -> str:
        """All of it in one text."""
        return " ".join(self.sentences)


def practise(session: Session, *, grade: str | None = None, exercise: str | None = None) -> Chosen:
    """Practise this grade or exercise from now on; Refused for what the course does not have."""
    with opened(session, make=False) as book:
        setter = setter_in_use(session, book)
        basis = basis_in(book, setter)
    replay, suggested = _suggested(session, basis)
    at = _grade(basis.course, grade or suggested)
    meant = _exercise(basis.course, exercise)
    lacks = lacking(at, sizes_at(basis, at, hand_of(session, basis)), basis.drawer)
    day = today_at(session).isoformat()
    with opened(session, make=False) as book:
        choice = Choice(by=session.author, day=day, grade=grade, exercise=meant.id)
        keep_choice(book, setter.setter_id or "", choice)
    effects = effect_of(replay, at, meant, again=basis.replay)
    return Chosen(f"Your choice: {meant.title}, {at.title}.", (*effects, *lacks))


def settle(session: Session, variable: str, defect: str) -> Chosen:
    """Lay out a block that settles whether this makes a difference to this defect.

    It is set where that defect came out of late, whatever grade is suggested. One of the same lead
    that was begun and left is gone on with. Refused, with the reason, where a block cannot settle
    it, or the drawer lacks a second size.
    """
    with opened(session, make=False) as book:
        setter = setter_in_use(session, book)
        basis, begun = basis_in(book, setter), block_begun(book, setter.setter_id or "")
    grade = grade_of_lead(defect, basis.attempts, basis.course)
    if grade is None:
        _, suggested = _suggested(session, basis)
        grade = _grade(basis.course, suggested)
    sizes = sizes_at(basis, grade, hand_of(session, basis))
    if sizes is None:
        raise Refused(f"{grade.title}: without sizes for its stone no block can be laid out.")
    made = lay_out(
        variable,
        defect,
        grade=grade.id,
        sizes=sizes,
        drawer=basis.drawer,
        attempts=basis.attempts,
        whose=setter.setter_id or "",
    )
    if isinstance(made, str):
        raise Refused(made)
    same = begun is not None and (begun.settles, begun.defect) == (made.settles, made.defect)
    if begun is not None and same and runs_left(begun, basis.attempts):
        made = begun
    day = today_at(session).isoformat()
    with opened(session, make=False) as book:
        choice = Choice(by=session.author, day=day, block=made)
        keep_choice(book, setter.setter_id or "", choice)
    left = count_of(len(runs_left(made, basis.attempts)), "setting")
    at, plan = _grade(basis.course, made.grade), made.plan
    return Chosen(
        f"Block {plan.number}: {left} at {at.title}, one after the other on Now.",
        (
            (
                f"It varies {several(planned_names(plan))} in an order drawn by lot "
                f"(seed {plan.seed})."
            ),
            "It moves neither points nor the working grade.",
        ),
    )


def defect_of_lead(session: Session, variable: str) -> str:
    """The defect of the strongest finding about this variable; Refused where there is none."""
    known = findings(session).findings
    defect = next((finding.defect for finding in known if finding.variable == variable), None)
    if defect is None:
        names = several(list(dict.fromkeys(f.variable for f in known))) or "nothing yet"
        raise Refused(f"settle: read {variable!r}, and the findings name {names}")
    return defect


def with_block_of(
    book: Logbook, setter_id: str | None, rows: Sequence[Mapping[str, object]]
) -> list[Mapping[str, object]]:
    """The rows; one of the kind block without a block is the next setting of the one under way."""
    open_ones = [row.get("kind") == "block" and not row.get("block") for row in rows]
    choice = choice_in(book, setter_id) if setter_id is not None and any(open_ones) else None
    if choice is None or choice.block is None:
        return list(rows)
    block, log = choice.block, book.ask(select_attempts, Wanted(setter_id=setter_id))
    left = iter(runs_left(block, log))
    done: list[Mapping[str, object]] = []
    for row, is_open in zip(rows, open_ones, strict=True):
        run = next(left, None) if is_open else None
        planned: dict[str, object] = {}
        if run is not None:
            levels = block.levels_of(run)
            planned = {"block": block.name, "block_run": run.run, "block_levels": levels}
            planned |= {} if row.get("grade") else {"grade": block.grade}
        done.append({**row, **planned})
    return done


def logged_before(
    book: Logbook, setter_id: str | None, attempts: Sequence[Attempt]
) -> tuple[Problem, ...]:
    """A notice for each setting of a block that is in the log already, as from another window.

    Both are kept: which of them is the block's, nobody but its setter knows.
    """
    blocks = {attempt.block for attempt in attempts if attempt.block_run is not None}
    if setter_id is None or not blocks:
        return ()
    log = book.ask(select_attempts, Wanted(setter_id=setter_id))
    done = {(attempt.block, attempt.block_run) for attempt in log if attempt.block in blocks}
    return tuple(
        Problem(row, "block_run", str(attempt.block_run), NOT_LOGGED_YET, level="notice")
        for row, attempt in enumerate(attempts, 1)
        if attempt.block_run is not None and (attempt.block, attempt.block_run) in done
    )


def as_suggested(session: Session) -> str:
    """Go back to what is suggested; a block begun waits until its lead is settled again."""
    with opened(session, make=False) as book:
        setter_id = setter_in_use(session, book).setter_id or ""
        if choice_in(book, setter_id) is None:
            return "It is what is suggested already."
        keep_choice(book, setter_id, None)
    return f"As suggested again: {_next_title(session)}."


def choice_to_take_back(session: Session) -> str:
    """The mark of the choice that `take_back` would undo; empty for none."""
    if session.setter_id is None or not session.path.exists():
        return ""
    with opened(session, make=False) as book:
        kept = last_choice(book, session.setter_id)
        return choice_mark(book, session.setter_id) if kept is not None else ""


def take_back(session: Session) -> str | None:
    """Undo the last choice, where nothing was changed after it; None where there is none."""
    if session.setter_id is None or not session.path.exists():
        return None
    with opened(session, make=False) as book:
        kept = last_choice(book, session.setter_id)
        if kept is None:
            return None
        forget_last(book, session.setter_id, kept)
    return f"Taken back: what was chosen. Next: {_next_title(session)}."


def _suggested(session: Session, basis: Basis) -> tuple[Replay, str]:
    """The log played again, and the grade that is suggested, whatever was chosen."""
    replay = basis.replay()
    return replay, exercise_after(replay, today=today_at(session), track=basis.track).grade


def _next_title(session: Session) -> str:
    advice = advise(basis_of(session), today_at(session))
    return f"{advice.title}, {advice.grade_title}"


def _grade(course: Course, wanted: str) -> Grade:
    grade = course.grade(wanted)
    if grade is None:
        ids = ", ".join(g.id for g in course.grades)
        raise Refused(f"grade: read {wanted!r}, expected one of: {ids}")
    return grade


def _exercise(course: Course, wanted: str | None) -> Exercise:
    exercise = exercise_meant(course, wanted)
    if exercise is None:
        ids = ", ".join(e.id for e in course.exercises)
        raise Refused(f"exercise: read {wanted!r}, expected one of: {ids}")
    if exercise.kind == "block":
        raise Refused(SETTLE_IN_FINDINGS)
    return exercise
