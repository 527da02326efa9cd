"""What is loaded is set aside where a person waits for keys, and in no test's app."""

import gc

from textual.app import App

from platebook.tui.running.garbage import look_seldom_while_starting, set_aside_what_is_loaded


async def test_an_app_without_a_terminal_is_left_alone() -> None:
    """What it leaves behind has to go."""
    before = gc.get_freeze_count()
    app: App[None] = App()
    async with app.run_test():
        set_aside_what_is_loaded(app)
    assert gc.get_freeze_count() == before


def test_what_lives_is_looked_through_no_more() -> None:
    """Until it is given back; from then on Python searches as often as it does by itself."""
    before, often = gc.get_freeze_count(), gc.get_threshold()
    try:
        look_seldom_while_starting()
        seldom = gc.get_threshold()
        set_aside_what_is_loaded(App())
        assert gc.get_freeze_count() > before
        assert gc.get_threshold() == often < seldom
    finally:
        gc.unfreeze()
        gc.set_threshold(*often)
