"""Revisions: heads, the one that counts, and clashes.

The order is that of Lamport, Time, clocks, and
the ordering of events in a distributed system, CACM 21:558, 1978: counter first, then a fixed tie.
"""

from hypothesis import given
from hypothesis import strategies as st
from tests.logbook.replicas import RECORDS, shared_revisions

from platebook.practice.revision import Revision, Signature, clash, current, heads
from platebook.values import replace


@given(shared_revisions(), st.data())
def test_the_order_of_coming_decides_nothing(
    made: tuple[Revision, ...], data: st.DataObject
) -> None:
    """Heads, the one that counts and whether there is a clash are those of the set."""
    shuffled = data.draw(st.permutations(made))
    for record_id in RECORDS:
        ours = [r for r in made if r.record_id == record_id]
        theirs = [r for r in shuffled if r.record_id == record_id]
        assert heads(theirs) == heads(ours)
        assert current(theirs) == current(ours)
        assert clash(theirs) == clash(ours)


def ancestors(revision: Revision, made: dict[str, Revision]) -> set[str]:
    """The ids of all revisions that this one was made from, near and far."""
    found: set[str] = set()
    waiting = list(revision.parents)
    while waiting:
        found.add(waiting[-1])
        waiting.extend(made[waiting.pop()].parents)
    return found


@given(shared_revisions())
def test_a_clash_is_two_revisions_neither_of_which_is_an_ancestor(
    made: tuple[Revision, ...],
) -> None:
    """As the design defines it, followed from parent to parent, of those that nothing settled."""
    by_id = {revision.revision_id: revision for revision in made}
    for record_id in RECORDS:
        ours = [r for r in made if r.record_id == record_id]
        settled = set().union(*(ancestors(r, by_id) for r in ours))
        standing = [r for r in ours if r.revision_id not in settled]
        assert set(heads(ours)) == set(standing)
        assert clash(ours) == (len(standing) > 1)
        last = current(ours)
        assert last is None or last in standing


@given(shared_revisions())
def test_what_was_made_later_with_knowledge_counts(made: tuple[Revision, ...]) -> None:
    """A revision ranks above all it was made from, though clocks on the wall run backwards here."""
    by_id = {revision.revision_id: revision for revision in made}
    for revision in made:
        for ancestor in ancestors(revision, by_id):
            assert by_id[ancestor].rank < revision.rank


def test_of_nothing_nothing_counts() -> None:
    """An unknown record has no heads, no current revision and no clash."""
    assert (heads([]), current([]), clash([])) == ((), None, False)


@given(shared_revisions())
def test_what_came_beside_counts_for_nothing(made: tuple[Revision, ...]) -> None:
    """Two that say the same are the same with another checksum or signature, and no others are."""
    for revision in made:
        change = replace(revision.change, saved_checksum="0")
        beside = replace(
            revision, change=change, saved_checksum="0", signed=Signature(key="a", signature="b")
        )
        assert revision == beside
        assert not revision != beside  # noqa: SIM202 - it is another method
        assert len({revision, beside}) == 1
        assert revision != replace(beside, hidden=not revision.hidden)
        assert replace(beside, record="{}").links == {}, "what was read is not carried along"
