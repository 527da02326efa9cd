"""The class workbook: whole or not at all, and counted as written."""

from collections.abc import Callable
from pathlib import Path

import pytest
from tests.services.class_of_six import class_of

from platebook.services.workbook.class_workbook import WrittenWorkbook, export_class
from platebook.values import as_dict


def stopping_at(step: int, of: int) -> Callable[[float, int], None]:
    """A watch that stops the work, as Ctrl-C does, at this step of so many."""

    def watch(done: float, steps: int) -> None:
        if (done, steps) == (step, of):
            raise KeyboardInterrupt

    return watch


def test_it_says_how_many_rows_each_sheet_has(tmp_path: Path) -> None:
    """Of two setters with 30 attempts each, who own no bur and were not looked at."""
    session = class_of(2, tmp_path)
    steps: list[tuple[float, int]] = []
    done = export_class(session, tmp_path / "two.xlsx", watch=lambda *told: steps.append(told))
    rows = 2 + 60 + done.to_order
    assert done == WrittenWorkbook(students=2, looks=0, attempts=60, to_order=done.to_order, burs=0)
    assert (done.to_order > 0, steps[-1]) == (True, (rows, rows))


@pytest.mark.parametrize("step", [1, 2, 30])
def test_stopped_while_it_is_written_it_leaves_no_file(step: int, tmp_path: Path) -> None:
    """In the first sheet or a later one; nothing half-written and nothing said of it stays."""
    session = class_of(2, tmp_path)
    rows = sum(as_dict(export_class(session, tmp_path / "whole.xlsx")).values())
    before = sorted(tmp_path.iterdir())
    with pytest.raises(KeyboardInterrupt):
        export_class(session, tmp_path / "half.xlsx", watch=stopping_at(step, rows))
    assert sorted(tmp_path.iterdir()) == before
