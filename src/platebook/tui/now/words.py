"""The next exercise as words on the screen."""

from typing import TYPE_CHECKING

from textual.content import Content

from platebook.analysis.grades.states import TO_BE_PASSED
from platebook.analysis.success.share_good import share_words
from platebook.reports.text.figures import (
    FINDINGS,
    GRADES,
    PARTS_DO_NOT_COUNT,
    RETIRED,
    outlook_words,
)
from platebook.trade.phrases import as_sentence, count_of, days_ago, several
from platebook.tui.now.start_keys import digit_hint
from platebook.tui.parts.headline import Head, bar, to_go_words
from platebook.tui.parts.signs import signs_before, with_slight
from platebook.tui.parts.text import line, stack, txt

if TYPE_CHECKING:
    from platebook.services.now.minding import Minding
    from platebook.services.now.now_view import NowView


SET_ASIDE = frozenset({"chosen", "block", "plate"})
"""Purposes that set the suggestion aside; what it would be is told with them."""
WORD_PARTS = ("exercise", "standing", "steps", "why", "cautions")

GO_ON = "Enter goes on where you left off; a new attempt waits until that one is done."
EITHER = "Enter starts it, or goes on where you left off."
"""Said before it is known whether something is unfinished."""


ALONE_COUNT = "which alone count for those to go"
"""Said of a part, where a grade's points stand above it."""


def parts_of(
    view: "NowView",
    *,
    unfolded: bool,
    minding: "Minding | None" = None,
    unfinished: bool | None = False,
) -> dict[str, Content]:
    """All words of Now by name; the steps are empty where they are folded away.

    `minding` is what the findings say today, None before they stand. While something is
    `unfinished` no key starts anything new; None says that this is not known yet.
    """
    first = [empty_part()] if not view.attempts else []
    keys = txt(EITHER if unfinished is None else GO_ON)
    if unfinished is False:
        keys = asked_part(view)
    return {
        **head_of(view, minding).parts(),
        "exercise": stack(*first, exercise_part(view), keys),
        "standing": standing_part(view),
        "steps": steps_part() if unfolded else txt(""),
        "why": why_part(view, minding),
        "cautions": cautions_part(view),
    }


def where_of(view: "NowView") -> str:
    """Exercise, grade and position in one line."""
    parts = [view.exercise_title, view.grade_title]
    if view.plate is not None and view.plate.next_position:
        parts.append(f"plate {view.plate.name} position {view.plate.next_position}")
    return " · ".join(part for part in parts if part)


def go_line(view: "NowView") -> str:
    """How many good ones are to go, if any, or a block's plan, and whether readings are asked."""
    asked = "readings asked" if view.readings_asked and view.readings else "no readings asked"
    if view.advice.run is not None:
        return f"planned: {_planned(view)}; {asked}"
    if view.waits:
        return f"waits for an instructor's sign-off, {asked}"
    if not view.good_to_go:
        return f"passed already, {asked}"
    aside = f" ({PARTS_DO_NOT_COUNT})" if view.advice.kind == "part" else ""
    return f"{count_of(view.good_to_go, 'good one')} to go{aside}, {asked}"


def head_of(view: "NowView", minding: "Minding | None" = None) -> Head:
    """What to set, how far this grade is, what to mind, and how many good ones are to go."""
    title = Content.assemble((line(view.exercise_title), "bold"), f" · {line(view.grade_title)}")
    number, caption = "", ""
    if view.advice.state in TO_BE_PASSED and view.advice.run is None:
        number = str(view.good_to_go)
        caption = to_go_words(view.good_to_go)
    return Head(title, _how_far(view), mind_part(minding), number, caption)


def _how_far(view: "NowView") -> Content:
    """The grade's points as a bar and its state; the last eight, and the share good now."""
    advice = view.advice
    sign = GRADES[advice.state]
    points = f"{view.points} of {count_of(view.promote_at, 'point')}"
    share = _share(view)
    said = f"{sign.drawn} {sign.words}, {points}"
    far = Content.assemble(bar(view.points, view.promote_at, 11), f" {said}")
    far = with_slight(far, view.last)
    lately = signs_before(view.last, share)
    return stack(far, lately) if lately else far


def _share(view: "NowView") -> str:
    """How many of a hundred come out good now; empty where that is not known."""
    advice = view.advice
    return share_words(advice.good_now, advice.good_now_low, advice.good_now_high)


def exercise_part(view: "NowView") -> Content:
    """What to do, when it is good, and what will be asked."""
    return stack(
        *_choice_lines(view),
        txt(view.task),
        Content.assemble(("Good when: ", "$muted"), line(view.criterion)),
        *([txt(view.advice.slight, "$muted")] if view.advice.slight else []),
    )


def _choice_lines(view: "NowView") -> list[Content]:
    """Whose choice it is, and the key back to the suggestion; a block's plan for this setting."""
    advice = view.advice
    if not advice.chosen_by:
        return []
    own = advice.chosen_by == view.setter
    whose = "your own choice" if own else f"chosen by {line(advice.chosen_by)}"
    head = Content.assemble(
        (f"{whose}; ", "$accent"), ("o ", "bold $accent"), "goes back to what is suggested"
    )
    if advice.run is None:
        return [head]
    return [head, Content.assemble(("Planned: ", "bold"), line(_planned(view)))]


