"""Now with a choice: whose it is, the key back, a block run by run; the evening in words."""

import pytest
from tests.tui import bench
from tests.tui.bench import a_view, a_view_of_a_block, some_advice
from tests.tui.driving import on, press, running
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture
from textual.pilot import Pilot

from platebook.analysis.findings.trials import Side, Trial
from platebook.services.session import Refused
from platebook.tui.entry.screen import AttemptScreen
from platebook.tui.findings.screen import NOT_ON_THE_RIM, FindingsScreen
from platebook.tui.now.screen import NowScreen
from platebook.tui.running.opens_attempts import ONE_BY_ONE
from platebook.values import replace


def words_on(pilot: Pilot[None]) -> str:
    """Everything on the screen, apart by single blanks and without the rule between columns."""
    return " ".join(picture(pilot.app).replace("│", " ").split())


async def test_what_to_mind_stands_on_now_as_soon_as_it_is_known() -> None:
    """One line in the headline; its counts stand under why."""
    async with running(SessionOfAnEvening(minding=bench.some_minding()), size=(120, 40)) as pilot:
        assert "Mind today: anneal the sheet." in words_on(pilot)
        assert "Loose 8 of 10 with metal worked" in words_on(pilot)


async def test_an_empty_log_is_not_asked_what_to_mind() -> None:
    """There is nothing to find before the first attempt."""
    session = SessionOfAnEvening(view=bench.an_empty_view(), minding=bench.some_minding())
    async with running(session) as pilot:
        assert "Mind today" not in words_on(pilot)


async def test_the_last_evening_is_told_on_opening() -> None:
    """How it went stands beside how much was practised."""
    async with running(SessionOfAnEvening(), size=(160, 40)) as pilot:
        assert "Last time, 25 February: 4 of 6 good, 2 loose." in words_on(pilot)


async def test_a_key_says_how_the_evening_went_and_what_comes_next_time() -> None:
    """Both in the first line."""
    view = a_view(evening="Today, 28 February: 5 of 6 good, 1 high.")
    async with running(SessionOfAnEvening(view=view)) as pilot:
        await press(pilot, "e")
        told = "Today, 28 February: 5 of 6 good, 1 high. Next time: A whole setting, 2.0 mm in"
        assert told in words_on(pilot)


@pytest.mark.parametrize(
    ("evening", "said"),
    [
        ("Today, 28 February: 5 of 6 good.", "Today, 28 February: 5 of 6 good. Next time: x."),
        ("Last time, 2 February: 1 of 6 good.", ""),
    ],
)
async def test_leaving_says_how_the_evening_went(
    capsys: pytest.CaptureFixture[str], evening: str, said: str
) -> None:
    """Where anything was done today; else nothing."""
    session = SessionOfAnEvening(view=a_view(evening=evening, next_time="Next time: x."))
    async with running(session) as pilot:
        await press(pilot, "ctrl+q")
    assert " ".join(capsys.readouterr().err.split()) == said


async def test_a_choice_is_told_as_one_and_o_goes_back() -> None:
    """Whose it is, what is set aside, and the key; without a choice the key line has no o."""
    advice = some_advice(chosen_by="Marta Corvo", purpose="chosen", changes=("Suggested: x.",))
    session = SessionOfAnEvening(view=a_view(advice=advice))
    async with running(session, size=(140, 40)) as pilot:
        seen = words_on(pilot)
        assert "chosen by Marta Corvo; o goes back to what is suggested" in seen
        assert "o as suggested" in seen
        assert "· Suggested: x." in seen
        session.view = a_view()
        await press(pilot, "o")
        assert "as suggested" in session.calls
        assert "As suggested again." in words_on(pilot)
        assert "o as suggested" not in words_on(pilot)


async def test_what_the_drawer_lacks_stands_with_the_reasons() -> None:
    """Before the work moves to the grade that wants it."""
    view = a_view(wants=("2.5 mm in copper wants what is not in the drawer: seat bur 2.40.",))
    async with running(SessionOfAnEvening(view=view), size=(120, 40)) as pilot:
        assert "! 2.5 mm in copper wants what is not in the drawer" in words_on(pilot)


