"""What a class has shown, for one more setter of it, as it came with a bundle: kept and read.

It travels as sums for five other setters or more; no attempt and no name is in it. A setter who
keeps a logbook of their own gets better findings early on by it.
"""

import json
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from platebook.analysis.class_prior import ClassPrior
    from platebook.logbook import Logbook
    from platebook.practice.bundle import Bundle


def keep_priors(book: "Logbook", bundle: "Bundle", only: str | None) -> None:
    """Keep what a bundle says of the class of `only`; of several classes the largest stays.

    What cannot be read is left, because findings are as right without it.
    """
    from platebook.logbook import keeping

    for setter_id, sums in bundle.priors:
        if setter_id != only:
            continue
        new = prior_in(sums)
        kept = json.loads(book.ask(keeping.default, keeping.prior_name(setter_id)) or "{}")
        same = kept.get("replica") in {None, bundle.replica}
        if new is not None and (same or new.setters > int(kept["setters"])):
            value = {"replica": bundle.replica, "setters": new.setters, "sums": sums}
            book.tell(keeping.set_default, keeping.prior_name(setter_id), json.dumps(value))


def sums_for(book: "Logbook", setter_id: str) -> str:
    """What the class of this setter has shown, where a bundle brought it; empty for nothing."""
    from platebook.logbook import keeping

    kept = book.ask(keeping.default, keeping.prior_name(setter_id))
    return "" if kept is None else str(json.loads(kept)["sums"])


def prior_in(sums: str) -> "ClassPrior | None":
    """The prior that these sums are; None where they are none."""
    from pydantic import ValidationError

    from platebook.analysis.class_prior import ClassPrior

    try:
        return ClassPrior.model_validate_json(sums) if sums else None
    except ValidationError:
        return None
