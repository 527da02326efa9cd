"""Now: what is remembered of how somebody likes it."""

from pathlib import Path

from tests.services.bench import ada_at

from platebook.services.now import now, show_steps


def test_the_list_of_steps_stays_as_it_was_left(tmp_path: Path) -> None:
    """Folded away at first; unfolded until it is folded again."""
    desk = ada_at(tmp_path)
    seen = [now(desk).steps_shown]
    for shown in (True, False):
        show_steps(desk, shown=shown)
        seen.append(now(desk).steps_shown)
    assert seen == [False, True, False]
