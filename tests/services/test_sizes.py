"""Sizes from typed values, by the tool that measured the stone and the rules chosen."""

import csv
import math
from pathlib import Path

import pytest
from tests.services.bench import SEAT_BUR, ada_at, new_session

from platebook.practice.courses.course_file import load_course, read_course, shipped_course
from platebook.practice.reading.field_values import read_field
from platebook.services.answers import rules_at
from platebook.services.attempts.recording import undo
from platebook.services.courses.in_force import use_course
from platebook.services.drawer.tool_checks import check_tool
from platebook.services.now.next_up import next_with_sizes
from platebook.services.people.setters import add_tool
from platebook.services.session import Refused, Session
from platebook.services.sizes import choose_rules, rule_choices, sizes_for, stone_tool
from platebook.trade.records import Drawer, Tool
from platebook.trade.setup_sheet import SetUpSheet

REFERENCE = Path(__file__).parents[1] / "reference"


def _sizes(**typed: str) -> SetUpSheet:
    answer = sizes_for(typed)
    assert {problem.level for problem in answer.problems} <= {"notice"}
    assert answer.sizes is not None
    return answer.sizes


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({}, "diameter: read 'nothing', expected the stone's diameter, such as 1.98"),
        ({"diameter": "0"}, "diameter: read '0', expected a length above zero such as 1.98,"),
        ({"diameter": "-1.98"}, "; a length is never negative"),
        ({"diameter": "two"}, "diameter: read 'two', expected a length above zero"),
        ({"diameter": "40"}, "diameter: read '40 mm', expected a round stone of 0.7 to 10 mm"),
        ({"diameter": "19.8"}, "; did you mean 1.98 mm?"),
        (
            {"diameter": "0.078"},
            "0.7 to 10 mm; did you mean inches? 0.078 in is 1.981 mm",
        ),
        (
            {"diameter": "1.98", "depth": "2.5"},
            "depth: read '2.5 mm', expected a depth from table to culet of 0.69 to 1.98 mm",
        ),
        ({"diameter": "1.98", "depth": "12"}, "; did you mean 1.2 mm?"),
        ({"diameter": "1.98", "sheet": "47 ga"}, "sheet: read '47 ga', expected "),
        ({"diameter": "1.98", "sheet": "20"}, "; did you mean 20 ga (0.812 mm)?"),
        ({"diameter": "1.98", "sheet": "0.05"}, "sheet: read '0.05 mm', expected one layer of"),
        ({"diameter": "1.98", "layers": "some"}, "layers: read 'some', expected a whole number"),
        ({"diameter": "1.98", "layers": "0"}, "layers: read '0', expected a whole number"),
        (
            {"diameter": "1.98", "method": "glue"},
            "method: read 'glue', expected one of drop in, push in, snap in",
        ),
    ],
)
def test_a_value_that_cannot_be_is_a_sentence(typed: dict[str, str], sentence: str) -> None:
    """Field, what was read, what is possible and where it shows what was meant; no sizes."""
    answer = sizes_for(typed)
    assert answer.sizes is None
    (problem,) = answer.problems
    assert sentence in str(problem)
    assert problem.level == "problem"


def test_all_faults_are_told_at_once() -> None:
    """Nobody mends one to be told of the next."""
    typed = {"diameter": "x", "depth": "y", "sheet": "z", "layers": "q", "method": "glue"}
    assert [p.field for p in sizes_for(typed).problems] == list(typed)


def test_an_escape_sequence_is_not_repeated() -> None:
    """What is shown back is clean text."""
    (problem,) = sizes_for({"diameter": "\x1b[31m2\x07"}).problems
    assert problem.read.isprintable()


@pytest.mark.parametrize("typed", ["1.98", "1,98", "1.98 mm", " 1.980mm "])
def test_a_length_is_read_as_people_type_it(typed: str) -> None:
    """Point, comma, unit and blanks."""
    assert _sizes(diameter=typed).stone.diameter_mm == 1.98


