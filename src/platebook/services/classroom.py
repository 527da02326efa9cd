"""The class for its instructor: a line each, what all share, whose eye is kind."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from platebook.advice.standing import Standing
from platebook.services.answers import today_at
from platebook.services.crew import Crew
from platebook.services.desk import Desk
from platebook.services.members import Member, members
from platebook.services.remembering import OF_A_CLASS, remembered
from platebook.services.watching import Watch, unwatched

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from platebook.analysis.agreement import Agreement
    from platebook.analysis.class_findings import ClassFindings
    from platebook.analysis.practising import Practice
    from platebook.services.class_work import Line


def class_progress(
    desk: Desk,
    group: str | None = None,
    *,
    executor: "Executor | None" = None,
    watch: Watch = unwatched,
) -> tuple[Standing, ...]:
    """A line a setter, in the order of the roster."""
    today = today_at(desk)
    found = lines_of(desk, group, executor=executor, watch=watch)
    return tuple(line.standing_on(today) for _, line in found)


def class_practice(
    desk: Desk, group: str | None = None, *, executor: "Executor | None" = None
) -> "Practice":
    """How much the class practised by week, and what it used, all together."""
    from platebook.analysis.practising import seen_on

    found = lines_of(desk, group, executor=executor)
    return seen_on(today_at(desk), *(line.tally for _, line in found))


def class_findings(
    desk: Desk,
    group: str | None = None,
    *,
    executor: "Executor | None" = None,
    watch: Watch = unwatched,
) -> "ClassFindings":
    """What goes with failure across the class, kept until one of them logs something.

    Each setter's attempts are judged by the course that the setter follows.
    """
    from platebook.analysis.class_findings import ClassFindings
    from platebook.analysis.find_class import find_class, found_in

    some = members(desk, group)
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
    found = lines_of(desk, group, executor=executor, watch=watch)
    return {one.called: line.eye for one, line in found}


def lines_of(
    desk: Desk,
    group: str | None = None,
    *,
    executor: "Executor | None" = None,
    watch: Watch = unwatched,
) -> "list[tuple[Member, Line]]":
    """The setters of a group, or of the whole logbook, each with their line."""
    return lines_for(desk, members(desk, group), executor=executor, watch=watch)


def lines_for(
    desk: Desk,
    some: Sequence[Member],
    *,
    executor: "Executor | None" = None,
    watch: Watch = unwatched,
) -> "list[tuple[Member, Line]]":
    """These setters, each with their line."""
    from platebook.services.class_lines import lines

    with Crew(executor) as crew:
        return list(zip(some, lines(desk, some, crew=crew, watch=watch), strict=True))
