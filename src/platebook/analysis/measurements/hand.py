"""This hand: how wide it cuts with each bur shape it has used, learned from its own seats.

| function | gives |
|---|---|
| `hand` | the hand that sizes are chosen with, one entry a bur shape with readings |
| `overcuts` | the same with intervals for the mean and the wear, by bur shape |
| `classmates_hand` | the hand of one of a class, for `hand_of_class` |
| `hand_of_class` | what a class shows of a setter who is new to a bur |

Whole settings, blocks and parts in which a seat is cut count alike: a seat is a seat. One that was
prepared for the setter is not theirs. At 0 readings a shape is absent and
custom speaks. How it is computed, and what it assumes, stands in `overcut`.
"""

from collections.abc import Iterable, Mapping

from platebook.analysis.grades.whole_settings import one_setter
from platebook.analysis.measurements.overcut import (
    COARSE,
    FINE,
    Grid,
    Overcut,
    learn_overcut,
)
from platebook.analysis.measurements.seat_readings import (
    NO_TOOLS,
    SeatReading,
    Worth,
    seat_readings,
)
from platebook.practice.attempt import Attempt
from platebook.trade.records import Hand, HandForShape
from platebook.trade.rules import RuleBook
from platebook.trade.tools.expected_hand import (
    SETTLED_AT,
    ExpectedHand,
    custom_hand,
    taught_hand,
)

CLASSMATES_DIFFER_MM = 0.03
"""Standard deviation between hands of one class, who share burs and teaching (judgement)."""

LEAST_SETTERS = 5
"""Fewer setters with a shape are not a class."""


def hand(
    attempts: Iterable[Attempt], *, class_hand: Hand | None = None, worth: Worth = NO_TOOLS
) -> Hand:
    """The hand of one setter; attempts of several raise ValueError.

    `worth` says what readings are worth by the tool that took them (`seat_readings`).
    `class_hand` is what the setter's class shows without this setter (`hand_of_class`).
    """
    own = as_hand(overcuts(attempts, class_hand=class_hand, worth=worth))
    if class_hand is None:
        return own
    of_class = {shape.shape: shape for shape in class_hand.shapes}
    shapes = [
        known.model_copy(update={"from_class": of_class[known.shape].from_attempts})
        if known.shape in of_class
        else known
        for known in own.shapes
    ]
    shapes += [_new_to(known) for shape, known in of_class.items() if own.for_shape(shape) is None]
    return Hand(shapes=tuple(sorted(shapes, key=lambda known: known.shape)))


def classmates_hand(attempts: Iterable[Attempt]) -> Hand:
    """The hand of one setter as `hand_of_class` asks for it: from their own seats alone.

    A dozen of them are learned at once, so that it is learned on the coarse grid.
    """
    return as_hand(overcuts(attempts, grid=COARSE))


def _new_to(class_hand: HandForShape) -> HandForShape:
    """What a class says of someone who has cut nothing with a bur yet: they may differ."""
    return class_hand.model_copy(
        update={
            "from_attempts": 0,
            "from_class": class_hand.from_attempts,
            "spread_mm": _taught_by(class_hand).next_spread_mm,
        }
    )


def as_hand(known: Mapping[str, Overcut]) -> Hand:
    """The plain value that sizes are chosen with, of what `overcuts` has found."""
    return Hand(
        shapes=tuple(
            HandForShape(
                shape=shape,
                overcut_mm=overcut.mean_mm,
                spread_mm=overcut.spread_mm,
                wear_mm_per_seat=overcut.wear_mm_per_seat,
                from_attempts=overcut.readings,
            )
            for shape, overcut in known.items()
        )
    )


def overcuts(
    attempts: Iterable[Attempt],
    *,
    class_hand: Hand | None = None,
    confidence: float = 0.95,
    worth: Worth = NO_TOOLS,
    grid: Grid = FINE,
) -> Mapping[str, Overcut]:
    """What is known of each bur shape with readings, by its name in order of the alphabet."""
    logged = tuple(attempts)
    one_setter(logged)
    by_shape: dict[str, list[SeatReading]] = {}
    for reading in seat_readings(logged, worth)[0]:
        by_shape.setdefault(reading.shape, []).append(reading)
    return {
        shape: learn_overcut(
            readings, _expected(shape, class_hand), confidence=confidence, grid=grid
        )
        for shape, readings in sorted(by_shape.items())
    }


def hand_of_class(hands: Iterable[Hand]) -> Hand | None:
    """What several setters' hands have in common; None where no shape has enough setters.

    Each counts by n / (n + 5) of its n readings, so that a single seat does not speak for a hand.
    """
    by_shape: dict[str, list[HandForShape]] = {}
    for hand_of_setter in hands:
        for known in hand_of_setter.shapes:
            if known.from_attempts:
                by_shape.setdefault(known.shape, []).append(known)
    shapes = tuple(
        _pooled(shape, known)
        for shape, known in sorted(by_shape.items())
        if len(known) >= LEAST_SETTERS
    )
    return Hand(shapes=shapes) if shapes else None


def _pooled(shape: str, hands: list[HandForShape]) -> HandForShape:
    weights = [h.from_attempts / (h.from_attempts + SETTLED_AT) for h in hands]

    def mean(values: Iterable[float]) -> float:
        pairs = zip(weights, values, strict=True)
        return sum(w * v for w, v in pairs) / sum(weights)

    return HandForShape(
        shape=shape,
        overcut_mm=mean(h.overcut_mm for h in hands),
        spread_mm=mean(h.spread_mm**2 for h in hands) ** 0.5,
        wear_mm_per_seat=mean(h.wear_mm_per_seat for h in hands),
        from_attempts=sum(h.from_attempts for h in hands),
    )


def _expected(shape: str, class_hand: Hand | None) -> ExpectedHand:
    known = class_hand.for_shape(shape) if class_hand is not None else None
    return custom_hand(RuleBook()) if known is None else _taught_by(known)


def _taught_by(of_class: HandForShape) -> ExpectedHand:
    """The hand that is expected of one of a class."""
    return taught_hand(of_class.overcut_mm, CLASSMATES_DIFFER_MM, of_class.spread_mm)
