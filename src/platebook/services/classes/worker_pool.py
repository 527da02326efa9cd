"""Who does the work on a class: this process, several of this machine, or a cluster's.

Any `concurrent.futures.Executor` will do. What is handed over are plain values and functions that
stand at the top of a module; so the answer is the same wherever the work is done.

| function or class | gives |
|---|---|
| `WorkerPool` | the work on each setter done, while a `Watch` is told how far it is |
| `process_executor` | several processes of this machine |
| `cluster_executor` | a cluster's, by its scheduler's address: the extra `cluster` |
"""

import contextlib
import gc
import multiprocessing
import os
import signal
import sys
import threading
from collections.abc import Callable, Generator, Iterable, Iterator
from concurrent.futures import (
    FIRST_COMPLETED,
    BrokenExecutor,
    CancelledError,
    Executor,
    Future,
    wait,
)
from contextlib import contextmanager
from types import TracebackType
from typing import Any, Self, TypeVar

from platebook import __version__
from platebook.practice.text import clean
from platebook.services.progress_callback import Watch, unwatched
from platebook.services.session import Refused

Answer = TypeVar("Answer")
Task = tuple[str, tuple[Any, ...]]
"""Whom the work is about, by name, and the arguments of the function that does it."""

WORTH_A_POOL = 3_000
"""Attempts to be read from which several processes save more than the second they take to start."""

MOST_PROCESSES = 8
MOST_WAITING = 4 * MOST_PROCESSES
LOOKED_S = 0.1
"""How often a wait looks whether it is still wanted."""

PATIENCE_S = 5
"""How long a cluster's scheduler may take to answer."""

NEEDED = "--cluster: needs the extra `cluster` of platebook (docs/class.md says how to install it)"


class WorkerPool:
    """Chooses who does the work, tells `watch` how far it is, and lets them go at the end.

    With an executor it is always that one, which stays open. Otherwise the work is done here, and
    by several processes from when there is first enough of it.
    """

    def __init__(self, executor: Executor | None = None, watch: Watch = unwatched) -> None:
        self._executor = executor
        self._own: Executor | None = None
        self._watch = watch

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._own is not None:
            self._own.shutdown(wait=True, cancel_futures=True)

    def spread(
        self,
        work: Callable[..., Answer],
        tasks: Iterable[Task],
        *,
        attempts: int,
        steps: tuple[int, int] = (0, 0),
        keep: Callable[[str, Answer], None] | None = None,
    ) -> dict[str, Answer]:
        """Do the work on each of the tasks, by name; gives the answers in the order of the tasks.

        `attempts` says how much there is to read, `steps` how many are done before and how many
        there are in all. `keep` is given each answer as it comes, so that it is kept even where the
        watch stops the rest. A pool that breaks down is not missed: what is left is done here.
        """
        done: dict[str, Answer] = {}
        names: list[str] = []
        executor = self._executor_for(attempts)
        coming = (
            _here(work, tasks, names)
            if executor is None
            else _elsewhere(executor, work, tasks, names)
        )
        with contextlib.closing(coming):
            for answered in coming:
                if answered is not None:
                    name, done[name] = answered
                    if keep is not None:
                        keep(name, done[name])
                self._watch(steps[0] + len(done), steps[1])
        return {name: done[name] for name in names}

    def _executor_for(self, attempts: int) -> Executor | None:
        if self._executor is not None:
            return self._executor
        if self._own is None and attempts >= WORTH_A_POOL and processes() > 1:
            self._own = process_executor()
        return self._own


def _here(
    work: Callable[..., Answer], tasks: Iterable[Task], names: list[str]
) -> Generator[tuple[str, Answer] | None, None, None]:
    """Each answer, worked out in the thread that asks."""
    for name, arguments in tasks:
        names.append(name)
        yield name, work(*arguments)


