"""The drawer as the app shows it: typed in, changed, taken out and brought back."""

from pathlib import Path

import pytest
from tests.services.bench import ada_at

from platebook.services.drawer_view import (
    change,
    drawer_view,
    put_in,
    take_out,
    take_out_named,
    tool_typed,
)
from platebook.services.faults import Refused
from platebook.services.recording import undo


def test_tools_lie_by_kind_and_size(tmp_path: Path) -> None:
    """As typed, with sizes as people type them."""
    desk = ada_at(tmp_path)
    for typed in ("pin 1,95", "bur 2.3 ball", "bur 5/64in hart", "twist drill #60"):
        put_in(desk, typed)
    assert [(row.kind, row.size, row.typed) for row in drawer_view(desk)] == [
        ("twist drill", "1.02", "twist drill 1.016"),
        ("bur", "2.30", "bur 2.3 ball"),
        ("bur", "1.98", "bur 1.984 hart"),
        ("pin", "1.95", "pin 1.95"),
    ]


def test_a_tool_is_changed_taken_out_and_brought_back(tmp_path: Path) -> None:
    """A made name follows the size; each step is one undo."""
    desk = ada_at(tmp_path)
    put_in(desk, "bur 1.9 hart")
    (row,) = drawer_view(desk)
    assert change(desk, row.tool_id, "bur 2.0 hart") == "1.9 mm hart bur is now 2 mm hart bur."
    assert take_out(desk, row.tool_id) == "2 mm hart bur is taken out; undo puts it back."
    assert drawer_view(desk) == ()
    undo(desk)
    assert [r.name for r in drawer_view(desk)] == ["2 mm hart bur"]
    undo(desk)
    assert [r.name for r in drawer_view(desk)] == ["1.9 mm hart bur"]


def test_a_measuring_tool_is_typed_with_its_kind_and_name(tmp_path: Path) -> None:
    """The line that changes it shows both; the kind stands beside what it reads."""
    desk = ada_at(tmp_path)
    put_in(desk, "measuring bore gauge")
    put_in(desk, "measuring caliper the long one")
    put_in(desk, "measuring old thing")
    rows = {row.name: row for row in drawer_view(desk)}
    assert [(r.typed, r.use) for r in rows.values()] == [
        ("measuring bore gauge", "never checked"),
        ("measuring caliper the long one", "caliper, never checked"),
        ("measuring old thing", "never checked"),
    ]
    change(desk, rows["old thing"].tool_id, "measuring micrometer old thing")
    assert "measuring micrometer old thing" in {row.typed for row in drawer_view(desk)}


def test_a_tool_is_taken_out_by_its_name_or_id(tmp_path: Path) -> None:
    """However it is spelt; two of one name by the id, and nothing by a guess."""
    desk = ada_at(tmp_path)
    for _ in range(2):
        put_in(desk, "bur 1.9 hart")
    put_in(desk, "pin 1.95")
    assert take_out_named(desk, "1.95 MM Pin") == "1.95 mm pin is taken out; undo puts it back."
    first, second = (row.tool_id for row in drawer_view(desk))
    with pytest.raises(Refused, match=f"which 2 tools are; give an id: {first}, {second}"):
        take_out_named(desk, "1.9 mm hart bur")
    take_out_named(desk, second[-6:])
    assert [row.tool_id for row in drawer_view(desk)] == [first]
    with pytest.raises(Refused, match=r"expected a tool of the drawer: 1\.9 mm hart bur"):
        take_out_named(desk, "hammer")


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "tool: read '', expected a kind and a size"),
        ("hammer 3", "tool: read 'hammer 3', expected a kind"),
        ("bur", "size: read 'nothing', expected the size of the bur"),
        ("bur wide", "size: read 'wide', expected"),
    ],
)
def test_what_is_no_tool_is_refused(typed: str, says: str) -> None:
    """With what was read and what was expected."""
    with pytest.raises(Refused) as caught:
        tool_typed(typed)
    assert caught.value.sentence.startswith(says)
