"""Driving the app in tests: start it on some session, and wait for what is to be seen."""

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from time import monotonic
from typing import Any

from tests.patience import PATIENCE
from tests.tui.pictures import picture
from textual.pilot import Pilot

from platebook.tui.app import BenchApp


@asynccontextmanager
async def running(session: Any, *, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Pilot[None]]:
    """The app on these session, filled and at rest."""
    app = BenchApp(session)
    async with app.run_test(size=size, notifications=True) as pilot:
        await settled(pilot)
        yield pilot


async def settled(pilot: Pilot[Any]) -> None:
    """All workers done and all messages handled, those that a painted screen began as well."""
    await pilot.pause()
    await pilot.pause()
    while workers := [worker for worker in pilot.app.workers if not worker.is_finished]:
        await pilot.app.workers.wait_for_complete(workers)
        await pilot.pause()
        await pilot.pause()


def on(pilot: Pilot[Any], kind: type) -> bool:
    """Whether a screen of this kind is in front."""
    return isinstance(pilot.app.screen, kind)


async def press(pilot: Pilot[Any], *keys: str) -> None:
    """Press keys one after the other, then let everything settle."""
    await pilot.press(*keys)
    await settled(pilot)


async def until(pilot: Pilot[Any], so: Callable[[], bool]) -> None:
    """Wait until something is so."""
    end = monotonic() + PATIENCE
    while not so():
        if monotonic() > end:
            raise AssertionError(f"never so; on the screen:\n{picture(pilot.app)}")
        await pilot.pause(0.01)