def _elsewhere(
    executor: Executor, work: Callable[..., Answer], tasks: Iterable[Task], names: list[str]
) -> Generator[tuple[str, Answer] | None, None, None]:
    """Each answer as it comes, a few waiting at a time; None where nothing came for a while.

    What comes back undone, because the process that had it is gone, is done here at the end.
    """
    coming = iter(tasks)
    waiting: dict[Future[Answer], Task] = {}
    lost: list[Task] = []
    try:
        while True:
            for task in coming:
                names.append(task[0])
                try:
                    with _undisturbed():
                        waiting[executor.submit(work, *task[1])] = task
                except BrokenExecutor:
                    lost.append(task)
                if len(waiting) >= MOST_WAITING:
                    break
            if not waiting:
                break
            finished, _ = wait(waiting, timeout=LOOKED_S, return_when=FIRST_COMPLETED)
            if not finished:
                yield None
            for future in finished:
                task = waiting.pop(future)
                if isinstance(future.exception(), BrokenExecutor):
                    lost.append(task)
                else:
                    yield task[0], future.result()
    finally:
        for future in waiting:
            future.cancel()
    yield from _here(work, lost, [])


def processes() -> int:
    """How many processes may work at once on this machine."""
    if hasattr(os, "sched_getaffinity"):
        return min(len(os.sched_getaffinity(0)), MOST_PROCESSES)
    return min(os.cpu_count() or 1, MOST_PROCESSES)


def process_executor() -> Executor:
    """A pool of fresh processes, which end with this one however it ends.

    They are spawned, never forked: a fork would copy the app's threads and the open logbook.
    """
    from concurrent.futures import ProcessPoolExecutor

    start_tracker()
    spawned = multiprocessing.get_context("spawn")
    return ProcessPoolExecutor(processes(), mp_context=spawned, initializer=settle_in)


def start_tracker(system: str = os.name) -> None:
    """Start what tidies up after processes with the real stderr; only POSIX has it."""
    if system != "posix":
        return
    from multiprocessing import resource_tracker

    with _real_stderr():
        resource_tracker.ensure_running()


def settle_in() -> None:
    """What a process of the pool does first: let whoever types go before, and mind its parent."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with contextlib.suppress(OSError, AttributeError):
        os.nice(10)
    parent = multiprocessing.parent_process()
    if parent is not None:

        def end_with_it() -> None:
            parent.join()
            os._exit(1)

        threading.Thread(target=end_with_it, daemon=True).start()


@contextmanager
def _undisturbed() -> Iterator[None]:
    """What is started here never sees Ctrl-C, which is meant for this process; it waits meanwhile.

    A process inherits what is held back, from its first instruction on.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


@contextmanager
def _real_stderr() -> Iterator[None]:
    """The app shows what is printed inside itself; a process to be started needs a real stream."""
    try:
        real = sys.stderr.fileno() >= 0
    except (AttributeError, OSError, ValueError):
        real = False
    if real or sys.__stderr__ is None:
        yield
    else:
        with contextlib.redirect_stderr(sys.__stderr__):
            yield


@contextmanager
def cluster_executor(address: str, patience_s: float = PATIENCE_S) -> Iterator[Executor]:
    """The executor of the cluster whose scheduler answers at this address.

    Whoever can reach a scheduler's address can run programs on its machines, and what is worked on
    goes there. So it is only used where an address is given, for one command. Refused, in a
    sentence, where the extra is missing, nobody answers in time, nobody works there, another
    version works there, or the cluster goes away.
    """
    try:
        from distributed import Client, KilledWorker
        from distributed.comm.core import CommClosedError
    except ImportError as error:
        raise Refused(NEEDED) from error
    wanted = f"--cluster: read {clean(address)!r}"
    # A client that could not start is closed when it is collected, under the lock that a new one
    # starts under: collected in the middle of that, both would wait for ever.
    gc.collect()
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


def version_there() -> str:
    """The version of this program where the call is made."""
    return __version__


def _refuse_strangers(wanted: str, versions: dict[str, object]) -> None:
    """Other versions might answer otherwise, and nobody could say which."""
    if not versions:
        raise Refused(f"{wanted}, where a scheduler answered that has no workers")
    others = sorted({str(version) for version in versions.values()} - {__version__})
    if others:
        raise Refused(
            f"{wanted}, whose workers have platebook {', '.join(others)}; "
            f"expected {__version__} as here"
        )
