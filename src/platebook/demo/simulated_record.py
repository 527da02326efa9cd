"""What a simulated setter writes down: readings before the result, the look after it.

Readings are taken with a reading's own error and never from the result. A field that was not asked
stays empty.
"""

import math
from collections.abc import Mapping, Sequence

import numpy as np

from platebook.demo.simulated_setter import BenchTonight, CutSeat, Seen, SimulatedHand
from platebook.practice.attempt import Attempt
from platebook.practice.defects import GOOD
from platebook.practice.results import failed

Fields = dict[str, object]

_PIN_STEP_MM = 0.02
_LEVELLED = ("fell level", "pressed", "few taps", "many taps")
_FIRST_SEEN = {
    "loose": ("fit check", "push test"),
    "gap": ("burnishing", "push test"),
    "high": ("depth", "levelling"),
    "low": ("depth",),
    "tilted": ("levelling", "burnishing"),
    "chipped": ("levelling", "burnishing"),
    "marred": ("clean-up",),
    "scratched": ("clean-up",),
    "off mark": ("pilot",),
}
_NOTES = {
    "loose": ("Turned in the seat before I burnished.", "Held until the push test."),
    "gap": ("A dark crescent, burnished toward it, still there.",),
    "high": ("Nail catches on the table.", "Stopped too early with the bur."),
    "low": ("Went a turn too far.",),
    "tilted": ("Would not come level.", "Level before, leaned after the second pass."),
    "chipped": ("Heard it.", "A chip under the rim, only seen at x10."),
    "marred": ("Long scratch beside the rim.", "The burnisher caught."),
    "scratched": ("Slipped over the table.",),
    "off mark": ("The drill walked.",),
    GOOD: ("Felt right from the start.", "Quicker than the last one.", "Snapped in nicely."),
}


def _between(value: float, limits: Sequence[float], words: Sequence[str]) -> str:
    return words[sum(value > limit for limit in limits)]


def fit_of(clearance_mm: float) -> str:
    """What the trial stone does in a seat of this clearance."""
    words = (
        "enters with a firm push",
        "enters tilted and snaps",
        "drops in",
        "drops in and moves",
    )
    return _between(clearance_mm, (-0.05, 0.0, 0.05), words)


def readings(bench: BenchTonight, seat: CutSeat, rng: np.random.Generator, *, pins: bool) -> Fields:
    """The readings of an attempt that is asked for them; `pins` says that pins are at hand."""
    fields: Fields = {
        "fit_checks": bench.checks,
        "fit": fit_of(seat.clearance_mm + rng.normal(0, 0.010)),
        "trial_height": _between(
            -(seat.proud_mm + rng.normal(0, 0.008)) / bench.stone_mm,
            (-0.015, 0.004, 0.05),
            ("proud", "flush", "just under", "deep"),
        ),
        "ledge": _between(
            seat.lean_deg + rng.normal(0, 0.5),
            (2.0, 4.0),
            ("even", "slightly wider one side", "clearly wider one side"),
        ),
        "levelled_by": _between(
            seat.stone_tilt_deg + rng.normal(0, 0.6), (0.5, 1.2, 2.4), _LEVELLED
        ),
        "burnish_passes": bench.passes,
    }
    if pins and rng.random() < 0.85:
        steps = math.floor(round(seat.diameter_mm / _PIN_STEP_MM, 6))
        fields["seat_go_mm"] = round(steps * _PIN_STEP_MM, 3)
        fields["seat_nogo_mm"] = round((steps + 1) * _PIN_STEP_MM, 3)
    return fields


def _push_test(seen: Sequence[Seen], rng: np.random.Generator) -> str:
    loose = next((s.severity for s in seen if s.defect == "loose"), 0)
    if rng.random() < 0.04:
        return "no access"
    return ("held", "ticks", "moved", "out")[loose]


def _clock(hand: SimulatedHand, rng: np.random.Generator) -> int:
    if hand.clock is not None and rng.random() < 0.75:
        return (hand.clock - 1 + int(rng.integers(-1, 2))) % 12 + 1
    return int(rng.integers(1, 13))


def look(hand: SimulatedHand, seen: Sequence[Seen], rng: np.random.Generator) -> Fields:
    """The judging of a finished setting."""
    result = tuple(s.defect for s in seen) or (GOOD,)
    severity = tuple(s.severity for s in seen) or None
    fields: Fields = {
        "push_test": _push_test(seen, rng),
        "ended": "stone lost" if any(s.severity == 3 for s in seen) else "finished",
        "result": result,
        "severity": severity,
    }
    worst = result[0]
    if failed(Attempt(result=result, severity=severity)):
        if rng.random() < 0.55:
            fields["first_seen"] = str(rng.choice(_FIRST_SEEN[worst]))
        if worst in {"tilted", "gap", "high"}:
            fields["clock"] = _clock(hand, rng)
    if rng.random() < 0.12:
        fields["note"] = str(rng.choice(_NOTES[worst]))
    return fields


def part_look(chance: float, rng: np.random.Generator) -> Fields:
    """The judging of a part exercise that comes out good with this chance."""
    return {"ended": "finished", "result": (GOOD,) if rng.random() < chance else ("missed",)}


def with_fields(attempt: Attempt, *parts: Mapping[str, object]) -> Attempt:
    """The attempt with all these fields written in."""
    merged: Fields = {}
    for part in parts:
        merged.update(part)
    return attempt.with_values(**merged)
