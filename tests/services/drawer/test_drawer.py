"""A tool from what was typed about it."""

from pathlib import Path

import pytest
from tests.services.bench import ada_at

from platebook.services.attempts.recording import undo
from platebook.services.drawer.drawer import (
    change,
    drawer_view,
    put_in,
    take_out,
    take_out_named,
    tool_from,
    tool_typed,
)
from platebook.services.session import Refused


def test_tools_lie_by_kind_and_size(tmp_path: Path) -> None:
    """As typed, with sizes as people type them."""
    session = ada_at(tmp_path)
    for typed in ("pin 1,95", "bur 2.3 ball", "bur 5/64in hart", "twist drill #60"):
        put_in(session, typed)
    assert [(row.kind, row.size, row.typed) for row in drawer_view(session)] == [
        ("twist drill", "1.02", "twist drill 1.016"),
        ("bur", "2.30", "bur 2.3 ball"),
        ("bur", "1.98", "bur 1.984 hart"),
        ("pin", "1.95", "pin 1.95"),
    ]


def test_a_name_that_says_kind_and_size_once_more_is_told_from_ones_own(tmp_path: Path) -> None:
    """A bur's shape tells it apart as well."""
    session = ada_at(tmp_path)
    for typed in ("bur 1.9 hart", "bur 2.0 hart the good one", "twist drill 0.65"):
        put_in(session, typed)
    assert [(row.name, row.sort, row.named) for row in drawer_view(session)] == [
        ("0.65 mm twist drill", "", False),
        ("1.9 mm hart bur", "hart", False),
        ("bur 2.0 hart the good one", "hart", True),
    ]


def test_a_tool_is_changed_taken_out_and_brought_back(tmp_path: Path) -> None:
    """A made name follows the size; each step is one undo."""
    session = ada_at(tmp_path)
    put_in(session, "bur 1.9 hart")
    (row,) = drawer_view(session)
    assert change(session, row.tool_id, "bur 2.0 hart") == "1.9 mm hart bur is now 2 mm hart bur."
    assert take_out(session, row.tool_id) == "2 mm hart bur is taken out; undo puts it back."
    assert drawer_view(session) == ()
    undo(session)
    assert [r.name for r in drawer_view(session)] == ["2 mm hart bur"]
    undo(session)
    assert [r.name for r in drawer_view(session)] == ["1.9 mm hart bur"]


def test_a_measuring_tool_is_typed_with_its_kind_and_name(tmp_path: Path) -> None:
    """The line that changes it shows both; the kind stands beside what it reads."""
    session = ada_at(tmp_path)
    put_in(session, "measuring bore gauge")
    put_in(session, "measuring caliper the long one")
    put_in(session, "measuring old thing")
    rows = {row.name: row for row in drawer_view(session)}
    assert [(r.typed, r.use) for r in rows.values()] == [
        ("measuring bore gauge", "never checked"),
        ("measuring caliper the long one", "caliper, never checked"),
        ("measuring old thing", "never checked"),
    ]
    change(session, rows["old thing"].tool_id, "measuring micrometer old thing")
    assert "measuring micrometer old thing" in {row.typed for row in drawer_view(session)}


def test_a_tool_is_taken_out_by_its_name_or_id(tmp_path: Path) -> None:
    """However it is spelt; two of one name by the id, and nothing by a guess."""
    session = ada_at(tmp_path)
    for _ in range(2):
        put_in(session, "bur 1.9 hart")
    put_in(session, "pin 1.95")
    assert take_out_named(session, "1.95 MM Pin") == "1.95 mm pin is taken out; undo puts it back."
    first, second = (row.tool_id for row in drawer_view(session))
    with pytest.raises(Refused, match=f"which 2 tools are; give an id: {first}, {second}"):
        take_out_named(session, "1.9 mm hart bur")
    take_out_named(session, second[-6:])
    assert [row.tool_id for row in drawer_view(session)] == [first]
    with pytest.raises(Refused, match=r"expected a tool of the drawer: 1\.9 mm hart bur"):
        take_out_named(session, "hammer")


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


def test_a_tool_is_named_by_its_size_and_shape() -> None:
    """Where it has no name of its own."""
    found, problems = tool_from(kind="bur", size="1,9", shape="hart", seats_cut=7)
    assert problems == ()
    assert found is not None
    assert (found.name, found.size_mm, found.shape, found.seats_cut) == (
        "1.9 mm hart bur",
        1.9,
        "hart",
        7,
    )
    named, _ = tool_from(kind="bur", size="1.9", name=" the old one ")
    assert named is not None
    assert named.name == "the old one"


def test_a_drill_may_be_given_by_its_number() -> None:
    """No. 70 is 0.0280 in (ASME B94.11M): 0.711 mm."""
    found, _ = tool_from(kind="twist drill", size="#70")
    assert found is not None
    assert found.size_mm == pytest.approx(0.0280 * 25.4, abs=5e-4)


@pytest.mark.parametrize(
    ("kind", "size", "angle", "field"),
    [
        ("bur", None, None, "size"),
        ("twist drill", "", None, "size"),
        ("pin", "thick", None, "size"),
        ("bur", "1.9", 180.0, "angle"),
        ("bur", "1.9", 0.0, "angle"),
    ],
)
def test_what_a_tool_cannot_be_is_told(
    kind: str, size: str | None, angle: float | None, field: str
) -> None:
    """No tool then, and a problem that names the field."""
    found, problems = tool_from(kind=kind, size=size, angle_deg=angle)
    assert (found, [p.field for p in problems]) == (None, [field])


