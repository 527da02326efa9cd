"""From a line of Progress to the chart of its curve, by setting or by date; its counts in words.

A few settings have a sign each; of many, some in a row are taken together and a dot is their share.
"""

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from platebook.analysis.success.share_good import share_words
from platebook.tui.parts.plot import Chart, Series

if TYPE_CHECKING:
    from platebook.analysis.success.tally import CurveStep, Tally


SHARES = ((0.0, "0"), (0.25, "25"), (0.5, "50"), (0.75, "75"), (1.0, "100"))
MOST_TICKS = 6
MOST_SIGNS = 140
"""Settings that have a sign each: about as many as fit beside each other at 80 columns, twice."""
MOST_DOTS = 36
MOST_POINTS = 400
"""Points of a line: more than any screen has dots across."""
_LONG = 300
"""Days beyond which a tick says month and year, and not the day."""


def curve_chart(tally: "Tally", *, by_date: bool = False) -> Chart:
    """The success curve of one line with its band; what is not dated is left out by date."""
    steps = [step for step in tally.curve if not by_date or step.day is not None]
    places = _by_date(steps) if by_date else tuple(float(step.number) for step in steps)
    first, last = (places[0], places[-1]) if places else (1.0, 1.0)
    numbers = _numbers(int(last))
    last = max(last, first + 1)
    return Chart(
        series=(
            _line(places, [step.low for step in steps], "muted"),
            _line(places, [step.high for step in steps], "muted"),
            _line(places, [step.rate for step in steps], "accent"),
            *_marks(steps, places),
        ),
        x_ticks=_dates(first, last) if by_date else numbers,
        y_ticks=SHARES,
        x_limits=(first, last),
        y_limits=(-0.05, 1.05),
        x_label=_label(steps, by_date=by_date),
        says=now_line(tally),
    )


def now_line(tally: "Tally") -> str:
    """Where a line stands now: "about 72 in 100 come out good now (may be 51 to 87)"."""
    words = share_words(tally.now, tally.now_low, tally.now_high)
    return words or "nothing set here yet"


def _by_date(steps: Sequence["CurveStep"]) -> tuple[float, ...]:
    """A place for each: its day, those of one evening one after the other within the day."""
    days = [step.day.toordinal() for step in steps if step.day is not None]
    done: dict[int, int] = {}
    places = []
    for day in days:
        done[day] = done.get(day, 0) + 1
        places.append(day + done[day] / (days.count(day) + 1) if len(days) <= MOST_SIGNS else day)
    return tuple(float(place) for place in places)


def _marks(steps: Sequence["CurveStep"], places: Sequence[float]) -> tuple[Series, ...]:
    if len(steps) <= MOST_SIGNS:
        pairs = list(zip(places, steps, strict=True))
        good = tuple(place for place, step in pairs if step.good)
        failed = tuple(place for place, step in pairs if not step.good)
        return (
            Series(good, (1.0,) * len(good), "●", colour="good"),
            Series(failed, (0.0,) * len(failed), "×", colour="failed"),
        )
    from platebook.analysis.success.tally import binned

    where = {step.number: place for step, place in zip(steps, places, strict=True)}
    dots = binned(steps, MOST_DOTS)
    return (
        Series(
            tuple(where[middle.number] for middle, _, _ in dots),
            tuple(share for _, share, _ in dots),
            "●",
            colour="practised",
        ),
    )


def _label(steps: Sequence["CurveStep"], *, by_date: bool) -> str:
    what = "date" if by_date else "setting"
    if len(steps) <= MOST_SIGNS:
        return f"{what}   (● good, × failed; good in 100 and where it may be)"
    each = -(-len(steps) // MOST_DOTS)
    return f"{what}   (● good of each {each}; line: good in 100 and where it may be)"


def _line(xs: Sequence[float], ys: Sequence[float], colour: str) -> Series:
    width = len(xs) // MOST_POINTS + 1
    places = [*range(0, len(xs) - 1, width), len(xs) - 1] if xs else []
    return Series(
        tuple(xs[n] for n in places),
        tuple(ys[n] for n in places),
        "braille",
        joined=True,
        colour=colour,
    )


def _numbers(last: int) -> tuple[tuple[float, str], ...]:
    width = max(-(-(last - 1) // (MOST_TICKS - 1)), 1)
    return tuple((float(t), str(t)) for t in (1, *range(1 + width, last + 1, width)))


def _dates(first: float, last: float) -> tuple[tuple[float, str], ...]:
    width = max((last - first) / (MOST_TICKS - 1), 1.0)
    days = [date.fromordinal(int(first + n * width)) for n in range(MOST_TICKS)]
    shown = [day for day in days if day.toordinal() <= last]
    long = last - first > _LONG
    return tuple(
        (float(day.toordinal()), f"{day:%b %Y}" if long else f"{day.day} {day:%b}") for day in shown
    )
