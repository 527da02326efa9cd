"""A cluster's executor, for a school on several machines: the extra `cluster`.

Whoever can reach a scheduler's address can run programs on its machines, and what is worked on
goes there. So it is only used where an address is given, for one command.
"""

from collections.abc import Iterator
from concurrent.futures import CancelledError, Executor
from contextlib import contextmanager

from platebook import __version__
from platebook.practice.text import clean
from platebook.services.faults import Refused

PATIENCE_S = 5
"""How long a scheduler may take to answer."""

NEEDED = "--cluster: needs the extra `cluster` of platebook (docs/class.md says how to install it)"


def version_there() -> str:
    """The version of this program where the call is made."""
    return __version__


@contextmanager
def cluster(address: str, patience_s: float = PATIENCE_S) -> Iterator[Executor]:
    """The executor of the cluster whose scheduler answers at this address.

    Refused, in a sentence, where the extra is missing, nobody answers in time, nobody works there,
    another version works there, or the cluster goes away.
    """
    try:
        from distributed import Client, KilledWorker
        from distributed.comm.core import CommClosedError
    except ImportError as error:
        raise Refused(NEEDED) from error
    wanted = f"--cluster: read {clean(address)!r}"
    try:
        client = Client(address, timeout=patience_s, set_as_default=False)
    except Exception as error:  # the library has many ways to say so, assertions among them
        raise Refused(
            f"{wanted}, but no scheduler answered there within {patience_s:g} s; expected the "
            "address of one that runs, such as tcp://10.0.0.5:8786"
        ) from error
    try:
        _refuse_strangers(wanted, client.run(version_there))
        yield client.get_executor(pure=False)
    except ImportError as error:
        raise Refused(f"{wanted}, but platebook is not installed on its workers") from error
    except (CancelledError, CommClosedError, KilledWorker, TimeoutError) as error:
        raise Refused(
            f"{wanted}, and the cluster went away before the work was done. Nothing was changed; "
            "without --cluster this machine does it"
        ) from error
    finally:
        client.close(timeout=PATIENCE_S)


def _refuse_strangers(wanted: str, versions: dict[str, object]) -> None:
    """Other versions might answer otherwise, and nobody could say which."""
    if not versions:
        raise Refused(f"{wanted}, where a scheduler answered that has no workers")
    others = sorted({str(one) for one in versions.values()} - {__version__})
    if others:
        raise Refused(
            f"{wanted}, whose workers have platebook {', '.join(others)}; "
            f"expected {__version__} as here"
        )
