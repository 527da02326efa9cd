"""The constants of the rule that picks the next exercise.

What they were measured on is in docs/methods/next-exercise.md; `bench/learners.py` runs the rule
and its variants on simulated learners.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Rule:
    """Constants of the ladder, of the skill traces and of what comes between.

    The ladder's running success s starts at `start`, keeps 1 - `gain` of itself at each whole
    setting, and moves a grade up above `up` or down below `down`; it then stands at `moved`.

    A skill's running trouble f starts at `skill_start` and keeps 1 - `skill_gain`. Its part
    exercise comes when f is above `trouble` and above `trouble_share` of all f together, until
    `straight` good ones in a row or `tries`; f is then halved and `whole_between` whole settings
    follow. With a `row` the part exercise goes by rows instead: until `row_pass` good ones in a
    row of that length, or two rows. `parts_an_evening` of None sets no bound.

    `begins_backwards` puts burnishing prepared seats before the first whole setting.

    A pause of more than `pause_days` asks for `refresher` settings first. Above `proving`, with an
    easier grade not passed, a set of `proving_row` is offered there, and as many at the own grade
    come between two sets.
    """

    start: float = 0.40
    gain: float = 0.20
    up: float = 0.55
    down: float = 0.12
    moved: float = 0.40

    skill_start: float = 0.10
    skill_gain: float = 0.15
    trouble: float = 0.45
    trouble_share: float = 0.45
    straight: int = 2
    tries: int = 4
    whole_between: int = 3
    row: int | None = None
    row_pass: int = 4
    parts_an_evening: int | None = 1
    begins_backwards: bool = True

    pause_days: int = 14
    refresher: int = 2
    proving: float = 0.80
    proving_row: int = 5


IN_USE = Rule()
"""The rule in use."""