@pytest.mark.parametrize("gauge", ["18", "20", "22", "24"])
def test_a_sheet_in_gauge_has_the_published_thickness(gauge: str) -> None:
    """Brown & Sharpe, ASTM B258, to the micrometre: gauge-brown-sharpe.csv."""
    with (REFERENCE / "gauge-brown-sharpe.csv").open(encoding="utf-8", newline="") as file:
        published = {row["gauge"]: float(row["mm"]) for row in csv.DictReader(file)}
    sizes = _sizes(diameter="1.98", sheet=f"{gauge} ga")
    assert sizes.sheet.thickness_mm == pytest.approx(published[gauge], abs=5e-4)


def test_without_a_sheet_the_customary_gauge_is_taken() -> None:
    """20 ga for a stone of 2 mm (common practice)."""
    assert _sizes(diameter="2.0").sheet.thickness_mm == 0.812
    assert _sizes(diameter="2.0").sheet.customary_gauge == 20


def test_a_sheet_that_was_not_given_is_said_to_be_custom() -> None:
    """So that nobody takes custom's gauge for their own sheet."""
    said = "No sheet was given: custom's 20 ga is taken."
    assert _sizes(diameter="2.0").cautions[-1] == said
    assert said not in _sizes(diameter="2.0", sheet="20ga").cautions


def test_layers_add_up() -> None:
    """Two of 20 ga are 1.624 mm thick (arithmetic)."""
    assert _sizes(diameter="2.0", sheet="20ga", layers="2").sheet.thickness_mm == 1.624


def test_a_material_is_known_by_its_other_names() -> None:
    """One that is not listed stays as typed."""
    assert _sizes(diameter="2", material="CZ").stone.material == "cubic zirconia"
    assert _sizes(diameter="2", material="Moon glass").stone.material == "Moon glass"


@pytest.mark.parametrize("typed", ["CZ", "Cubic  Zirconia", "Moon Glass", " Glas É ", "", "  "])
def test_a_material_is_read_as_the_record_reads_it(typed: str) -> None:
    """One reader for both, so that a log and its sizes name a stone alike."""
    read, _ = read_field("stone_material", typed) if typed.strip() else (None, "")
    assert _sizes(diameter="2", material=typed).stone.material == read


def test_a_stone_out_of_round_is_typed_by_its_ends() -> None:
    """The mean counts, and how far it is out of round is carried on."""
    for typed in ("1.95-2.01", "2,01 – 1,95 mm", "1.95 to 2.01"):
        stone = _sizes(diameter=typed).stone
        assert (stone.diameter_mm, stone.ovality_mm) == (1.98, 0.06)
    assert [p.field for p in sizes_for({"diameter": "1.95-wide"}).problems] == ["diameter"]


def test_a_rule_is_chosen_for_once() -> None:
    """The size says which rule it came from; unknown rules and two for one question are told."""
    custom, chosen = _sizes(diameter="2"), sizes_for({"diameter": "2"}, rules=["seat-95-percent"])
    assert custom.seat_bur.rule == "seat-0.10-under"
    assert chosen.sizes is not None
    assert (chosen.sizes.seat_bur.rule, chosen.sizes.seat_bur.choose_mm) == ("seat-95-percent", 1.9)
    faults = sizes_for({"diameter": "2"}, rules=["pilot-third", "pilot-two-fifths", "thumb"])
    assert [(p.field, p.read) for p in faults.problems] == [
        ("rule", "thumb"),
        ("rule", "pilot-two-fifths"),
    ]


def test_a_speed_is_a_limit_where_the_metal_is_known() -> None:
    """1000 v / (pi d) with 21 m/min for copper (handbook speeds, from data/speeds.csv)."""
    sizes = _sizes(diameter="2", metal="copper", sheet="20ga")
    assert sizes.seat_bur.not_above_rpm == round(1000 * 21 / (math.pi * 1.9))
    assert "a limit, not a target" in (sizes.seat_bur.speed or "")
    assert _sizes(diameter="2").seat_bur.not_above_rpm is None


