"""Private keys: a small file for each person beside the logbook, and the paper code of one.

A key is made of a secret of 128 bits, from which the Ed25519 key follows; so the code that brings
it back is short enough for paper: seven groups of four letters and digits, the last two of which
find a slip of the pen. The folder is `NAME-keys` beside the logbook, each file for its owner only
(0600). No copy, backup or bundle has it in it.

| function | gives |
|---|---|
| `key_of`, `make_key`, `keep_key`, `drop_key` | a person's key here: read, made, put back, gone |
| `unreadable_keys` | the files that are no key any more, or that nobody may read |
| `paper_code`, `secret_in` | the code of a key, and the secret of a code that was typed |
| `fingerprint` | the few letters by which two people compare a public key |
"""

import base64
import contextlib
import hashlib
import json
import re
import secrets
from datetime import datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from platebook.logbook.errors import LogbookError
from platebook.logbook.file.place import keys_folder, new_file, sweep
from platebook.practice.revision import KeyCard, Signature
from platebook.practice.text import json_in
from platebook.trade.phrases import count_of
from platebook.values import Value

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

_SECRET_BYTES = 16
_PURPOSE = b"platebook key 1"
_LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""No I, L, O and U, which are read as other letters (as in Crockford's base 32, from memory)."""
_READ_AS = str.maketrans({"I": "1", "L": "1", "O": "0"})
_CODE_LETTERS = 26
_CHECK_LETTERS = 2
_GROUP = 4
_FINGERPRINT_LETTERS = 16
KEY_ENDING = ".key"
"""How the file of a private key ends."""
_FILE_NAME = re.compile(r"[0-9A-Za-z-]{1,64}")


class PrivateKey(Value, dict=True):
    """The key of one person on this machine; `made` is when it was made or put back here."""

    person_id: str
    secret: bytes
    made: datetime

    @cached_property
    def _ed25519(self) -> "Ed25519PrivateKey":
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

        seed = hashlib.blake2b(self.secret, digest_size=32, person=_PURPOSE).digest()
        return Ed25519PrivateKey.from_private_bytes(seed)

    @cached_property
    def public(self) -> str:
        """The public key, base64 for addresses."""
        return as_text(self._ed25519.public_key().public_bytes_raw())

    def sign(self, statement: bytes) -> Signature:
        """The signature of a statement."""
        return Signature(self.public, as_text(self._ed25519.sign(statement)))

    def card(self, name: str) -> KeyCard:
        """What the key says of whose it is."""
        card = KeyCard(
            key=self.public, person_id=self.person_id, name=name, made=self.made, signature=""
        )
        return KeyCard(
            key=card.key,
            person_id=card.person_id,
            name=card.name,
            made=card.made,
            signature=self.sign(card.statement).signature,
        )


def as_text(data: bytes) -> str:
    """Bytes in base64 for addresses, without the filling at the end."""
    return base64.urlsafe_b64encode(data).decode("ascii").rstrip("=")


def as_bytes(text: str) -> bytes:
    """The bytes of such a text; ValueError where it is none, or not written in the one way."""
    data = base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)
    if as_text(data) != text:
        raise ValueError(text)
    return data


def key_of(logbook: Path, person_id: str) -> PrivateKey | None:
    """The key of a person that is kept beside this logbook; None without a readable one."""
    try:
        row = json_in(_file_of(logbook, person_id).read_bytes())
        secret = bytes.fromhex(row["secret"])
        made = datetime.fromisoformat(row["made"])
    except (OSError, ValueError, KeyError, TypeError):
        # A name instead of an id has no file, as no key is kept for it.
        return None
    if len(secret) != _SECRET_BYTES or made.tzinfo is None:
        return None
    return PrivateKey(person_id, secret, made)


def unreadable_keys(logbook: Path) -> dict[str, Path]:
    """The files beside this logbook that hold no key any more, by whose they are.

    A folder that is closed counts as the file of each person; then it stands alone, under "".
    """
    folder = keys_folder(logbook)
    try:
        files = sorted(folder.iterdir())
    except FileNotFoundError:
        return {}
    except OSError:
        return {"": folder}
    keys = {file.stem: file for file in files if file.suffix == KEY_ENDING}
    return {
        person_id: file
        for person_id, file in keys.items()
        if _FILE_NAME.fullmatch(person_id) and key_of(logbook, person_id) is None
    }


