"""What a class has shown, for each of its setters to take along: made, kept and read.

It is made where the class is, and travels in a bundle as sums for five other setters or more; no
attempt and no name is in it. A setter who keeps a logbook of their own gets better findings early
on by it.
"""

import dataclasses
import hashlib
import json
from collections import defaultdict
from collections.abc import Sequence
from typing import TYPE_CHECKING

from pydantic import BaseModel, ConfigDict, ValidationError

from platebook.logbook import defaults, setter_records
from platebook.logbook.attempt_queries import attempt_counts
from platebook.services.cache import OF_A_CLASS, remembered
from platebook.services.classes.class_roll import Pupil, enrolled
from platebook.services.session import Session

if TYPE_CHECKING:
    from platebook.analysis.models.bayes_factors import ClassPrior
    from platebook.logbook import Logbook
    from platebook.practice.revision import Bundle


FEWEST = 6
"""A setter and five others: fewer have no class."""


class ClassSums(BaseModel):
    """What a class says to each of its setters, by id, as JSON text."""

    model_config = ConfigDict(frozen=True)

    by_setter: dict[str, str]


def with_priors(
    session: Session, book: "Logbook", bundle: "Bundle", about: str | None = None
) -> "Bundle":
    """The bundle with what the class has shown for each of its setters, or for one of them.

    Setters of one group who follow one course are a class. The answer is kept beside the logbook
    until one of them logs something.
    """
    people = book.ask(setter_records.setters)
    if len(people) < FEWEST:
        return bundle
    counts = book.ask(attempt_counts)
    practising = [(s, counts[s.setter_id]) for s in people if s.setter_id in counts]
    classes: defaultdict[tuple[str | None, str], list[Pupil]] = defaultdict(list)
    for pupil in enrolled(book, (one for one in practising if one[1])):
        classes[pupil.setter.course, pupil.setter.group].append(pupil)
    sums: dict[str, str] = {}
    for members in classes.values():
        if len(members) >= FEWEST:
            sums |= _sums_of_class(session, members)
    priors = sorted(item for item in sums.items() if about in {None, item[0]})
    return dataclasses.replace(bundle, priors=tuple(priors))


def _sums_of_class(session: Session, members: Sequence[Pupil]) -> dict[str, str]:
    setter = members[0].setter

    def compute() -> ClassSums:
        from platebook.analysis.classes.find_class import priors_from
        from platebook.services.classes.class_answers import AskedSetters
        from platebook.services.classes.worker_pool import WorkerPool

        ids = {one.called: one.setter_id for one in members}
        with WorkerPool() as pool:
            priors = priors_from(AskedSetters(session, members, pool).shares())
        sums = {ids[name]: one.model_dump_json() for name, one in priors.items() if one is not None}
        return ClassSums(by_setter=sums)

    of = repr((setter.course, setter.group))
    name = hashlib.sha256(of.encode("utf-8")).hexdigest()
    return remembered(
        ClassSums,
        compute,
        logbook=session.path,
        setter_id=f"{OF_A_CLASS}-{name[:12]}",
        digest="\n".join(f"{one.setter_id} {one.rests_on}" for one in members),
        course=members[0].course,
    ).by_setter


def keep_priors(book: "Logbook", bundle: "Bundle", only: str | None) -> None:
    """Keep what a bundle says of the class of `only`; of several classes the largest stays.

    What cannot be read is left, because findings are as right without it.
    """
    for setter_id, sums in bundle.priors:
        if setter_id != only:
            continue
        new = prior_in(sums)
        kept = json.loads(book.ask(defaults.default, defaults.prior_name(setter_id)) or "{}")
        same = kept.get("replica") in {None, bundle.replica}
        if new is not None and (same or new.setters > int(kept["setters"])):
            value = {"replica": bundle.replica, "setters": new.setters, "sums": sums}
            book.tell(defaults.set_default, defaults.prior_name(setter_id), json.dumps(value))


def sums_for(book: "Logbook", setter_id: str) -> str:
    """What the class of this setter has shown, where a bundle brought it; empty for nothing."""
    kept = book.ask(defaults.default, defaults.prior_name(setter_id))
    return "" if kept is None else str(json.loads(kept)["sums"])


def prior_in(sums: str) -> "ClassPrior | None":
    """The prior that these sums are; None where they are none."""
    from platebook.analysis.models.bayes_factors import ClassPrior

    try:
        return ClassPrior.model_validate_json(sums) if sums else None
    except ValidationError:
        return None
