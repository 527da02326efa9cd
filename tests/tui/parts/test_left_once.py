"""A screen that is asked to leave twice, or under another one."""

import asyncio

from textual.app import App

from platebook.tui.parts.left_once import LeftOnce


async def _over_each_other(app: App[None], count: int) -> tuple[list[LeftOnce[str]], list[object]]:
    """So many screens over the app's own, and what each is left with."""
    screens = [LeftOnce[str]() for _ in range(count)]
    answers: list[object] = []
    for screen in screens:
        await app.push_screen(screen, answers.append)
    return screens, answers


def test_two_answers_leave_one_screen_with_the_first_of_them() -> None:
    """What lies below stays, and hears of one."""

    async def asked() -> None:
        app = App[None]()
        async with app.run_test() as pilot:
            (below, above), answers = await _over_each_other(app, 2)
            above.dismiss("first")
            above.dismiss("second")
            await pilot.pause()
            assert (answers, app.screen) == (["first"], below)

    asyncio.run(asked())


def test_a_screen_under_another_is_left_when_that_one_is() -> None:
    """Nothing is taken away from whoever reads what lies over it."""

    async def asked() -> None:
        app = App[None]()
        async with app.run_test() as pilot:
            (below, above), answers = await _over_each_other(app, 2)
            below.dismiss("done")
            await pilot.pause()
            assert (answers, app.screen) == ([], above)
            above.dismiss("read")
            await pilot.pause()
            assert (answers, len(app.screen_stack)) == (["read", "done"], 1)

    asyncio.run(asked())