def test_a_tool_that_is_not_sized_needs_no_size() -> None:
    """A punch is a punch."""
    found, problems = tool_from(kind="punch", size=None)
    assert problems == ()
    assert found is not None
    assert (found.name, found.size_mm) == ("punch", None)


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ("caliper", "caliper"),
        ("Calliper", "caliper"),
        ("bore gauge", "bore gauge"),
        (" BORE  GAUGE", "bore gauge"),
        ("plug gauges", "pins"),
        ("dial", "dial gauge"),
    ],
)
def test_the_kind_of_a_measuring_tool_is_read_as_people_write_it(typed: str, kind: str) -> None:
    """And names the tool where it has no name."""
    found, problems = tool_from(kind="measuring", size=None, measuring_kind=typed)
    assert problems == ()
    assert found is not None
    assert (found.measuring_kind, found.name) == (kind, kind)


def test_a_kind_of_measuring_tool_is_one_of_a_list_and_for_no_other_tool() -> None:
    """What was read and what was expected."""
    _, (unknown,) = tool_from(kind="measuring", size=None, measuring_kind="hammer")
    assert str(unknown).startswith("kind: read 'hammer', expected one of caliper, micrometer")
    _, (misplaced,) = tool_from(kind="bur", size="1.9", measuring_kind="caliper")
    assert str(misplaced) == "kind: read 'caliper', expected nothing: a bur does not measure"


@pytest.mark.parametrize(
    ("kind", "size", "says"),
    [
        ("bur", "19", "a bur of 0.3 to 12 mm"),
        ("twist drill", "0.1", "a twist drill of 0.2 to 12 mm"),
        ("pin", "100", "a pin of 0.3 to 12 mm"),
        ("burnisher", "20", "a burnisher of 0.05 to 10 mm"),
    ],
)
def test_a_size_far_outside_is_refused(kind: str, size: str, says: str) -> None:
    """A slipped decimal sign; the limits are those of the record."""
    found, (problem,) = tool_from(kind=kind, size=size)
    assert found is None
    assert (problem.field, problem.expected) == ("size", says)


def test_a_shape_that_nobody_knows_is_said_and_kept() -> None:
    """A known one, by any of its names, needs no words."""
    found, (notice,) = tool_from(kind="bur", size="1.9", shape="wibble")
    assert found is not None
    assert (found.shape, notice.level) == ("wibble", "notice")
    for shape, kept in (("heart", "hart"), ("flame", "flame"), ("Setting", "setting")):
        known, problems = tool_from(kind="bur", size="1.9", shape=shape)
        assert known is not None
        assert (known.shape, problems) == (kept, ())


def test_a_measuring_tool_may_be_named_by_its_kind_alone() -> None:
    """Where another tool has its size; a size of its own is read as one."""
    found, _ = tool_from(kind="measuring", size="bore gauge")
    assert found is not None
    assert (found.measuring_kind, found.size_mm) == ("bore gauge", None)


def test_a_name_is_no_essay() -> None:
    """As long as any text of the record may be."""
    found, (problem,) = tool_from(kind="bur", size="1.9", name="x" * 201)
    assert found is None
    assert (problem.field, problem.expected) == ("name", "at most 200 characters")


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("1.9 mm setting bur", "1.9 mm setting bur"),
        ("ball bur 1.8", "1.8 mm ball bur"),
        ("bur 1.8 mm ball", "1.8 mm ball bur"),
        ("5/64 in drill", "1.984 mm twist drill"),
        ("1.9 mm hart", "1.9 mm hart bur"),
        ("number 60 drill", "1.016 mm twist drill"),
        ("2.9 setting bur, no. 2", "2.9 setting bur, no. 2"),
        ("Pin 1,95", "1.95 mm pin"),
    ],
)
def test_a_tool_is_read_in_any_order(typed: str, name: str) -> None:
    """The drawer takes back the names it makes, and what people write otherwise."""
    tool = tool_typed(typed)
    assert tool.name == name
    assert tool_typed(tool.name).model_copy(update={"name": ""}) == tool.model_copy(
        update={"name": ""}
    )


@pytest.mark.parametrize(("shape", "floor", "angle"), [("hart", 35, 70), ("setting", 45, 90)])
def test_a_floors_slope_says_the_angle(shape: str, floor: float, angle: float) -> None:
    """A hart bur is named by its edge, twice the slope of its floor; a setting bur by its tip."""
    tool, problems = tool_from(kind="bur", size="1.9", shape=shape, floor_deg=floor)
    assert problems == ()
    assert tool is not None
    assert tool.angle_deg == angle


@pytest.mark.parametrize(
    ("shape", "angle", "floor"), [("ball", None, 45), ("hart", 70, 35), ("hart", None, 90)]
)
def test_a_slope_that_cannot_be_is_refused(shape: str, angle: float | None, floor: float) -> None:
    """A ball has no one slope, two answers are one too many, and no floor stands upright."""
    tool, problems = tool_from(
        kind="bur", size="1.9", shape=shape, angle_deg=angle, floor_deg=floor
    )
    assert tool is None
    assert [problem.field for problem in problems] == ["floor"]
