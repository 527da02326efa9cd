"""What a class has shown, made where the class is, for each of its setters to take along.

It travels as sums for five other setters or more; no attempt and no name is in it. A setter who
keeps a logbook of their own gets better findings early on by it (`services.priors`).
"""

import dataclasses
import hashlib
from collections import defaultdict
from typing import TYPE_CHECKING

from pydantic import BaseModel, ConfigDict

from platebook.services.class_roll import Pupil, enrolled
from platebook.services.crew import Crew
from platebook.services.desk import Desk
from platebook.services.remembering import OF_A_CLASS, remembered
from platebook.services.watching import Watch, unwatched

if TYPE_CHECKING:
    from platebook.logbook import Logbook
    from platebook.practice.bundle import Bundle

FEWEST = 6
"""A setter and five others: fewer have no class."""


class ClassSums(BaseModel):
    """What a class says to each of its setters, by id, as JSON text."""

    model_config = ConfigDict(frozen=True)

    by_setter: dict[str, str]


def priors_of(
    desk: Desk,
    book: "Logbook",
    bundle: "Bundle",
    about: str | None,
    watch: Watch = unwatched,
) -> "Bundle":
    """The bundle with what the class has shown for each of its setters, or for one of them.

    Setters of one group who follow one course are a class. The answer is kept beside the logbook
    until one of them logs something.
    """
    from platebook.logbook import belongings
    from platebook.logbook.attempts import attempt_counts

    people = book.ask(belongings.setters)
    if len(people) < FEWEST:
        return bundle
    counts = book.ask(attempt_counts)
    practising = [(s, counts[s.setter_id]) for s in people if s.setter_id in counts]
    classes: defaultdict[tuple[str | None, str], list[Pupil]] = defaultdict(list)
    for pupil in enrolled(book, (one for one in practising if one[1])):
        classes[pupil.setter.course, pupil.setter.group].append(pupil)
    found: dict[str, str] = {}
    for members in classes.values():
        if len(members) >= FEWEST:
            found |= _of_class(desk, members, watch)
    priors = sorted((one, sums) for one, sums in found.items() if about in {None, one})
    return dataclasses.replace(bundle, priors=tuple(priors))


def _of_class(desk: Desk, members: "list[Pupil]", watch: Watch) -> dict[str, str]:
    first = members[0]

    def compute() -> ClassSums:
        from platebook.analysis.find_class import priors_from
        from platebook.services.class_asking import AskedSetters

        ids = {one.called: one.setter_id for one in members}
        with Crew() as crew:
            asked = AskedSetters(desk, members, crew=crew, watch=watch)
            priors = priors_from(asked.shares())
        told = {
            ids[name]: prior.model_dump_json()
            for name, prior in priors.items()
            if prior is not None
        }
        return ClassSums(by_setter=told)

    of = repr((first.setter.course, first.setter.group))
    name = hashlib.sha256(of.encode("utf-8")).hexdigest()
    return remembered(
        ClassSums,
        compute,
        logbook=desk.path,
        setter_id=f"{OF_A_CLASS}-{name[:12]}",
        digest="\n".join(f"{one.setter_id} {one.rests_on}" for one in members),
        course=first.course,
    ).by_setter
