"""Who does the work on a class: this process, several of this machine, or a cluster's.

Any `concurrent.futures.Executor` will do. What is handed over are plain values and functions that
stand at the top of a module; so the answer is the same wherever the work is done.
"""

import contextlib
import multiprocessing
import os
import sys
import threading
from collections.abc import Callable, Generator, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, Future, wait
from types import TracebackType
from typing import Any, ParamSpec, Self, TypeVar

from platebook.services.watching import Watch, unwatched

P = ParamSpec("P")
Done = TypeVar("Done")
Given = tuple[str, tuple[Any, ...]]

WORTH_A_POOL = 3_000
"""Attempts to be read from which several processes save more than the second they take to start."""

MOST_PROCESSES = 8
LOOKED_S = 0.1
"""How often a wait looks whether it is still wanted."""


class Inline(Executor):
    """Does the work at once, in the thread that asks."""

    def submit(self, fn: Callable[P, Done], /, *args: P.args, **kwargs: P.kwargs) -> Future[Done]:
        """Do it now."""
        future: Future[Done] = Future()
        try:
            future.set_result(fn(*args, **kwargs))
        except Exception as error:  # noqa: BLE001 - a future holds what its work raised
            future.set_exception(error)
        return future


class Crew:
    """Chooses who does the work, and lets them go at the end.

    With an executor it is always that one, which stays open. Otherwise a pool of processes is made
    when there is first enough to do.
    """

    def __init__(self, executor: Executor | None = None) -> None:
        self._given = executor
        self._pool: Executor | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._pool is not None:
            self._pool.shutdown(wait=True, cancel_futures=True)

    def spread(
        self,
        work: Callable[..., Done],
        given: Iterable[Given],
        *,
        attempts: int,
        steps: tuple[int, int] = (0, 0),
        watch: Watch = unwatched,
        taken: Callable[[str, Done], None] | None = None,
    ) -> dict[str, Done]:
        """Do the work on each of the given, by name; gives them in the order given.

        `attempts` says how much there is to read, `steps` how many are done before and how many
        there are in all. `taken` is told each as it is done, so that it is kept even where the rest
        is stopped. A pool that breaks down is not missed: what is left is done here.
        """
        told = taken or _nobody_told
        done: dict[str, Done] = {}
        names: list[str] = []
        left: list[Given] = []
        coming = _in_hand(self._for_work(attempts), work, given, names)
        with contextlib.closing(coming):
            for one in coming:
                if isinstance(one, _Lost):
                    left.append(one.given)
                    continue
                if one is not None:
                    done[one[0]] = one[1]
                    told(*one)
                watch(steps[0] + len(done), steps[1])
        for name, arguments in left:
            done[name] = work(*arguments)
            told(name, done[name])
            watch(steps[0] + len(done), steps[1])
        return {name: done[name] for name in names}

    def _for_work(self, attempts: int) -> Executor:
        if self._given is not None:
            return self._given
        if self._pool is None and attempts >= WORTH_A_POOL and processes() > 1:
            self._pool = pool()
        return self._pool or Inline()


def _nobody_told(name: str, done: object) -> None:
    """Nobody waits for single ones."""


class _Lost:
    """Work that came back undone, because the process that had it is gone."""

    def __init__(self, given: Given) -> None:
        self.given = given


def _in_hand(
    executor: Executor, work: Callable[..., Done], given: Iterable[Given], names: list[str]
) -> Generator[tuple[str, Done] | _Lost | None, None, None]:
    """Each as it is done, a few waiting at a time; None where nothing was done for a while."""
    coming = iter(given)
    waiting: dict[Future[Done], Given] = {}
    here = isinstance(executor, Inline)
    most = 1 if here else 4 * MOST_PROCESSES
    try:
        while True:
            for name, arguments in coming:
                names.append(name)
                try:
                    with contextlib.nullcontext() if here else _undisturbed():
                        future = executor.submit(work, *arguments)
                    waiting[future] = (name, arguments)
                except BrokenExecutor:
                    yield _Lost((name, arguments))
                if len(waiting) >= most:
                    break
            if not waiting:
                return
            finished, _ = wait(waiting, timeout=LOOKED_S, return_when=FIRST_COMPLETED)
            if not finished:
                yield None
            for future in finished:
                one = waiting.pop(future)
                try:
                    yield one[0], future.result()
                except BrokenExecutor:
                    yield _Lost(one)
    finally:
        for future in waiting:
            future.cancel()


def processes() -> int:
    """How many processes may work at once on this machine."""
    if hasattr(os, "sched_getaffinity"):
        return min(len(os.sched_getaffinity(0)), MOST_PROCESSES)
    return min(os.cpu_count() or 1, MOST_PROCESSES)


def pool() -> Executor:
    """A pool of fresh processes, which end with this one however it ends.

    They are spawned, never forked: a fork would copy the app's threads and the open logbook.
    """
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import resource_tracker

    with _real_stderr():
        resource_tracker.ensure_running()
    spawned = multiprocessing.get_context("spawn")
    return ProcessPoolExecutor(processes(), mp_context=spawned, initializer=settle_in)


def settle_in() -> None:
    """What a process of the pool does first: let whoever types go before, and mind its parent."""
    import signal

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


@contextlib.contextmanager
def _undisturbed() -> Iterator[None]:
    """What is started here never sees Ctrl-C, which is meant for this process; it waits meanwhile.

    A process inherits what is held back, from its first instruction on.
    """
    import signal

    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


@contextlib.contextmanager
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
