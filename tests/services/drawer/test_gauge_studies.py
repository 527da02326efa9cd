"""A gauge study from a file: what it works out, how that is told, and what is no study."""

from pathlib import Path

import pytest

from platebook.services.drawer.gauge_studies import study_file, study_keys, study_lines
from platebook.services.session import Refused

STUDY = Path(__file__).parents[2] / "reference" / "gauge-rr.csv"


def _as_columns(folder: Path) -> Path:
    head, *rows = STUDY.read_text(encoding="utf-8").splitlines()
    parts = head.split(",")[2:]
    lines = ["person,part,reading"]
    for row in rows:
        person, _, *values = row.split(",")
        # The handbook's parts lie around zero; a length does not, and a shift changes no spread.
        lines += [f"{person},{p},{float(v) + 5:.2f}" for p, v in zip(parts, values, strict=True)]
    file = folder / "study.csv"
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return file


def test_a_study_of_a_class_gives_the_handbooks_figures(tmp_path: Path) -> None:
    """AIAG, Measurement Systems Analysis, 4th ed., worked example: %GRR 26.68, ndc 5."""
    found = study_file(_as_columns(tmp_path))
    assert found.percent == pytest.approx(26.68, abs=0.05)
    assert found.categories == 5
    assert study_lines(found)[-1].endswith("usable with care.")


def test_a_study_as_data_has_its_unit_in_each_key(tmp_path: Path) -> None:
    """AIAG, Measurement Systems Analysis, 4th ed.: GRR 0.30575, PV 1.10456, TV 1.14610."""
    keys = study_keys(study_file(_as_columns(tmp_path)))
    spreads = {name: value for name, value in keys.items() if name.endswith("_mm")}
    assert spreads == {
        "repeatability_mm": pytest.approx(0.20188, abs=5e-4),
        "reproducibility_mm": pytest.approx(0.22963, abs=5e-4),
        "gauge_mm": pytest.approx(0.30575, abs=5e-4),
        "parts_mm": pytest.approx(1.10456, abs=5e-4),
        "total_mm": pytest.approx(1.14610, abs=5e-4),
    }
    assert {*keys} - {*spreads} == {"percent", "categories", "sentence"}


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("part,who,reading\n", "person is missing"),
        ("part,person,reading\n1,Ada,wide\n2,,2.0\n", "line 2: read '1 Ada wide'"),
        ("part,person,reading\n1,Ada,2.0\n", "2 to 10 persons"),
        ("part,person,reading\n1,Ada,2\n1,Ada,2\n2,Ada,2\n2,Ada,2\n1,Bo,2\n1,Bo,2\n", "trials"),
        ("", "is missing"),
    ],
)
def test_what_is_no_study_says_why(text: str, says: str, tmp_path: Path) -> None:
    """Rows by their line, then what a study needs."""
    file = tmp_path / "study.csv"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(Refused) as caught:
        study_file(file)
    assert says in caught.value.sentence


TWO_OF_TWO = (("1", "2.00"), ("1", "2.02"), ("2", "3.00"), ("2", "3.02"))


def a_file(folder: Path, text: str) -> Path:
    """A study's file with this text."""
    file = folder / "study.csv"
    file.write_text(text, encoding="utf-8")
    return file


def rows_of(*people: str, readings: tuple[tuple[str, str], ...] = TWO_OF_TWO) -> str:
    """These readings by each of these people, a line each."""
    return "".join(f"{part},{name},{size}\n" for name in people for part, size in readings)


def test_a_study_worked_out_by_hand(tmp_path: Path) -> None:
    """Two people read alike: EV 0.02 / 1.128, AV nothing, PV 1 / 1.41421 (AIAG, table of d2*)."""
    study = study_file(a_file(tmp_path, f"part,person,reading\n{rows_of('Ada', 'Bram')}"))
    ev, pv = 0.02 / 1.128, 1 / 1.41421
    assert study.repeatability == pytest.approx(ev)
    assert study.reproducibility == 0
    assert study.parts == pytest.approx(pv)
    assert [line.split("  ")[0] for line in study_lines(study)[:5]] == [
        "one person, one stone (repeatability, EV)",
        "between people (reproducibility, AV)",
        "gauge and users together (GRR)",
        "between the stones (PV)",
        "all together (TV)",
    ]
    assert [line.split("  ")[-1].strip() for line in study_lines(study)[:7]] == [
        "0.0177 mm",
        "0.0000 mm",
        "0.0177 mm",
        "0.7071 mm",
        "0.7073 mm",
        "3 % of the spread",
        "56",
    ]


def test_readings_all_alike_have_no_spread(tmp_path: Path) -> None:
    """Nothing is divided by it: no share, and no number of sizes told apart."""
    alike = tuple((part, "2.00") for part, _ in TWO_OF_TWO)
    rows = rows_of("Ada", "Bram", readings=alike)
    study = study_file(a_file(tmp_path, f"part,person,reading\n{rows}"))
    spreads = ("repeatability_mm", "reproducibility_mm", "gauge_mm", "parts_mm", "total_mm")
    assert {name: study_keys(study)[name] for name in (*spreads, "categories")} == {
        **dict.fromkeys(spreads, 0.0),
        "categories": None,
    }
    assert [line.split("  ")[-1].strip() for line in study_lines(study)[5:7]] == ["no spread", "-"]


def test_columns_stand_in_any_order_among_others(tmp_path: Path) -> None:
    """Headings in any case; empty lines and columns of other things are passed over."""
    plain = study_file(a_file(tmp_path, f"part,person,reading\n{rows_of('Ada', 'Bram')}"))
    rows = (line.split(",") for line in rows_of("Ada", "Bram").splitlines())
    turned = "\n\n".join(f"{size},by lamp,{name}, {part}" for part, name, size in rows)
    text = f"READING,Note, Person ,part\n{turned}\n"
    assert study_file(a_file(tmp_path, text)) == plain


def test_every_row_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    """With its line in the file and what was read; a line that is too short lacks its reading."""
    text = "part,person,reading\n1,Ada,2.0\n1,Ada,wide\n2,Ada\n,Ada,2.0\n"
    with pytest.raises(Refused) as caught:
        study_file(a_file(tmp_path, text))
    wide, short, nameless = caught.value.sentence.splitlines()
    assert wide.startswith("line 3: read '1 Ada wide', expected ")
    assert short.startswith("line 4: read '2 Ada', expected a length")
    assert nameless == "line 5: read 'Ada 2.0', expected a part, a person and a reading"


def test_a_file_that_is_not_there_is_said(tmp_path: Path) -> None:
    """By its name, with the reason of the system."""
    file = tmp_path / "nowhere.csv"
    with pytest.raises(Refused, match="No such file or directory") as caught:
        study_file(file)
    assert caught.value.sentence.startswith(f"{file}: ")
