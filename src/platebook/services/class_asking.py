"""A class asked setter by setter: kept shares are taken, the others are spread to a crew."""

from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet

from platebook.analysis.class_personal import Lead, lead_of
from platebook.analysis.class_prior import ClassPrior
from platebook.analysis.class_share import ClassShare
from platebook.analysis.weigh import Key
from platebook.services.class_work import share_of
from platebook.services.crew import Crew
from platebook.services.desk import Desk
from platebook.services.faults import opened
from platebook.services.kept_shares import KeptShares
from platebook.services.members import Member, log_of
from platebook.services.watching import Watch, unwatched

ROUNDS = 3
"""A class is asked once, and again beside the first and second thing that it shares."""


class AskedSetters:
    """Answers for the setters of a class, as `found_in` asks them.

    Whatever a setter's log alone decides is kept until the setter logs something.
    """

    def __init__(
        self,
        desk: Desk,
        some: Sequence[Member],
        *,
        crew: Crew,
        watch: Watch = unwatched,
    ) -> None:
        self._desk = desk
        self._some = {one.called: one for one in some}
        self._crew = crew
        self._watch = watch
        self._kept = KeptShares(desk.path)
        self._first: Mapping[str, ClassShare] = {}

    def shares(self, found: Sequence[Key] = ()) -> Mapping[str, ClassShare]:
        """Every setter's share beside the cells already found."""
        kept: dict[str, ClassShare] = {}
        for name, one in self._some.items():
            share = self._kept.find(one.setter_id, one.rests_on, found)
            if share is not None:
                kept[name] = share
        wanted = [one for name, one in self._some.items() if name not in kept]
        before = len(found) * len(self._some) + len(kept)

        def keep(name: str, share: ClassShare) -> None:
            one = self._some[name]
            self._kept.keep(one.setter_id, one.rests_on, found, share)

        with opened(self._desk) as book:
            made = self._crew.spread(
                share_of,
                ((one.called, (log_of(book, one), tuple(found))) for one in wanted),
                attempts=sum(one.attempts for one in wanted),
                steps=(before, ROUNDS * len(self._some)),
                watch=self._watch,
                taken=keep,
            )
        both = kept | made
        shares = {name: both[name] for name in self._some}
        if not found:
            self._first = shares
        return shares

    def leads(
        self, priors: Mapping[str, ClassPrior | None], common: AbstractSet[str]
    ) -> Mapping[str, Lead]:
        """The leads of those who have one."""
        found = self._crew.spread(
            lead_of,
            (
                (name, (share, priors[name], frozenset(common)))
                for name, share in self._first.items()
            ),
            attempts=0,
            watch=self._watch,
        )
        return {name: lead for name, lead in found.items() if lead is not None}
