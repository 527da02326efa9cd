"""What an error of a far place means, in words that say what to do.

Each library raises errors of its own, which have no family in common, and hides one in another. So
what is known of an error is the names of its families, the number that a server answered with, and
both of all that it was raised from. No text of a library is shown: an address or a header in it may
hold a secret.

| name | answers |
|---|---|
| `of_the_place` | what is wrong, where the place itself does not do what is asked of it |
| `of_a_file` | why one file of it could not be had |
| `is_of_one_file` | which of the two it is |
"""

import errno
from collections.abc import Container, Iterator, Mapping
from urllib.parse import urlsplit
from urllib.request import getproxies, proxy_bypass

from platebook.services.sharing.places.allowance import SentTooMuch


class CutShort(Exception):  # noqa: N818 - named for what is so, not for being an error
    """Another size lies there than was written."""


MOST_ERRORS = 60
"""Errors that are looked at of those that one was raised from."""

GONE = (404, 410)
FULL = (413, 507)
LOCKED = (423,)
BUSY = (408, 425, 429, 502, 503, 504, 509)
NOT_LET_IN = (401, 403)
BY_THE_PROXY = (407,)
NUMBERS = {"ResourceNotFound": 404, "BadGatewayError": 502, "InsufficientStorage": 507}
"""Errors of a library that keep no answer, and the number that each stands for."""

BUSY_THERE = (errno.EBUSY,)
FULL_THERE = (errno.ENOSPC, errno.EDQUOT)

NO_KEY_TO_TRY = "No authentication methods"
LINE_CLOSED = "Socket is closed"
_BROKE_OFF = ("RemoteProtocol", "IncompleteRead", "ClientPayload")
_NO_PLACE = (ValueError, SyntaxError, AssertionError, LookupError, TypeError, AttributeError)
"""What a library comes to that takes an answer for what it is not."""

_NOT_THERE = "is not there. Make it first, or look whether the address is right."
_OWN_ADDRESS = "Look whether the address is the one that your school or provider gave you."
_KEPT_OUT = (
    "does not let you in. Look whether your key or password is where the page on sharing says, and "
    "whether you may write there."
)
_PROXY = (
    "cannot be reached by the proxy that this machine goes through. Look whether HTTPS_PROXY and "
    "HTTP_PROXY are right, or name the place in NO_PROXY."
)
_FULL = (
    "has no room left for your file. Take away there what nobody needs, or ask whoever keeps the "
    "place."
)
_SENT_ON = "sends on to an address that cannot be opened. Look whether the address is right."
_NOT_SAFE = (
    "does not speak as an address with https:// does. Look whether it is the right one, with the "
    "right number behind its colon."
)
_NO_REASON = (
    "could not do what was asked of it, and does not say why. Often there is no room left, or what "
    "was named is no folder: look there."
)
_BUSY = "has too much to do just now{told}. Try again in some minutes."
_REFUSED = (
    "refuses what is asked of it{told}. Try again later; if it stays so, tell whoever keeps the "
    "place."
)
_BY_NUMBER: tuple[tuple[Container[int], str], ...] = (
    (NOT_LET_IN, _KEPT_OUT),
    ((*GONE, 409), _NOT_THERE),  # 409: it would be written into a folder that is not there
    (FULL, _FULL),
    (LOCKED, "is locked there by another program. Try again in some minutes."),
    (BUSY, _BUSY),
    (BY_THE_PROXY, _PROXY),
    (range(300, 400), _SENT_ON),
    # A server that shares no files does not know what is asked of it.
    ((400, 405, 415, 501, 505), f"does not do what a place for files does{{told}}. {_OWN_ADDRESS}"),
    (
        range(500, 600),
        "has trouble of its own{told}. Try again later; if it stays so, tell whoever keeps it.",
    ),
)
"""Numbers of answers (RFC 9110, section 15; RFC 4918, section 11), and what each means."""

_CUT_SHORT = (
    "says that it took your file, and does not have all of it. Share again; if it stays so, look "
    "whether the address is right, and whether there is room."
)
_SIGN = (
    "cannot be asked for, because of a sign in it. Look whether it is right, and give the folder "
    "there a name of letters and digits."
)
_HOST_KEY = (
    "this machine does not know the key of that one, which may be another than you think. "
    "Connect once with ssh, and compare the key it shows with the one you were given."
)
_CLOCK = (
    "lets nobody in whose clock says another time than its own. Set this machine's clock, then "
    "share again."
)
_CERTIFICATE = (
    "shows a certificate that this machine does not trust, so it may be another place than you "
    "think. Look whether the address and this machine's clock are right, and ask whoever keeps it."
)
_BY_NAME = (
    ((SentTooMuch.__name__,), "sends more than was asked for, and was not read to its end."),
    ((CutShort.__name__,), _CUT_SHORT),
    (
        ("TooManyRedirects",),
        "sends on and on to other addresses. Look whether the address is right.",
    ),
    (("Quota", "InsufficientCapacity", "StorageFull", "InsufficientStorage"), _FULL),
    (("Redirect", "UnsupportedProtocol"), _SENT_ON),
    (("InvalidURL", "ParamValidation"), _SIGN),
    (("HostKey", "UnknownHost"), _HOST_KEY),
    (("TimeTooSkewed",), _CLOCK),
    (("Credential", "Authentication", "PasswordRequired", "Forbidden", "AccessDenied"), _KEPT_OUT),
    (("Certificate", "CertVerification"), _CERTIFICATE),
    (("ProxyError", "ProxyConnection"), _PROXY),
)
"""What stands in the names of errors, and what it means; the first that fits is said."""


