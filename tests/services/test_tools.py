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
