"""What a class has shown, for one more setter of it: made where the class is, kept where one is.

It travels as sums for five other setters or more; no attempt and no name is in it. A setter who
keeps a logbook of their own gets better findings early on by it.
"""

import dataclasses
import hashlib
import json
from collections import defaultdict
from typing import TYPE_CHECKING

from pydantic import BaseModel, ConfigDict

from platebook.practice.setter import Setter
from platebook.services.courses import course_of
from platebook.services.desk import Desk
from platebook.services.remembering import remembered

if TYPE_CHECKING:
    from platebook.analysis.class_prior import ClassPrior
    from platebook.logbook import Logbook
    from platebook.practice.bundle import Bundle

FEWEST = 6
"""A setter and five others: fewer have no class."""

OF_A_CLASS = "class"
"""Begins the name of what is kept about a class, where a setter's id begins that about a setter."""


class ClassSums(BaseModel):
    """What a class says to each of its setters, by id, as JSON text."""

    model_config = ConfigDict(frozen=True)

    by_setter: dict[str, str]


def priors_of(desk: Desk, book: "Logbook", bundle: "Bundle", about: str | None) -> "Bundle":
    """The bundle with what the class has shown for each of its setters, or for one of them.

    Setters of one group who follow one course are a class. The answer is kept beside the logbook
    until one of them logs something.
    """
    people = book.setters()
    if len(people) < FEWEST:
        return bundle
    classes: defaultdict[tuple[str | None, str], list[Setter]] = defaultdict(list)
    for setter in people:
        if book.count_attempts(setter.setter_id):
            classes[setter.course, setter.group].append(setter)
    found: dict[str, str] = {}
    for members in classes.values():
        if len(members) >= FEWEST:
            found |= _of_class(desk, book, members)
    priors = sorted((one, sums) for one, sums in found.items() if about in {None, one})
    return dataclasses.replace(bundle, priors=tuple(priors))


def _of_class(desk: Desk, book: "Logbook", members: list[Setter]) -> dict[str, str]:
    course = course_of(book, members[0])
    ids = [str(setter.setter_id) for setter in members]

    def compute() -> ClassSums:
        from platebook.analysis.find_class import class_priors

        priors = class_priors({one: book.attempts(one) for one in ids}, course=course)
        told = {one: prior.model_dump_json() for one, prior in priors.items() if prior is not None}
        return ClassSums(by_setter=told)

    name = hashlib.sha256(repr((members[0].course, members[0].group)).encode("utf-8")).hexdigest()
    return remembered(
        ClassSums,
        compute,
        logbook=desk.path,
        setter_id=f"{OF_A_CLASS}-{name[:12]}",
        digest="\n".join(f"{one} {book.digest(one)}" for one in ids),
        course=course,
    ).by_setter


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
