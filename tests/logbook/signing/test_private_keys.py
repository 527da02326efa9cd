"""Private keys: files that only their owner reads, and codes that fit on a slip of paper."""

import os
import stat
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.logbook.books import ME, NOW

from platebook.logbook.file.place import keys_folder
from platebook.logbook.signing.private_keys import (
    PrivateKey,
    drop_key,
    fingerprint,
    keep_key,
    key_of,
    make_key,
    paper_code,
    secret_in,
)
from platebook.logbook.signing.signatures import fits
from platebook.practice.revision import Signature

RFC_8032_PUBLIC = "11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo"
"""The public key of RFC 8032, section 7.1, test 1 (d75a9801...511a), in base64 for addresses."""
RFC_8032_SIGNATURE = (
    "5VZDAMNgrHKQhuLMgG6CioSHfx645dl02HPgZSJJAVVfuIIVkKM7rMYeOXAc-bRr0lv18FlbviRlUUFDjnoQCw"
)


@given(st.binary(min_size=16, max_size=16))
def test_a_code_brings_back_its_secret(secret: bytes) -> None:
    """However it is typed: small letters, spaces, I for 1 and O for 0."""
    code = paper_code(secret)
    assert [len(group) for group in code.split("-")] == [4] * 7
    typed = code.lower().replace("-", " ").replace("0", "o").replace("1", "l")
    assert secret_in(typed) == secret


@given(st.binary(min_size=16, max_size=16), st.integers(0, 27), st.integers(1, 31))
def test_one_wrong_letter_is_found_but_once_in_a_thousand(
    secret: bytes, place: int, step: int
) -> None:
    """Another code is refused, or names another secret: never the same one."""
    letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
    code = paper_code(secret).replace("-", "")
    wrong = letters[(letters.index(code[place]) + step) % len(letters)]
    try:
        read = secret_in(code[:place] + wrong + code[place + 1 :])
    except ValueError:
        return
    assert read != secret


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("", "read 0 letters, expected 28"),
        ("0000-0000-0000-0000-0000-0000-000", "read 27 letters, expected 28"),
        ("0000-0000-0000-0000-0000-0000-000U", "read 'U', which no code has in it"),
        ("ZZZZ-0000-0000-0000-0000-0000-0000", "look at its first letter"),
        ("0000-0000-0000-0000-0000-0000-0000", "a letter is wrong somewhere"),
    ],
)
def test_a_code_with_a_slip_is_refused_in_words(typed: str, words: str) -> None:
    """Each says what was read and what to look at."""
    with pytest.raises(ValueError, match=words):
        secret_in(typed)


def test_a_key_is_made_once_and_read_by_its_owner_alone(tmp_path: Path) -> None:
    """In a folder beside the logbook that no copy of the logbook has in it."""
    book = tmp_path / "book.sqlite"
    made = make_key(book, ME, NOW)
    assert made is not None
    assert make_key(book, ME, NOW) == key_of(book, ME) == made
    (file,) = keys_folder(book).iterdir()
    assert file.name == f"{ME}.key"
    if os.name == "posix":
        assert stat.S_IMODE(file.stat().st_mode) == 0o600
        assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700


def test_a_key_that_is_put_back_leaves_the_one_before(tmp_path: Path) -> None:
    """It is renamed, and goes with the person."""
    book = tmp_path / "book.sqlite"
    make_key(book, ME, NOW)
    keep_key(book, PrivateKey(ME, b"from the paper!!", NOW))
    assert key_of(book, ME) == PrivateKey(ME, b"from the paper!!", NOW)
    assert sorted(f.suffix for f in keys_folder(book).iterdir()) == [".key", ".old"]
    drop_key(book, ME)
    assert list(keys_folder(book).iterdir()) == []


@pytest.mark.parametrize(
    "text", ["", "{}", "[" * 10**5, '{"secret": "00", "made": "2026-02-03T00:00:00+00:00"}']
)
def test_a_damaged_key_is_none_and_is_left_alone(tmp_path: Path, text: str) -> None:
    """Nothing is signed then; what is there may be mended from a copy."""
    book = tmp_path / "book.sqlite"
    keys_folder(book).mkdir()
    file = keys_folder(book) / f"{ME}.key"
    file.write_text(text, encoding="ascii")
    assert (key_of(book, ME), make_key(book, ME, NOW)) == (None, None)
    assert file.read_text(encoding="ascii") == text


def test_no_file_is_made_for_a_name_that_is_no_id(tmp_path: Path) -> None:
    """An id from a bundle never leads out of the folder."""
    assert make_key(tmp_path / "book.sqlite", "../../elsewhere", NOW) is None
    assert list(tmp_path.iterdir()) == []


def test_signatures_are_ed25519_as_published() -> None:
    """RFC 8032, section 7.1, test 1: the empty message."""
    signed = Signature(RFC_8032_PUBLIC, RFC_8032_SIGNATURE)
    assert (fits(b"", signed), fits(b"x", signed), fits(b"", None)) == (True, False, False)
    assert not fits(b"", Signature("no key", RFC_8032_SIGNATURE))


def test_a_fingerprint_is_four_groups_of_four() -> None:
    """Two keys have different ones."""
    one = fingerprint(PrivateKey(ME, bytes(16), NOW).public)
    other = fingerprint(PrivateKey(ME, bytes(15) + b"\x01", NOW).public)
    assert [len(group) for group in one.split("-")] == [4] * 4
    assert one != other
