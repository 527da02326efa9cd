"""A bundle is written line by line: the same bytes as ever, few records at once, nothing left."""

import hashlib
import json
import weakref
from collections.abc import Iterator
from pathlib import Path

from tests.exchange.bundles import a_bundle, a_revision, an_id, as_read, write_bundle

from platebook.exchange.bundle_draft import IN_MEMORY, BundleDraft
from platebook.exchange.bundle_lines import NO_DIGEST
from platebook.practice.revision import BundleStream, CourseCopy, Revision, Tombstone
from platebook.values import fields_of, replace

Part = Revision | Tombstone | CourseCopy


def many(count: int) -> Iterator[Revision]:
    """So many revisions, each of a change of its own, made as they are asked for."""
    return (a_revision(number, counter=number + 1, note="n" * 200) for number in range(count))


def drafted(draft: BundleDraft, parts: Iterator[Revision]) -> bytes:
    """The file of these revisions."""
    draft.take(BundleStream(replica=an_id(9), parts=parts))
    return b"".join(draft.chunks())


def test_the_manifest_says_how_long_the_rest_is_and_bears_its_digest(tmp_path: Path) -> None:
    """SHA-256 over the file with noughts in the digest's place, by the standard library."""
    with BundleDraft(tmp_path) as draft:
        data = drafted(draft, many(7))
        assert (len(data), draft.revisions) == (draft.size, 7)
    head, _, body = data.partition(b"\n")
    manifest = json.loads(head)
    unsigned = data.replace(manifest["sha256"].encode(), NO_DIGEST.encode(), 1)
    assert manifest["bytes"] == len(body)
    assert manifest["sha256"] == hashlib.sha256(unsigned).hexdigest() == draft.digest


def test_a_large_one_waits_on_the_disk_and_says_the_same(tmp_path: Path) -> None:
    """Without a name, so that nothing lies there even while it is written."""
    large = [a_revision(n, counter=n + 1, note="n" * 2**20) for n in range(18)]
    with BundleDraft(tmp_path) as draft:
        data = drafted(draft, iter(large))
        assert draft.size > IN_MEMORY
        assert list(tmp_path.iterdir()) == []
    assert as_read(data).revisions == tuple(large)


class _Watched(Revision, kw_only=True, weakref=True):
    """A revision that can be watched going."""


def test_few_revisions_are_held_at_once(tmp_path: Path) -> None:
    """However many there are: each is let go once its line is written."""
    standing: weakref.WeakSet[Revision] = weakref.WeakSet()
    most = 0

    def watched() -> Iterator[Revision]:
        nonlocal most
        for revision in many(300):
            standing.add(one := _Watched(**fields_of(revision)))
            most = max(most, len(standing))
            yield one

    with BundleDraft(tmp_path) as draft:
        drafted(draft, watched())
    assert most <= 3


def test_other_priors_stand_in_the_place_of_those_before(tmp_path: Path) -> None:
    """Longer, shorter or none: as if they had been there from the beginning."""
    bundle = replace(a_bundle(), priors=())
    parts: list[Part] = [*bundle.revisions, *bundle.tombstones, *bundle.courses]
    with BundleDraft(tmp_path) as draft:
        draft.take(BundleStream(replica=bundle.replica, parts=iter(parts)))
        for priors in (((an_id(1), "x" * 99), (an_id(2), "y")), ((an_id(3), "z"),), ()):
            draft.set_priors(priors)
            whole = replace(bundle, priors=priors)
            assert b"".join(draft.chunks()) == write_bundle(whole)


def test_how_far_it_is_is_told_by_revisions(tmp_path: Path) -> None:
    """One after the other."""
    told: list[int] = []
    with BundleDraft(tmp_path, told.append) as draft:
        drafted(draft, many(5))
    assert told == [1, 2, 3, 4, 5]
