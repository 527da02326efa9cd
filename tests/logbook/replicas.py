"""Several logbooks that change the same records, now and then telling each other."""

import json
from datetime import timedelta

from hypothesis import strategies as st
from tests.logbook.books import ME, NOW

from platebook.practice.revision import Change, Revision, heads

REPLICAS = ("a", "b", "c")
RECORDS = ("r1", "r2")
SETTER = json.dumps({"setter_id": ME, "name": "Ottoline Marsh", "active": 1})


def change_of(number: int, replica: str, counter: int) -> Change:
    """A change of this replica, named by its number."""
    return Change(
        change_id=f"change {number:03}",
        replica=replica,
        author=replica,
        counter=counter,
        wall=NOW - timedelta(hours=number),
        what="amend",
    )


@st.composite
def shared_revisions(draw: st.DrawFn) -> tuple[Revision, ...]:
    """All revisions that three replicas made of two attempts and their setter, in order."""
    setter = Revision(
        revision_id="revision 000",
        kind="setter",
        record_id=ME,
        parents=(),
        change=change_of(0, "a", 1),
        schema=1,
        hidden=False,
        record=SETTER,
    )
    known: dict[str, set[Revision]] = {replica: {setter} for replica in REPLICAS}
    made = [setter]
    for number in range(1, draw(st.integers(1, 9)) + 1):
        replica, record_id = draw(st.sampled_from(REPLICAS)), draw(st.sampled_from(RECORDS))
        if draw(st.booleans()):
            known[replica] |= known[draw(st.sampled_from(REPLICAS))]
        mine = known[replica]
        revision = Revision(
            revision_id=f"revision {number:03}",
            kind="attempt",
            record_id=record_id,
            parents=tuple(
                r.revision_id for r in heads(r for r in mine if r.record_id == record_id)
            ),
            change=change_of(number, replica, max(r.change.counter for r in mine) + 1),
            schema=1,
            hidden=draw(st.booleans()),
            record=json.dumps({"attempt_id": record_id, "note": f"{number}", "setter_id": ME}),
        )
        mine.add(revision)
        made.append(revision)
    return tuple(made)
