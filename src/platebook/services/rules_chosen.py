"""Rules of thumb that a setter goes by: which there are to choose from, and choosing them."""

from collections.abc import Sequence
from dataclasses import dataclass

from platebook.services.answers import Bench, bench_of
from platebook.services.desk import Desk
from platebook.services.faults import Refused, opened
from platebook.services.people import setter_in_use
from platebook.services.sizing import rule_problems
from platebook.trade.rules import Rule, RuleBook, choosable, rules
from platebook.trade.sizing import METHODS


@dataclass(frozen=True)
class RuleChoice:
    """One rule, whether it is gone by, and who chose it: the setter, the course or custom."""

    rule: Rule
    in_use: bool
    chosen_by: str


def rule_choices(desk: Desk) -> tuple[RuleChoice, ...]:
    """Every rule that one may choose, those for one question together."""
    bench = bench_of(desk) if desk.setter_id is not None and desk.path.exists() else None
    book = RuleBook(chosen=bench.rules if bench is not None else ())
    found = []
    for rule in sorted((rules()[name] for name in choosable()), key=lambda r: r.purpose):
        asked = (rule.method,) if rule.method else METHODS
        used = any(book.rule(rule.purpose, method).id == rule.id for method in asked)
        found.append(RuleChoice(rule, used, _chosen_by(rule, bench) if used else ""))
    return tuple(found)


def choose_rules(desk: Desk, chosen: Sequence[str]) -> None:
    """Let the setter in use go by these rules; none leaves the course's and custom's."""
    from platebook.logbook import records

    if faults := rule_problems(chosen):
        raise Refused(
            "; ".join(f"{p.field}: read {p.read!r}, expected {p.expected}" for p in faults)
        )
    with opened(desk, make=False) as book:
        setter = setter_in_use(desk, book)
        after = setter.model_copy(update={"rules": tuple(chosen)})
        book.tell(
            records.amend,
            "setter",
            setter.setter_id or "",
            after,
            book.stamp(desk.author, desk.clock(), "amend"),
        )


def _chosen_by(rule: Rule, bench: Bench | None) -> str:
    if bench is not None and rule.id in bench.setter.rules:
        return "you"
    if bench is not None and rule.id in bench.course.rules:
        return "the course"
    return "custom"