def of_the_place(error: Exception, address: str, patience_s: float) -> str:
    """What is wrong with a place, to be said after its address."""
    return (
        _by_name(error)
        or _by_kind(error, patience_s)
        or _by_number(error)
        or _by_line(error, address)
        or f"something went wrong there ({type(error).__name__}). Try again later."
    )


def of_a_file(error: Exception) -> str:
    """Why one file could not be had, to be said after its name."""
    names, number = _names(error), status(error)
    if isinstance(error, FileNotFoundError) or number in GONE:
        return "is not there any more"
    if SentTooMuch.__name__ in names:
        return "is longer than the place says"
    if isinstance(error, PermissionError) or number in NOT_LET_IN:
        return "may not be read there by you; ask whoever wrote it, or keeps the place"
    if number in LOCKED:
        return "is locked there; share again later"
    if _any_in(_BROKE_OFF, names):
        return "broke off while it was read; share again, and have it written anew if it stays so"
    told = f" (it answers {number})" if number else ""
    return f"cannot be read there{told}; share again later"


def is_of_one_file(error: Exception) -> bool:
    """Whether an error is about a file that was asked for, and not about the place."""
    number = status(error)
    if isinstance(error, FileNotFoundError | IsADirectoryError | PermissionError):
        return True
    if number:
        return number not in (*BUSY, *BY_THE_PROXY)
    if type(error) is OSError and not _says(error, LINE_CLOSED):
        return True
    return _any_in((SentTooMuch.__name__, *_BROKE_OFF), _names(error))


def status(error: BaseException) -> int:
    """The number that a server answered with; 0 for none."""
    for one in _chain(error):
        response = getattr(one, "response", None)
        if isinstance(response, Mapping):  # as the library of object stores keeps it
            number = response.get("ResponseMetadata", {}).get("HTTPStatusCode")
        else:
            number = getattr(response, "status_code", None) or getattr(one, "status", None)
        number = number or NUMBERS.get(type(one).__name__)
        if isinstance(number, int):
            return number
    return 0


def _by_name(error: Exception) -> str:
    names = _names(error)
    return next((words for parts, words in _BY_NAME if _any_in(parts, names)), "")


def _by_kind(error: Exception, patience_s: float) -> str:
    """What is known by the kind of error that Python itself has for it."""
    if isinstance(error, PermissionError) or _says(error, NO_KEY_TO_TRY):
        return _KEPT_OUT
    if isinstance(error, FileNotFoundError):
        return _NOT_THERE
    if isinstance(error, TimeoutError) or "Timeout" in _names(error):
        return f"did not answer within {patience_s:.0f} s. Try again later."
    if "SSLError" in _names(error):
        return _NOT_SAFE
    return ""


def _by_number(error: Exception) -> str:
    """What the number of an answer means, or of an error that stands for one."""
    number, kind = status(error), getattr(error, "errno", None)
    if kind in FULL_THERE:
        return _FULL
    told = f" (it answers {number})"
    if kind in BUSY_THERE:
        return _BUSY.format(told=told if number else "")
    words = next((words for numbers, words in _BY_NUMBER if number in numbers), _REFUSED)
    return words.format(told=told) if number else ""


def _by_line(error: Exception, address: str) -> str:
    """What is wrong with the line, or with what is taken for an answer."""
    names = _names(error)
    if _any_in((*_BROKE_OFF, "EOFError"), names) or _says(error, LINE_CLOSED):
        return "broke off in the middle of an answer. Share again; if it stays so, try later."
    if isinstance(error, ConnectionError) or _any_in(("Connect", "gaierror"), names):
        return _unreached(address)
    if "SSHException" in names:
        return "could not be spoken with by ssh. Connect once with ssh, and look what it says."
    if isinstance(error, _NO_PLACE) or "SFTPError" in names:
        return f"does not answer as a place for files does. {_OWN_ADDRESS}"
    if type(error) is OSError:
        return _NO_REASON
    return ""


def _unreached(address: str) -> str:
    """A place that no line leads to; where the way goes through a proxy, that is said."""
    parts = urlsplit(address)
    if parts.scheme.casefold() in getproxies() and not proxy_bypass(parts.hostname or ""):
        return _PROXY
    return (
        "cannot be reached from here. Look whether this machine is connected and the address "
        "is right."
    )


def _says(error: Exception, text: str) -> bool:
    """Whether an error is known by its text alone, as some of ssh are."""
    return text in str(error)


def _any_in(parts: tuple[str, ...], names: str) -> bool:
    return any(part in names for part in parts)


def _chain(error: BaseException) -> Iterator[BaseException]:
    """An error and those it was raised from."""
    seen: BaseException | None = error
    for _ in range(MOST_ERRORS):
        if seen is None:
            return
        yield seen
        seen = seen.__cause__ or seen.__context__


def _names(error: BaseException) -> str:
    """The names of an error's families, of those it was raised from, and a store's word for it."""
    names: list[str] = []
    for one in _chain(error):
        names += [family.__name__ for family in type(one).__mro__]
        response = getattr(one, "response", None)
        if isinstance(response, Mapping):
            names.append(str(response.get("Error", {}).get("Code", "")))
    return " ".join(names)
