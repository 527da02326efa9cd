"""A bundle comes back as it was, or is refused with one sentence that says what it is instead."""

import io
import json
import os
import stat
import zipfile
from pathlib import Path
from typing import BinaryIO, cast

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.exchange.bundles import a_bundle, any_bundles, as_read, refused, resealed, write_bundle

from platebook.exchange.bundle_file import (
    LARGEST_FILE,
    LONGEST_LINE,
    bundle_file,
    read_bundle,
)
from platebook.exchange.bundle_lines import NotABundle
from platebook.practice.revision import Bundle

WHOLE = write_bundle(a_bundle())


@settings(max_examples=60, deadline=None, derandomize=True)
@given(bundle=any_bundles())
def test_a_bundle_comes_back_as_it_was(bundle: Bundle) -> None:
    """Every time, id, text and count; and the same bundle gives the same bytes."""
    data = write_bundle(bundle)
    assert as_read(data) == bundle
    assert write_bundle(as_read(data)) == data


def test_the_manifest_says_what_follows() -> None:
    """Counts, bytes and a digest, on a line of its own that any JSON reader reads."""
    first, *rest = WHOLE.splitlines(keepends=True)
    manifest = json.loads(first)
    assert [manifest[name] for name in ("platebook", "format", "changes", "revisions")] == [
        "bundle",
        1,
        2,
        2,
    ]
    assert (manifest["erased"], manifest["courses"], manifest["priors"]) == (1, 1, 1)
    assert manifest["bytes"] == sum(map(len, rest))


@settings(max_examples=200, deadline=None, derandomize=True)
@given(place=st.integers(0, len(WHOLE) - 1), bit=st.integers(0, 7))
def test_no_bit_can_be_altered(place: int, bit: int) -> None:
    """Anywhere in the file, the manifest included, one bit turned is noticed."""
    data = bytearray(WHOLE)
    data[place] ^= 1 << bit
    assert refused(bytes(data))


@settings(max_examples=100, deadline=None, derandomize=True)
@given(length=st.integers(0, len(WHOLE) - 1))
def test_a_file_cut_short_is_refused_wherever_it_ends(length: int) -> None:
    """Down to nothing."""
    assert refused(WHOLE[:length])


def test_what_is_cut_short_says_how_much_is_there() -> None:
    """And what to do about it."""
    body = len(WHOLE) - len(WHOLE.splitlines(keepends=True)[0])
    assert refused(WHOLE[:-10]) == (
        f"was cut short: {body - 10} of {body} bytes are there. "
        "Have it written anew, or copy it once more."
    )


def a_zip() -> bytes:
    """A zip archive with a bundle in it."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("a.platebook", WHOLE)
    return out.getvalue()


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is empty (0 bytes)"),
        (a_zip(), "is a zip archive under another name"),
        (b"SQLite format 3\x00" + b"\x00" * 84, "is a logbook, not a bundle"),
        (b"\x1f\x8b" + b"x" * 20, "is a packed file"),
        (b"attempt_id,result\n1,good\n", "is not a bundle that platebook wrote"),
        (b'{"platebook": "report"}\n', "is not a bundle that platebook wrote"),
        (b"\xff\xfe\x00\x01" * 9, "is not a bundle that platebook wrote"),
        (b"[" * 100_000, "is not a bundle that platebook wrote"),
        (WHOLE + b"{}\n", "was altered after it was written"),
        (WHOLE.replace(b"\n", b"\r\n"), "was altered after it was written"),
        (WHOLE.replace(b'"format":1', b'"format":2'), "was written by a newer platebook (format 2"),
        (WHOLE.replace(b'"format":1', b'"format":"1"'), "line 1, format: read '1', expected"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_is_no_bundle_is_called_what_it_is(data: bytes, words: str) -> None:
    """Empty, zipped, a logbook, a table, something else, longer, with other line ends, newer."""
    assert words in refused(data)


def test_one_id_stands_once_and_counts_are_right() -> None:
    """A revision told twice, a line of no known kind, and a manifest that counts otherwise."""
    lines = WHOLE.splitlines(keepends=True)
    twice = b"".join([*lines[:3], lines[2], *lines[3:]])
    assert "stands there twice" in refused(resealed(twice))
    strange = b"".join([*lines, b'{"lamp":{}}\n'])
    assert "read 'lamp', expected change, revision" in refused(resealed(strange))
    short = WHOLE.replace(b'"revisions":2', b'"revisions":3')
    assert "revisions: read 3, expected 2" in refused(resealed(short))


def test_changes_that_change_nothing_are_refused_before_the_rest_is_read() -> None:
    """A file of nothing but changes costs its first line."""
    head, body = WHOLE.split(b"\n", 1)
    lying = head.replace(b'"changes":2', b'"changes":280000')
    stream = io.BytesIO(lying + b"\n" + body)
    with pytest.raises(NotABundle, match="changes: read 280000, expected at most 2"):
        read_bundle(stream)
    assert stream.tell() == len(lying) + 1


class Endless:
    """A file of one line that never ends; it counts what was asked of it."""

    def __init__(self) -> None:
        self.asked = 0

    def readline(self, limit: int) -> bytes:
        """As much as was asked for."""
        self.asked += limit
        return b"x" * limit


def test_a_line_without_an_end_is_given_up_early() -> None:
    """No more of it is read than a line may be long."""
    endless = Endless()
    with pytest.raises(NotABundle, match="line 1 is longer than 4 MB"):
        read_bundle(cast("BinaryIO", endless))
    assert endless.asked == LONGEST_LINE + 1


class WrittenAnew(io.BytesIO):
    """A whole bundle that somebody writes anew, one letter another, once it was gone through."""

    def seek(self, offset: int, whence: int = 0) -> int:
        """What is read from here on is the file as it is now."""
        with self.getbuffer() as view:
            view[WHOLE.index(b'"text":"') + len('"text":"')] ^= 1
        return super().seek(offset, whence)


def test_a_file_that_is_written_anew_while_it_is_read_is_refused() -> None:
    """What was compared once is compared again as it is taken in."""
    with pytest.raises(NotABundle, match="altered after it was written"):
        read_bundle(WrittenAnew(WHOLE))


def test_a_huge_file_is_not_read_at_all(tmp_path: Path) -> None:
    """Two gigabytes that take no room on the disk."""
    huge = tmp_path / "huge.platebook"
    with huge.open("wb") as stream:
        stream.truncate(2 * 2**30)
    with (
        pytest.raises(NotABundle, match="is 2048 MB large; a bundle is at most 512 MB"),
        bundle_file(huge),
    ):
        pass
    assert LARGEST_FILE == 512 * 2**20


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="a system without pipes in folders")
def test_only_plain_files_are_read(tmp_path: Path) -> None:
    """A link, a folder and a pipe are refused, and nobody waits for what a pipe may bring."""
    plain = tmp_path / "plain.platebook"
    plain.write_bytes(WHOLE)
    link, folder, pipe = (tmp_path / f"{name}.platebook" for name in ("link", "folder", "pipe"))
    link.symlink_to(plain)
    folder.mkdir()
    os.mkfifo(pipe)
    with pytest.raises(NotABundle, match="is a link to another file"), bundle_file(link):
        pass
    for odd in (folder, pipe):
        with pytest.raises((NotABundle, IsADirectoryError)), bundle_file(odd):
            pass
    with bundle_file(plain) as stream:
        assert read_bundle(stream) == a_bundle()
    assert stat.S_ISFIFO(pipe.stat().st_mode)