async def test_a_setting_of_a_block_shows_its_plan_and_records_it() -> None:
    """Planned levels stand above the task, and what is saved carries block, run and levels."""
    session = SessionOfAnEvening(view=a_view_of_a_block())
    async with running(session, size=(140, 40)) as pilot:
        assert "Planned: seat bur 1.95 (high), burnish passes 1 (low)" in words_on(pilot)
        await press(pilot, "enter", "3", "2", "1", "0", "enter")
    saved = session.saved[0]
    assert (saved["kind"], saved["block"], saved["block_run"], saved["block_levels"]) == (
        "block",
        "seat_bur_mm loose 1 (seed 7)",
        "3",
        "loose by seat_bur_mm: seat_bur_mm 1.95 high, burnish_passes 1 low",
    )


async def test_a_block_is_not_filled_in_as_a_plate() -> None:
    """Each setting has levels of its own."""
    async with running(SessionOfAnEvening(view=a_view_of_a_block())) as pilot:
        await press(pilot, "w")
        assert on(pilot, NowScreen)
        assert ONE_BY_ONE in words_on(pilot)


async def test_enter_on_a_grade_or_an_exercise_practises_it() -> None:
    """Now comes up and says what that does."""
    session = SessionOfAnEvening()
    course = session.course_shown
    grades = tuple(replace(g, grade=f"g{n}") for n, g in enumerate(course.grades))
    parts = tuple(replace(e, exercise=f"e{n}") for n, e in enumerate(course.exercises))
    session.course_shown = replace(course, grades=grades, exercises=parts)
    async with running(session) as pilot:
        await press(pilot, "c", "down", "enter")
        assert on(pilot, NowScreen)
        assert "Your choice. It counts as always." in words_on(pilot)
        await press(pilot, "c", "down", "down", "enter")
    assert [c for c in session.calls if c.startswith("practise ")] == [
        "practise g2 None",
        "practise None e0",
    ]


async def test_a_lead_is_settled_by_a_key() -> None:
    """The one in focus; Now says what was laid out. A place on the rim cannot be settled so."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "f", "s")
        assert on(pilot, NowScreen)
        assert "Block 1: 8 settings. Seat bur, by lot." in words_on(pilot)
        await press(pilot, "f", *["down"] * 9, "s")
        assert on(pilot, FindingsScreen)
        assert NOT_ON_THE_RIM in words_on(pilot)
    assert [c for c in session.calls if c.startswith("settle ")] == ["settle clearance_mm loose"]


async def test_a_refusal_to_settle_is_said_in_place() -> None:
    """Why no block can do it, on Findings."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "f")
        session.fault = Refused("The drawer holds one seat bur.")
        await press(pilot, "s")
        assert on(pilot, FindingsScreen)
        assert "The drawer holds one seat bur." in words_on(pilot)


async def test_the_answer_of_blocks_stands_with_its_lead() -> None:
    """In focus with the lead that it settles; without one, beside the list."""
    counts = (Side(label="1.95", failed=3, of=4), Side(label="1.85", failed=0, of=4))
    trial = Trial(
        variable="seat_bur_mm",
        defect="loose",
        blocks=1,
        under_way=0,
        statement="counts so far",
        counts=counts,
        stated_at=None,
        chance=None,
        difference=None,
        low=None,
        high=None,
        sentence="In your blocks so far: 3 of 4.",
    )
    left = trial.model_copy(update={"defect": "gap", "sentence": "In your blocks: 1 of 4."})
    async with running(SessionOfAnEvening(trials=(trial, left)), size=(120, 40)) as pilot:
        await press(pilot, "f")
        seen = words_on(pilot)
        assert "In your blocks so far: 3 of 4." in seen
        assert "seat bur: In your blocks:" in seen
        assert "1 of 4." in seen


async def test_a_choice_does_not_lose_an_unfinished_attempt() -> None:
    """It waits on Now as before."""
    async with running(SessionOfAnEvening(left_behind={"plate_sheet": {}})) as pilot:
        await press(pilot, "c", "enter")
        assert on(pilot, NowScreen)
        assert not on(pilot, AttemptScreen)
        assert "left unfinished" in words_on(pilot)
