"""Driving the app in tests: start it on some session, and wait for what is to be seen.

No terminal is there to be drawn on, so what changes between two keys is laid out and not drawn;
each screen is drawn whole once it is at rest.
"""

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from time import monotonic
from typing import Any

from tests.patience import PATIENCE
from tests.tui.pictures import picture
from textual._compositor import Compositor
from textual.pilot import Pilot
from textual.screen import Screen
from textual.worker import Worker

from platebook.tui.app import BenchApp


class LaidOut(Compositor):
    """Where everything stands on a screen, without the changes that a terminal would be sent."""

    def render_update(self, *where: Any, **how: Any) -> Any:
        """Draw the whole where that is asked, and no changes: half of a test's time goes there."""
        if how.get("full"):
            return super().render_update(*where, **how)
        self._dirty_regions.clear()
        return None


class DrawnAtRest(BenchApp):
    """The app without a terminal; `settled` draws what stands in front."""

    def get_default_screen(self) -> Screen[Any]:
        """Now, laid out only."""
        return laid_out(super().get_default_screen())

    def get_screen(self, screen: Any, _: Any = None) -> Any:
        """A screen on its way to the front, laid out only."""
        return laid_out(super().get_screen(screen))


def laid_out(screen: Screen[Any]) -> Screen[Any]:
    """The screen, which draws no changes from its first moment on."""
    if not screen.is_running:
        screen._compositor = LaidOut()
    return screen


@asynccontextmanager
async def running(session: Any, *, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Pilot[None]]:
    """The app on these session, filled and at rest."""
    app = DrawnAtRest(session)
    async with app.run_test(size=size, notifications=True) as pilot:
        await settled(pilot)
        yield pilot


async def settled(pilot: Pilot[Any]) -> None:
    """All workers done and all messages handled, those that a painted screen began as well.

    What a screen asks only once its mark rests has been asked and answered, and a screen that was
    pushed last is laid out, however slow the machine.
    """
    await pilot.pause()
    await pilot.pause()
    while (workers := _at_work(pilot)) or _in_the_making(pilot.app.screen):
        if workers:
            await pilot.app.workers.wait_for_complete(workers)
        else:
            await pilot.pause(0.01)
        await pilot.pause()
        await pilot.pause()
    picture(pilot.app)


def _in_the_making(screen: Screen[Any]) -> bool:
    return not screen.size or bool(getattr(screen, "at_rest", None))


def _at_work(pilot: Pilot[Any]) -> list[Worker[Any]]:
    return [worker for worker in pilot.app.workers if not worker.is_finished]


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
