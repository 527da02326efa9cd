"""Rules of thumb and limits as data: each says what it is worth and where it comes from.

The rules stand in `data/rules.toml`. Customs conflict with each other and with geometry, so a
course or a setter may choose another rule for a purpose by its id.
"""

import functools
from collections.abc import Iterable, Mapping
from typing import Literal

from platebook.tables import Row, rows_as, toml_table
from platebook.values import Value

RuleKind = Literal["common practice", "published", "geometry", "judgement", "memory"]


class RuleOfThumb(Row, kw_only=True):
    """One rule: `times` the stone's diameter plus `plus_mm`, and a window around that.

    `low_mm` and `high_mm` are the window, from the value (a tool that is near enough) or from the
    stone's diameter (a seat). `say` is the sentence to show beside a size that came from it.
    """

    id: str
    purpose: str
    method: str | None = None
    default: bool = False
    times: float = 0.0
    plus_mm: float = 0.0
    low_mm: float = 0.0
    high_mm: float = 0.0
    degrees: float | None = None
    kind: RuleKind
    source: str = ""
    say: str

    def size_mm(self, diameter_mm: float) -> float:
        """What the rule gives for a stone of this diameter, in millimetres."""
        return self.times * diameter_mm + self.plus_mm

    @property
    def cited(self) -> str:
        """Where the rule comes from, in words: its source, or what kind of rule it is."""
        return f"{self.kind}: {self.source}" if self.source else self.kind


@functools.cache
def rules() -> Mapping[str, RuleOfThumb]:
    """All rules by id, in the order of the file."""
    rows = toml_table("platebook.trade", "rules.toml")["rule"]
    return {rule.id: rule for rule in rows_as(RuleOfThumb, rows)}


@functools.cache
def rules_for(purpose: str, method: str | None = None) -> tuple[RuleOfThumb, ...]:
    """The rules one may choose from for a purpose (and a seat method), the default first."""
    fitting = [r for r in rules().values() if r.purpose == purpose and r.method in (None, method)]
    return tuple(sorted(fitting, key=lambda rule: not rule.default))


def choosable() -> tuple[str, ...]:
    """The ids of the rules that one may choose between: those that share a purpose with another."""
    return tuple(
        rule.id for rule in rules().values() if any(_same_question(rule, o) for o in rules_of(rule))
    )


def rules_of(rule: RuleOfThumb) -> tuple[RuleOfThumb, ...]:
    """The other rules of this rule's purpose."""
    return tuple(r for r in rules().values() if r.purpose == rule.purpose and r.id != rule.id)


def conflicts(chosen: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Pairs of chosen ids that answer one question, in the order chosen; unknown ids are none."""
    known = [rules()[name] for name in dict.fromkeys(chosen) if name in rules()]
    return tuple(
        (rule.id, other.id)
        for place, rule in enumerate(known)
        for other in known[place + 1 :]
        if _same_question(rule, other)
    )


def chosen_over(first: Iterable[str], then: Iterable[str]) -> tuple[str, ...]:
    """What `first` chooses, and of `then` what answers another question."""
    taken = tuple(first)
    return taken + tuple(n for n in then if not any(conflicts((name, n)) for name in taken))


def _same_question(one: RuleOfThumb, other: RuleOfThumb) -> bool:
    methods = {one.method, other.method}
    return one.purpose == other.purpose and (None in methods or len(methods) == 1)


class RuleBook(Value):
    """The rules in use: the defaults, but for the ids a course or a setter has chosen.

    `cut` is the named cut (`stones.named_cuts`) that fills in what was not measured.
    """

    chosen: tuple[str, ...] = ()
    cut: str = "Tolkowsky"

    def rule(self, purpose: str, method: str | None = None) -> RuleOfThumb:
        """The rule in use; raises KeyError for a purpose that no rule has."""
        choices = rules_for(purpose, method)
        if not choices:
            raise KeyError(f"no rule for {purpose!r} with method {method!r}")
        for rule in choices:
            if rule.id in self.chosen:
                return rule
        return choices[0]

    def girdle_mm(self, diameter_mm: float, girdle: str | None) -> float:
        """Thickness of a girdle that was called thin or thick; any other word is medium."""
        word = girdle if girdle in ("thin", "thick") else "medium"
        return self.rule(f"girdle {word}").size_mm(diameter_mm)

    def unknown(self) -> tuple[str, ...]:
        """Chosen ids that no rule has."""
        return tuple(name for name in self.chosen if name not in rules())
