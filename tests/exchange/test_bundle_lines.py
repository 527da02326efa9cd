"""The lines of a bundle: each field is of its type, or named."""

import re

import pytest
from tests.exchange.bundles import (
    a_bundle,
    altered,
    an_id,
    as_read,
    refused,
    resealed,
    write_bundle,
)


def test_what_its_logbook_did_not_save_is_refused_and_an_older_bundle_is_read() -> None:
    """A flip in the sender's file is told by the checksum; a program before it sent none."""
    whole = write_bundle(a_bundle())
    flipped = resealed(whole.replace(b"Ada Quill", b"Ada Quilm", 1))
    assert "does not read as it was saved (its checksum differs)" in refused(flipped)
    flipped = resealed(whole.replace(b"=1+1", b"=1+3", 1))
    assert f"line 5: the attempt {an_id(1002)} does not read as it was saved" in refused(flipped)
    older = resealed(re.sub(rb',"checksum":"[0-9a-f]{32}"', b"", whole))
    assert as_read(older) == a_bundle()


@pytest.mark.parametrize(
    ("name", "key", "value", "words"),
    [
        ("change", "change_id", "42", "line 2, change_id: read '42', expected a UUID"),
        ("change", "change_id", an_id(1).upper(), "expected a UUID"),
        ("change", "counter", 0, "counter: read 0, expected a whole number from 1"),
        ("change", "counter", 10**30, "expected a whole number from 1"),
        ("change", "counter", True, "counter: read True, expected a whole number"),
        ("change", "wall", "2026-02-03T18:30", "expected a time with its offset"),
        ("change", "wall", "0001-01-01T00:00:00+14:00", "wall: read '0001"),
        ("change", "author", "a\u202eb", "expected text without characters that steer"),
        ("change", "author", "x" * 300, "expected text of at most 200 characters"),
        ("revision", "parents", [an_id(1)], "expected other revisions than itself"),
        ("revision", "parents", "none", "parents: read 'none', expected a list"),
        ("revision", "hidden", 1, "hidden: read 1, expected true or false"),
        ("revision", "change_id", an_id(77), "expected a change that stands above it"),
        ("revision", "record_id", None, "record_id: read None, expected a UUID"),
        ("revision", "record", {}, "record: read {}, expected text"),
        ("revision", "record", "4.5", "record: read '4.5', expected a record as a JSON object"),
        ("revision", "record", '{"a"', "expected a record as a JSON object"),
        ("revision", "record", '{"setter_id":[]}', "a JSON object of texts and numbers"),
        ("erased", "record_id", "me", "record_id: read 'me', expected a UUID"),
        ("course", "version", -1, "version: read -1, expected a whole number"),
        ("prior", "setter_id", "me", "setter_id: read 'me', expected a UUID"),
    ],
)
def test_a_line_that_is_not_as_it_should_be_is_named(
    name: str, key: str, value: object, words: str
) -> None:
    """Also in a file whose digest is right: line, field, what was read, what was expected."""
    assert words in refused(altered(name, key, value))
