"""A tool from what was typed about it."""

import pytest

from platebook.services.tools import tool_from


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
