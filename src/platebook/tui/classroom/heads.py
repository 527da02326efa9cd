"""The headlines of the class, its queue and a plate to judge: whose work first, and why."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.content import Content

from platebook.reports.text.class_text import who_has_reasons
from platebook.reports.text.figures import place_in_queue
from platebook.trade.phrases import count_of
from platebook.tui.parts.headline import Head, bar
from platebook.tui.parts.text import line, stack, txt

if TYPE_CHECKING:
    from platebook.advice.class_standing import QueueRow, SetterLine
    from platebook.services.classes.compare import Comparison
    from platebook.services.classes.plate_looks import PlateToJudge

NOBODY = (
    "Nobody is in the class yet: m makes a class from a list of names, b adds a person, S takes in"
    " what others share."
)
NOTHING_YET = "Nobody has logged anything yet: S takes in what they share."
NO_CLASS_YET = f"{NOTHING_YET} m makes a class."
EMPTY = "Nothing waits to be looked at."
NOTHING_PRESSES = "nobody stands out."
BY_STUDENT = "Student by student; o puts the weightiest reason on top."
SENT = "They read it once both of you have shared. Enter writes it, Esc leaves it."
ALL_JUDGED = "All are judged; their own verdicts stand beside yours."
BLIND = "Their own verdict is told when yours is in."


def with_reasons(queue: "Sequence[QueueRow]") -> "list[QueueRow]":
    """What somebody has a reason to look at; the others were only drawn at random."""
    return [row for row in queue if row.reasons]


def waiting_words(queue: "Sequence[QueueRow]") -> str:
    """How many wait with a reason, how many were only drawn at random and what for; or empty.

    And how many people stand in the queue both ways. Of a single row the title says the reason.
    """
    pressing = len(with_reasons(queue))
    if len(queue) == pressing == 1:
        return ""
    drawn = len(queue) - pressing
    told = [f"{pressing} with a reason"] if pressing else []
    told += [f"{drawn} at random to see how eyes agree"] if drawn else []
    both = len(who_has_reasons(queue) & {row.setter_id for row in queue if not row.reasons})
    twice = f" ({count_of(both, 'person', 'people')} in both)" if both else ""
    return f"{', '.join(told)}{twice}." if told else ""


def class_head(called: str, standings: "Sequence[SetterLine]", queue: "Sequence[QueueRow]") -> Head:
    """Whose work to look at first and why; what all share; how many wait for a look."""
    from platebook.advice.class_standing import topic

    of_class = f"{line(called)}: " if called else ""
    quiet = txt(" ".join(filter(None, (topic(standings), waiting_words(queue)))), "$muted")
    pressing = with_reasons(queue)
    if not pressing:
        nothing = NOTHING_PRESSES if called else NOTHING_PRESSES.capitalize()
        begun = any(setter.attempts for setter in standings)
        not_begun = NOTHING_YET if called else NO_CLASS_YET
        none = nothing if queue else EMPTY if begun else not_begun if standings else NOBODY
        return Head(txt(f"{of_class}{none}"), quiet)
    first = pressing[0]
    alone = "" if len(standings) == 1 else " first"
    title = Content.assemble(
        of_class, (line(first.setter), "bold"), f"{alone}: {line(first.reasons[0].sentence)}"
    )
    return Head(title, quiet)


def queue_head(called: str, queue: "Sequence[QueueRow]", *, by_student: bool) -> Head:
    """Which position to look at first; how many wait, and how many were only drawn."""
    of_class = f"{line(called)}: " if called else ""
    if not queue:
        return Head(txt(f"{of_class}{EMPTY}"))
    pressing = with_reasons(queue)
    first = (pressing or queue)[0]
    where = line(place_in_queue(first))
    look = "look" if called else "Look"
    title = txt(f"{of_class}{look} first at {line(first.setter)}, {where}")
    order = BY_STUDENT if by_student else ""
    quiet = txt(" ".join(filter(None, (waiting_words(queue), order))), "$muted")
    if not pressing:
        return Head(title, quiet)
    why = txt(first.reasons[0].sentence)
    return Head(title, why, quiet)


def terms_head(comparison: "Comparison") -> Head:
    """This term after so many weeks, and under it the ones before."""
    head, this, *before = comparison.sentences
    earlier = stack(*(txt(sentence, "$muted") for sentence in before))
    return Head(txt(head.removesuffix(":")), txt(this), earlier)


def message_head(whom: str) -> Head:
    """Whom a message goes to, and when they read it."""
    return Head(txt(f"A message to {line(whom)}"), txt(SENT, "$muted"))


def plate_head(plate: "PlateToJudge", judged: int, of: int) -> Head:
    """Whose plate, how far it is judged, and how many are left."""
    title = f"{line(plate.setter)}: plate {line(plate.plate)}"
    far = Content.assemble(bar(judged, of), f"  {judged} of {of} judged")
    left = of - judged
    if not left:
        return Head(txt(title), far, txt(ALL_JUDGED, "$muted"))
    return Head(txt(title), far, txt(BLIND, "$muted"), number=str(left), caption="to judge")
