"""`next` with a choice: made, told, kept, set aside; what cannot be chosen is said."""

from tests.cli.shell import Shell

GOOD = ("record", "--grade", "copper-1.5", "--diameter", "1.5", "--result", "good")


def test_a_choice_by_command_stands_until_it_is_set_aside(ada: Shell) -> None:
    """What it does is said at once; `next` alone says whose choice it is."""
    ada.runs(*GOOD)
    suggested = ada.answers("next")["grade"]
    chosen = ada.answers("next", "--grade", "copper-2.5")
    assert chosen["chosen"][0] == "Your choice: Set a stone, 2.5 mm in copper."
    assert (ada.answers("next")["chosen_by"], ada.answers("next")["grade"]) == (
        "Ada Quill",
        "copper-2.5",
    )
    assert "As suggested again:" in ada.runs("next", "--suggested").stdout
    assert ada.answers("next")["grade"] == suggested


def test_undo_takes_a_choice_back_before_the_attempt(ada: Shell) -> None:
    """It was the last thing done."""
    ada.runs(*GOOD)
    ada.runs("next", "--exercise", "depth")
    assert "Taken back: what was chosen." in ada.runs("undo").stdout
    assert len(ada.attempts()) == 1
    ada.runs("undo")
    assert ada.attempts() == []


def test_a_block_is_laid_out_and_logged_by_command(ada: Shell) -> None:
    """Its plan in order, the next one marked; its settings come back as counts."""
    ada.runs(*GOOD)
    text = ada.runs("next", "--settle", "burnish_passes", "--defect", "loose").stdout
    assert "The block, in this order:" in text
    assert "> 1: " in text
    ada.runs("record", "--kind", "block", "--result", "loose")
    (trial,) = ada.answers("findings")["trials"]
    assert (trial["variable"], trial["under_way"]) == ("burnish_passes", 1)
    assert "Balanced blocks:" in ada.runs("findings").stdout


def test_what_cannot_be_chosen_is_said(ada: Shell) -> None:
    """An unknown grade, a lead that is none, one that no block settles; two choices at once."""
    ada.runs(*GOOD)
    assert "expected one of: copper-1.5" in ada.runs("next", "--grade", "x", code=1).stderr
    assert "the findings name" in ada.runs("next", "--settle", "light", code=1).stderr
    stays = ("next", "--settle", "light", "--defect", "loose")
    assert "cannot be settled" in ada.runs(*stays, code=1).stderr
    both = ("next", "--suggested", "--grade", "copper-2.0")
    assert "one choice at a time" in ada.runs(*both, code=2).stderr
    assert "--defect goes with --settle" in ada.runs("next", "--defect", "gap", code=2).stderr


def test_the_last_time_is_told_first(ada: Shell) -> None:
    """And after today's work what comes next time."""
    ada.runs(*GOOD, "--when", "2026-01-05T18:30+01:00")
    assert ada.runs("next").stdout.startswith("Last time, 5 January")
    ada.runs(*GOOD)
    text = ada.runs("next").stdout
    assert text.startswith("Today, ")
    assert "Next time: " in text