@pytest.mark.parametrize("typed", ["snap-in", "Snap  In", "SNAP IN"])
def test_a_method_is_read_however_it_is_joined(typed: str) -> None:
    """Case, blanks and hyphens do not matter."""
    assert _sizes(diameter="2", method=typed).seat.method == "snap in"


def test_a_material_that_nobody_knows_is_said_and_kept() -> None:
    """Nothing is known of what it stands, which is worth a notice."""
    found = sizes_for({"diameter": "2", "material": "moon glass", "metal": "tin"})
    assert found.sizes is not None
    assert [(p.field, p.level) for p in found.problems] == [
        ("material", "notice"),
        ("metal", "notice"),
    ]
    assert found.problems[0].expected.startswith("one of: ")


OWN = shipped_course("small-to-large").replace(
    'id = "small-to-large"', 'id = "evenings"\nrules = ["pilot-two-fifths", "seat-95-percent"]', 1
)


def _in_use(session: Session) -> dict[str, str]:
    return {one.rule.id: one.chosen_by for one in rule_choices(session) if one.in_use}


def test_custom_speaks_until_somebody_chooses(tmp_path: Path) -> None:
    """One rule a question; the one for all seat methods is not in use beside theirs."""
    found = _in_use(ada_at(tmp_path))
    assert set(found.values()) == {"custom"}
    assert {"pilot-third", "seat-0.10-under", "seat-stone-size"} <= set(found)
    assert "seat-95-percent" not in found


def test_a_setters_rule_goes_before_the_courses_and_custom(tmp_path: Path) -> None:
    """The sizes of the next exercise come from it, and undo takes the choice back."""
    session = ada_at(tmp_path)
    use_course(session, "evenings", OWN)
    assert _in_use(session)["pilot-two-fifths"] == "the course"
    choose_rules(session, ["pilot-third"])
    assert rules_at(session) == ("pilot-third", "seat-95-percent")
    sizes = next_with_sizes(session)[1]
    assert sizes is not None
    assert (sizes.pilot_drill.rule, sizes.seat_bur.rule) == ("pilot-third", "seat-95-percent")
    undo(session)
    assert _in_use(session)["pilot-two-fifths"] == "the course"


def test_what_cannot_be_chosen_is_refused(tmp_path: Path) -> None:
    """Unknown ids and two for one question, all at once; nothing is changed."""
    session = ada_at(tmp_path)
    with pytest.raises(Refused) as caught:
        choose_rules(session, ["thumb", "pilot-third", "pilot-two-fifths"])
    assert "read 'thumb'" in caught.value.sentence
    assert "read 'pilot-two-fifths', expected one rule for pilot" in caught.value.sentence
    assert rules_at(session) == ()


def test_a_courses_rules_are_checked_with_their_lines() -> None:
    """A course with sound rules loads; a wrong one is named where it stands."""
    assert load_course(OWN).rules == ("pilot-two-fifths", "seat-95-percent")
    wrong = OWN.replace('"seat-95-percent"', '"thumb", "pilot-third"')
    problems = read_course(wrong)[1]
    line = wrong.split("\n").index(next(x for x in wrong.split("\n") if x.startswith("rules"))) + 1
    assert [(p.read, p.line) for p in problems if p.level == "problem"] == [
        ("thumb", line),
        ("pilot-third", line),
    ]


CALIPER = Tool(kind="measuring", name="my caliper", measuring_kind="caliper", mpe_mm=0.02)
READINGS = ("1.984", "1.986", "1.985", "1.983", "1.987")


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """Ada with a caliper that reads 0.015 mm small, checked with five readings."""
    found = ada_at(tmp_path)
    add_tool(found, CALIPER)
    check_tool(found, "my caliper", known="2.000", readings=READINGS)
    return found


