"""What a class has shown, for one more setter of it: made where the class is, kept where one is.

It travels as sums for five other setters or more; no attempt and no name is in it. A setter who
keeps a logbook of their own gets better findings early on by it.
"""

import dataclasses
import json
from collections import defaultdict
from typing import TYPE_CHECKING

from platebook.practice.attempt import Attempt
from platebook.services.courses import course_of
from platebook.services.desk import Desk

if TYPE_CHECKING:
    from platebook.analysis.class_prior import ClassPrior
    from platebook.logbook import Logbook
    from platebook.practice.bundle import Bundle

FEWEST = 6
"""A setter and five others: fewer have no class."""


def priors_of(desk: Desk, book: "Logbook", bundle: "Bundle", about: str | None) -> "Bundle":
    """The bundle with what the class has shown for each of its setters, or for one of them.

    Setters who follow one course are a class. The invented class of the demo is none.
    """
    people = book.setters()
    if len(people) < FEWEST or desk.invented:
        return bundle
    from platebook.analysis.find_class import class_priors

    classes: defaultdict[str | None, dict[str, tuple[Attempt, ...]]] = defaultdict(dict)
    for setter in people:
        attempts = book.attempts(setter.setter_id)
        if attempts and setter.setter_id is not None:
            classes[setter.course][setter.setter_id] = attempts
    found: dict[str, str] = {}
    for course_id, attempts_by in classes.items():
        if len(attempts_by) < FEWEST:
            continue
        one = next(s for s in people if s.course == course_id)
        for setter_id, prior in class_priors(attempts_by, course=course_of(book, one)).items():
            if prior is not None and about in {None, setter_id}:
                found[setter_id] = prior.model_dump_json()
    return dataclasses.replace(bundle, priors=tuple(sorted(found.items())))


def keep_priors(book: "Logbook", bundle: "Bundle", only: str | None) -> None:
    """Keep what a bundle says of the class of `only`; of several classes the largest stays.

    What cannot be read is left, because findings are as right without it.
    """
    from platebook.logbook.keeping import prior_name

    for setter_id, sums in bundle.priors:
        if setter_id != only:
            continue
        new = prior_in(sums)
        kept = json.loads(book.default(prior_name(setter_id)) or "{}")
        same = kept.get("replica") in {None, bundle.replica}
        if new is not None and (same or new.setters > int(kept["setters"])):
            value = {"replica": bundle.replica, "setters": new.setters, "sums": sums}
            book.set_default(prior_name(setter_id), json.dumps(value))


def sums_for(book: "Logbook", setter_id: str) -> str:
    """What the class of this setter has shown, where a bundle brought it; empty for nothing."""
    from platebook.logbook.keeping import prior_name

    kept = book.default(prior_name(setter_id))
    return "" if kept is None else str(json.loads(kept)["sums"])


def prior_in(sums: str) -> "ClassPrior | None":
    """The prior that these sums are; None where they are none."""
    from pydantic import ValidationError

    from platebook.analysis.class_prior import ClassPrior

    try:
        return ClassPrior.model_validate_json(sums) if sums else None
    except ValidationError:
        return None
