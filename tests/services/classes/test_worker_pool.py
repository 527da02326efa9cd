"""The same answers whoever does the work, and nobody left behind."""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor

import pytest
from tests.services.class_of_six import class_of_six

from platebook.logbook.file.place import answers_folder
from platebook.services.classes.class_answers import class_findings, class_so_far
from platebook.services.classes.inspections import queue
from platebook.services.classes.worker_pool import (
    WorkerPool,
    cluster_executor,
    process_executor,
    start_tracker,
)
from platebook.services.progress_callback import Stopped
from platebook.services.session import Refused, Session


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> Session:
    """A class to be analysed by several executors."""
    return class_of_six(tmp_path_factory.mktemp("class"))


@pytest.fixture(scope="module")
def here(session: Session) -> tuple[object, ...]:
    """Everything worked out in this process."""
    return answers(session)


@pytest.fixture(scope="module")
def processes() -> Iterator[Executor]:
    """A pool as the program makes it."""
    with process_executor() as found:
        yield found


@pytest.fixture(scope="module")
def scheduler() -> Iterator[str]:
    """The address of a cluster of two workers on this machine."""
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=2,
        threads_per_worker=1,
        processes=True,
        host="127.0.0.1",
        dashboard_address=None,
        silence_logs=50,
    ) as found:
        yield found.scheduler_address


def answers(session: Session, executor: Executor | None = None) -> tuple[object, ...]:
    """Everything worked out anew, here or by this executor."""
    shutil.rmtree(answers_folder(session.path), ignore_errors=True)
    return (
        class_findings(session, executor=executor),
        class_so_far(session, executor=executor),
        queue(session, executor=executor),
    )


def test_the_answers_are_the_same_by_one_process_and_by_several(
    session: Session, here: tuple[object, ...], processes: Executor
) -> None:
    """What is found, a line each, and the queue, to the last digit."""
    assert here == answers(session, processes)
    assert "width of the seat" in [one.family for one in here[0].common]  # type: ignore[attr-defined]


@pytest.mark.slow
@pytest.mark.filterwarnings("ignore")
def test_the_answers_are_the_same_by_a_cluster(
    session: Session, here: tuple[object, ...], scheduler: str
) -> None:
    """Through a scheduler's address, as the command takes it."""
    with cluster_executor(scheduler) as executor:
        assert here == answers(session, executor)


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:1", "nowhere at all", "", "tcp://"])
def test_an_address_where_nobody_answers_is_refused_in_a_sentence(
    address: str,
) -> None:
    """With what was read and what was expected."""
    pytest.importorskip("distributed")
    with (
        pytest.raises(Refused, match=r"--cluster: read '.*no scheduler answered"),
        cluster_executor(address, 0.5),
    ):
        pass


def test_a_pool_that_breaks_down_is_not_missed() -> None:
    """A process that dies takes its work along; it is done here instead."""
    with ProcessPoolExecutor(1) as frail:
        here = os.getpid()
        done = WorkerPool(frail).spread(
            dies_elsewhere, ((str(n), (here, n)) for n in range(4)), attempts=0
        )
    assert done == {"0": 0, "1": 1, "2": 4, "3": 9}


def dies_elsewhere(home: int, number: int) -> int:
    """The square, if it is worked out in the process that asked for it."""
    if os.getpid() != home:
        os._exit(1)
    return number * number


def test_what_work_raises_reaches_whoever_asked() -> None:
    """A fault of ours is not swallowed on the way."""
    with pytest.raises(ZeroDivisionError):
        WorkerPool().spread(divmod, [("a", (1, 0))], attempts=0)


def test_stopped_work_keeps_what_was_done_and_goes_on_from_there(session: Session) -> None:
    """Half of the shares are made before the stop; the next time only the others are."""
    shutil.rmtree(answers_folder(session.path), ignore_errors=True)
    seen: list[float] = []

    def stop_at_three(done: float, of: int) -> None:
        seen.append(done)
        if (done, of) >= (3, 1):
            raise Stopped

    with pytest.raises(Stopped):
        class_findings(session, watch=stop_at_three)
    again: list[float] = []
    class_findings(session, watch=lambda done, _: again.append(done))
    assert (seen, again[0]) == ([1, 2, 3], 4)


def test_a_system_without_posix_starts_no_tracker() -> None:
    """There is none to start there: a fresh interpreter that took the name would not load it."""
    program = (
        "import sys; from platebook.services.classes.worker_pool import start_tracker;"
        "before = 'multiprocessing.resource_tracker' in sys.modules; start_tracker('nt');"
        "print(before, 'multiprocessing.resource_tracker' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.split() == ["False", "False"]
    start_tracker()