def make_key(logbook: Path, person_id: str, now: datetime) -> PrivateKey | None:
    """The key of a person here, made anew where there is none; None where none can be kept."""
    known = key_of(logbook, person_id)
    if known is not None:
        return known
    fresh = PrivateKey(person_id, secrets.token_bytes(_SECRET_BYTES), now)
    try:
        _write(_file_of(logbook, person_id), fresh)
    except FileExistsError:
        # Another program made one in this moment, or what is there cannot be read.
        return key_of(logbook, person_id)
    except (LogbookError, OSError, ValueError):
        return None
    return fresh


def keep_key(logbook: Path, key: PrivateKey) -> None:
    """Put a key in place of the one that a person has here; the one before stays as `.old`."""
    file = _file_of(logbook, key.person_id)
    try:
        _write(file, key, keep_as=file.with_suffix(".old"))
    except OSError as error:
        message = f"The key cannot be kept in {file.parent}: {error.strerror}."
        raise LogbookError("place", f"{message} Nothing was changed.") from error


def drop_key(logbook: Path, person_id: str) -> None:
    """Take a person's key off this machine, where there is one."""
    with contextlib.suppress(OSError, ValueError):
        file = _file_of(logbook, person_id)
        for left in (file, file.with_suffix(".old")):
            left.unlink(missing_ok=True)
        sweep(file)


def _file_of(logbook: Path, person_id: str) -> Path:
    if not _FILE_NAME.fullmatch(person_id):
        raise ValueError(person_id)
    return keys_folder(logbook) / f"{person_id}{KEY_ENDING}"


def _write(file: Path, key: PrivateKey, keep_as: Path | None = None) -> None:
    row = {
        "platebook": "private key: whoever has it signs as this person",
        "secret": key.secret.hex(),
        "made": key.made.isoformat(),
    }
    with new_file(file, keep_as=keep_as) as draft:
        draft.write_text(json.dumps(row) + "\n", encoding="ascii")


def paper_code(secret: bytes) -> str:
    """The code of a key's secret, to be written down: "7K2M-9QXA-..."."""
    letters = _in_letters(int.from_bytes(secret, "big"), _CODE_LETTERS) + _check(secret)
    return "-".join(letters[at : at + _GROUP] for at in range(0, len(letters), _GROUP))


def secret_in(typed: str) -> bytes:
    """The secret of a code as it was typed; ValueError, in words, for one with a slip in it."""
    letters = re.sub(r"[\s-]", "", typed).upper().translate(_READ_AS)
    expected = _CODE_LETTERS + _CHECK_LETTERS
    if len(letters) != expected:
        raise ValueError(f"read {count_of(len(letters), 'letter')}, expected {expected}")
    if odd := next((letter for letter in letters if letter not in _LETTERS), ""):
        raise ValueError(f"read {odd!r}, which no code has in it")
    number = 0
    for letter in letters[:_CODE_LETTERS]:
        number = number * len(_LETTERS) + _LETTERS.index(letter)
    if number >= 1 << (8 * _SECRET_BYTES):
        raise ValueError("read a code that cannot be; look at its first letter")
    secret = number.to_bytes(_SECRET_BYTES, "big")
    if _check(secret) != letters[_CODE_LETTERS:]:
        raise ValueError("a letter is wrong somewhere; compare it with the paper group by group")
    return secret


def _check(secret: bytes) -> str:
    digest = hashlib.blake2b(secret, digest_size=2, person=_PURPOSE).digest()
    return _in_letters(int.from_bytes(digest, "big") % len(_LETTERS) ** 2, _CHECK_LETTERS)


def _in_letters(number: int, count: int) -> str:
    letters = ""
    for _ in range(count):
        number, digit = divmod(number, len(_LETTERS))
        letters = _LETTERS[digit] + letters
    return letters


def fingerprint(key: str) -> str:
    """What two people read to each other to compare a public key: four groups of four letters.

    80 bits of BLAKE2b: another key with the same letters is not found by trying.
    """
    digest = hashlib.blake2b(key.encode("ascii"), digest_size=10).digest()
    letters = _in_letters(int.from_bytes(digest, "big"), _FINGERPRINT_LETTERS)
    return "-".join(letters[at : at + _GROUP] for at in range(0, len(letters), _GROUP))