def _read_with(session: Session, diameter: str, named: str | None = None) -> SetUpSheet:
    found = sizes_for(
        {"diameter": diameter},
        drawer=Drawer(tools=(SEAT_BUR,)),
        read_with=stone_tool(session, named),
    )
    assert found.sizes is not None, found.problems
    return found.sizes


def test_a_stone_is_corrected_by_the_check_of_what_read_it(session: Session) -> None:
    """1.98 + 0.015; s = 0.00158, u = s·√1.2, k(4) = 2.87 (JCGM 100, G.4.1, table G.2)."""
    stone = _read_with(session, "1.98").stone
    assert stone.diameter_mm == pytest.approx(1.995)
    assert stone.diameter_u_mm == pytest.approx(0.001732, abs=1e-6)
    assert stone.measured == (
        "Read as 1.98 mm with my caliper, which reads 0.015 mm less (checked 3 February 2026): "
        "the stone lies between 1.990 and 2.000 mm (about 95 %)."
    )


def test_an_uneven_stone_is_corrected_at_both_ends(session: Session) -> None:
    """Its ovality stays, and the sentence has both ends."""
    stone = _read_with(session, "1.95-2.01").stone
    assert stone.diameter_mm == pytest.approx(1.995)
    assert stone.ovality_mm == pytest.approx(0.06)
    assert (stone.measured or "").startswith("Read as 1.95 to 2.01 mm with my caliper")
    assert "between 1.960 and 2.030 mm" in (stone.measured or "")


def test_a_doubtful_stone_makes_a_fit_less_sure(tmp_path: Path) -> None:
    """The tool's stated error widens the chance that a bur's seat lies in the wanted window.

    The stone is such that the bur's expected seat lies in the middle of its window.
    """
    session = ada_at(tmp_path)
    add_tool(session, CALIPER.model_copy(update={"mpe_mm": 0.06}))
    plain, doubtful = (
        _read_with(session, "2.0"),
        _read_with(session, "2.0", "my caliper"),
    )
    assert plain.stone.diameter_mm == doubtful.stone.diameter_mm
    assert "which is taken by its stated error" in (doubtful.stone.measured or "")
    assert doubtful.hand.chance_of_fit < plain.hand.chance_of_fit


def test_without_a_check_nothing_is_taken_for_granted(tmp_path: Path) -> None:
    """No correction is made that nobody asked for: not by a stated error, not by one reading."""
    session = ada_at(tmp_path)
    assert stone_tool(session, None) is None
    add_tool(session, CALIPER)
    check_tool(session, "my caliper", known="2.000", readings=["1.985"])
    assert stone_tool(session, None) is None
    assert stone_tool(new_session(tmp_path / "elsewhere"), None) is None


def test_of_several_none_is_guessed_and_none_can_be_asked_for(session: Session) -> None:
    """A bore gauge takes no stone, so it does not make them several."""
    add_tool(session, Tool(kind="measuring", name="bore", measuring_kind="bore gauge"))
    check_tool(session, "bore", known="2.000", readings=READINGS)
    assert stone_tool(session, None) is not None
    assert stone_tool(session, "none") is None
    add_tool(session, Tool(kind="measuring", name="mike", measuring_kind="micrometer"))
    check_tool(session, "mike", known="2.000", readings=["2.000", "2.001"])
    assert stone_tool(session, None) is None
    assert (_read_with(session, "1.98", "MY CALIPER").stone.measured or "").startswith(
        "Read as 1.98"
    )


@pytest.mark.parametrize(
    ("named", "says"),
    [
        ("ruler", "read 'ruler', expected one measuring tool of the drawer that closes on a stone"),
        ("bore", "that closes on a stone, as bore does not: my caliper, old one"),
        ("old one", "expected a tool that was checked"),
    ],
)
def test_a_tool_that_cannot_have_read_a_stone_is_refused(
    session: Session, named: str, says: str
) -> None:
    """With what was read and what was expected."""
    add_tool(
        session, Tool(kind="measuring", name="bore", measuring_kind="bore gauge", mpe_mm=0.004)
    )
    add_tool(session, Tool(kind="measuring", name="old one"))
    with pytest.raises(Refused) as caught:
        stone_tool(session, named)
    assert says in caught.value.sentence


