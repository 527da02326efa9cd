"""What comes next for a setter, whoever chose it, with the sizes for it.

| function | gives |
|---|---|
| `advise` | the suggestion, or what stands in its place: somebody's choice, a plate under way |
| `next_with_sizes` | the same for the setter in use, with the sizes |
| `lacking` | what a grade wants that the drawer does not hold |
"""

from datetime import date
from typing import TYPE_CHECKING

from platebook.practice.courses.course import Grade
from platebook.services.answers import Basis, basis_of, hand_of, sizes_at
from platebook.services.plates import plate_view
from platebook.services.session import Session, today_at
from platebook.trade import Drawer, SetUpSheet
from platebook.trade.phrases import several

if TYPE_CHECKING:
    from platebook.advice.exercise import NextExercise
    from platebook.advice.replay import Replay


def advise(basis: Basis, today: date, replay: "Replay | None" = None) -> "NextExercise":
    """What this setter does next on this day.

    `replay` is their log played again, where it was already.
    """
    from platebook.advice.choices import by_choice, on_this_plate
    from platebook.advice.suggestion import exercise_after

    replay = replay or basis.replay()
    suggested = exercise_after(replay, today=today, track=basis.track)
    if basis.choice is not None:
        chosen = by_choice(replay, basis.choice, suggested)
        if chosen is not None:
            return chosen
    view = plate_view(basis.attempts, basis.plates)
    free = sum(not cell.sign for cell in view.cells)
    return on_this_plate(
        replay, suggested, plate=view.name, free=free, today=today, again=basis.replay
    )


def next_with_sizes(
    session: Session, basis: Basis | None = None
) -> "tuple[NextExercise, SetUpSheet | None]":
    """What this setter practises next and why, with the sizes for it from their drawer.

    `basis` is the session's, where it was read already.
    """
    basis = basis or basis_of(session)
    advice = advise(basis, today_at(session))
    return advice, sizes_at(basis, basis.course.grade(advice.grade), hand_of(session, basis))


def lacking(grade: Grade, sizes: SetUpSheet | None, drawer: Drawer) -> tuple[str, ...]:
    """Which tools this grade wants that the drawer does not hold, in a sentence.

    Nothing is said of an empty drawer: nobody told what lies in it.
    """
    if sizes is None or not drawer.tools:
        return ()
    wanted = (
        ("pilot drill", sizes.pilot_drill),
        ("opening bur", sizes.opening_bur),
        ("seat bur", sizes.seat_bur),
    )
    missing = [f"{name} {tool.choose_mm:.2f}" for name, tool in wanted if tool.from_ == "to buy"]
    if not missing:
        return ()
    return (f"{grade.title} wants what is not in the drawer: {several(missing)}.",)