def _planned(view: "NowView") -> str:
    """What the setting of a block is done with; empty where it is none."""
    from platebook.advice.blocks import planned_text

    return planned_text(view.advice.run) if view.advice.run is not None else ""


def mind_part(minding: "Minding | None") -> Content:
    """What the findings say today: thanks for what has gone, then what to mind, in a line each."""
    if minding is None:
        return txt("")
    thanks, mind = minding.thanks, minding.mind
    return stack(
        *([txt(thanks.brief, "$good")] if thanks is not None else []),
        *([txt(f"{FINDINGS[mind.status].drawn} {mind.brief}", "bold")] if mind is not None else []),
    )


def asked_part(view: "NowView") -> Content:
    """Whether readings are asked, said before the attempt begins, and the keys that follow."""
    if view.readings_asked and view.readings:
        names = ", ".join(line(reading.label) for reading in view.readings)
        asked, hint = Content.assemble(("Readings asked: ", "bold"), names), digit_hint(view)
        return asked if hint is None else stack(asked, hint)
    if view.advice.part == "seeing":
        return Content.assemble(("Judged blind: ", "bold"), "Enter shows the reference plates")
    return Content.assemble(("No readings asked: ", "bold"), "g then Enter logs a good one")


def why_part(view: "NowView", minding: "Minding | None" = None) -> Content:
    """Why this exercise, what is set aside, what the findings count, and what the drawer lacks."""
    aside = view.advice.changes if view.advice.purpose in SET_ASIDE else ()
    seeing = (view.seeing,) if view.seeing else ()
    return stack(
        txt("why", "$muted"),
        *(txt(f"· {why}") for why in (*_reasons(view), *aside, *seeing)),
        *_counted(minding),
        *(Content.assemble(("! ", "bold $text-warning"), line(w)) for w in view.wants),
    )


def _reasons(view: "NowView") -> list[str]:
    """Why this exercise, without the share of good ones that the headline says already."""
    share = _share(view)
    if not share:
        return list(view.advice.why)
    said = as_sentence(share)
    return [why.replace(f": {share}.", ".") for why in view.advice.why if why != said]


def _counted(minding: "Minding | None") -> list[Content]:
    """What the line in the headline rests on, with how sure it is."""
    said = (minding.thanks, minding.mind) if minding is not None else ()
    known = [each for each in said if each is not None]
    signs = [RETIRED if each.gone else FINDINGS[each.status] for each in known]
    return [
        txt(f"{sign.drawn} {sign.title}: {each.counts}")
        for sign, each in zip(signs, known, strict=True)
    ]


def standing_part(view: "NowView") -> Content:
    """How much was practised and what of it counts, and what lies ahead at this grade."""
    return stack(txt(_practised(view)), *(txt(words, "$muted") for words in _ahead(view)))


def _ahead(view: "NowView") -> list[str]:
    """The outlook."""
    advice = view.advice
    if advice.state not in TO_BE_PASSED or advice.forecast is None:
        return []
    return [outlook_words(advice.forecast)]


def cautions_part(view: "NowView") -> Content:
    """What to mind at the bench."""
    return stack(*(Content.assemble(("! ", "bold $text-warning"), line(c)) for c in view.cautions))


def steps_part() -> Content:
    """One setting step by step, each with what to mind at it."""
    from platebook.trade.cautions import step_cautions, work_steps

    lines = [txt("step by step (s folds it away; your teacher's order comes first)", "$muted")]
    warned: set[str] = set()
    for number, step in enumerate(work_steps(), 1):
        head = (f"{number:>2} {line(step.name)}: ", "bold")
        lines.append(Content.assemble(head, line(step.say)))
        minded = step_cautions(step.caution)
        if minded is not None and step.caution not in warned:
            warned.add(step.caution)
            words = " ".join(line(sentence) for sentence in minded.say)
            lines.append(Content.assemble(("   ! ", "bold $text-warning"), (words, "$muted")))
    return stack(*lines)


def empty_part() -> Content:
    """What to do first, where nothing is logged yet."""
    return Content.assemble(
        ("Nothing is logged yet. ", "bold"),
        "Set up with the sizes here, do the exercise once, and press Enter to log how it went.",
    )


def _practised(view: "NowView") -> str:
    """The attempts by what they are, so that every other number has its own among them.

    Before a part it is said that whole settings alone count among the good ones to go.
    """
    part, passing = view.advice.kind == "part", view.advice.state in TO_BE_PASSED
    apart = bool(view.whole) and part and passing
    whole, others = count_of(view.whole, "whole setting"), view.attempts - view.whole - view.parts
    made = [f"{whole}, {ALONE_COUNT}," if apart else whole] if view.whole else []
    made += [count_of(view.parts, "part")] if view.parts else []
    made += [count_of(others, "other")] if others else []
    days = f"last {days_ago(view.days_since)}" if view.days_since is not None else ""
    said = several(made).rstrip(",").replace(",,", ",")
    return ("; " if apart else ", ").join(filter(None, (said, days)))