def test_what_is_wrong_is_told_as_it_was_typed(session: Session) -> None:
    """An impossible size is not corrected first."""
    found = sizes_for({"diameter": "40"}, read_with=stone_tool(session, None))
    assert [p.read for p in found.problems] == ["40 mm"]


def test_curved_metal_is_typed_with_its_radius() -> None:
    """A ring of R = 10 leaves 0.274 mm of wall beside a 2.0 mm stone (computed independently)."""
    found = sizes_for({"diameter": "2.0", "sheet": "1.8", "curve": "Ring 10 mm", "pitch": "2.6"})
    assert found.sizes is not None
    assert found.sizes.curve is not None
    assert found.sizes.curve.wall_side_mm == pytest.approx(0.274, abs=0.0006)
    assert found.sizes.spacing is not None
    assert found.sizes.spacing.girdle_mm == pytest.approx(0.54, abs=0.001)


@pytest.mark.parametrize("typed", ["ring", "ring wide", "cone 9", "ring 2", "9", "ring 9 off"])
def test_a_curve_that_is_none_says_how_one_is_typed(typed: str) -> None:
    """With the kinds there are and the radii that are possible."""
    found = sizes_for({"diameter": "2.0", "curve": typed})
    assert found.sizes is None
    assert [problem.field for problem in found.problems] == ["curve"]
    assert "ring 9 off 0.2" in found.problems[0].expected


def test_a_stone_too_large_for_its_ring_is_refused() -> None:
    """And so are centres nearer than the stones are wide."""
    found = sizes_for({"diameter": "6", "sheet": "2.5", "curve": "ring 4", "pitch": "5"})
    assert [problem.field for problem in found.problems] == ["curve", "pitch"]


def test_an_uneven_stone_is_sized_for_the_hole_it_enters() -> None:
    """2.00 wide by turning but 2.05 in a gauged hole: three lobes, the seat is for 2.05."""
    found = sizes_for({"diameter": "2.00", "hole": "2.05", "method": "drop in", "hand_cut": "yes"})
    assert found.sizes is not None
    assert (found.sizes.seat.diameter_low_mm, found.sizes.seat.diameter_high_mm) == (2.05, 2.11)
    uneven = found.sizes.stone.uneven
    assert uneven is not None
    assert (uneven.lobed_mm, uneven.refuse) == (0.05, False)
    assert uneven.largest_gap_mm == pytest.approx(0.05, abs=0.001)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"diameter": "2.00", "hole": "2.14"}, "stays open beside the girdle"),
        ({"diameter": "2.00", "girdle": "0.03-0.15"}, "the table would lean"),
        ({"diameter": "2.00", "girdle": "0.01-0.05"}, "chips under the burnisher"),
        ({"diameter": "2.00", "table_off": "0.08"}, "set it by the table"),
    ],
)
def test_stones_to_refuse(typed: dict[str, str], words: str) -> None:
    """Too wide a gap, a leaning girdle or table, a knife edge: each with its number (judgement)."""
    found = sizes_for(typed)
    assert found.sizes is not None
    uneven = found.sizes.stone.uneven
    assert uneven is not None
    assert uneven.refuse
    assert any(words in " ".join(line.split()) for line in uneven.sentences)
    assert "Refuse this stone" in uneven.sentences[-1]


def test_a_hole_narrower_than_the_stone_is_a_misreading() -> None:
    """No stone enters a hole under its width."""
    found = sizes_for({"diameter": "1.95-2.01", "hole": "1.99"})
    assert [problem.field for problem in found.problems] == ["hole"]
