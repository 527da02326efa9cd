"""The class for its instructor: a line a setter, what all share, whose eye is kind."""

from typing import TYPE_CHECKING

from platebook.advice.standing import QueueRow, Standing
from platebook.services.answers import today_at
from platebook.services.class_lines import class_lines
from platebook.services.class_roll import pupils
from platebook.services.crew import Crew
from platebook.services.desk import Desk
from platebook.services.inspecting import queued
from platebook.services.remembering import OF_A_CLASS, remembered
from platebook.services.watching import Watch, unwatched

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from platebook.analysis.agreement import Agreement
    from platebook.analysis.class_findings import ClassFindings
    from platebook.analysis.practising import Practice


def class_progress(
    desk: Desk,
    group: str | None = None,
    *,
    executor: "Executor | None" = None,
    watch: Watch = unwatched,
) -> tuple[Standing, ...]:
    """A line a setter, in the order of the roster."""
    return class_so_far(desk, group, executor=executor, watch=watch)[0]


def class_so_far(
    desk: Desk,
    group: str | None = None,
    *,
    executor: "Executor | None" = None,
    watch: Watch = unwatched,
) -> "tuple[tuple[Standing, ...], Practice]":
    """A line a setter, and how much all practised by week and what they used, from one reading."""
    from platebook.analysis.practising import together

    found, today = class_lines(desk, group, executor, watch), today_at(desk)
    practice = together(line.done for _, line in found).seen_on(today)
    return tuple(line.standing_on(today) for _, line in found), practice


def class_now(
    desk: Desk, group: str | None = None, *, watch: Watch = unwatched
) -> tuple[tuple[Standing, ...], tuple[QueueRow, ...]]:
    """The lines and the queue at once."""
    found, today = class_lines(desk, group, None, watch), today_at(desk)
    return tuple(line.standing_on(today) for _, line in found), queued(desk, found)


def class_findings(
    desk: Desk,
    group: str | None = None,
    *,
    executor: "Executor | None" = None,
    watch: Watch = unwatched,
) -> "ClassFindings":
    """What goes with failure across the class, kept until one of them logs something.

    Each setter's failures are those of their own course.
    """
    from platebook.analysis.class_findings import ClassFindings
    from platebook.analysis.find_class import find_class, found_in

    some = pupils(desk, group)
    logs = [one for one in some if one.attempts]
    if not logs:
        return find_class({})

    def work_out() -> ClassFindings:
        from platebook.services.class_asking import AskedSetters

        with Crew(executor) as crew:
            return found_in(AskedSetters(desk, logs, crew=crew, watch=watch))

    return remembered(
        ClassFindings,
        work_out,
        logbook=desk.path,
        setter_id=f"{OF_A_CLASS}-of-{len(some)}",
        digest="\n".join(f"{one.setter_id} {one.called} {one.rests_on}" for one in logs),
    )


def eyes(
    desk: Desk,
    group: str | None = None,
    *,
    executor: "Executor | None" = None,
    watch: Watch = unwatched,
) -> "dict[str, Agreement]":
    """How far each setter's eye agrees with the inspections of their drawn positions, by name."""
    return {one.called: line.eye for one, line in class_lines(desk, group, executor, watch)}
