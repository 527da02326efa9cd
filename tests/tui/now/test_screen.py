"""Now: what it says, and the few keys from there to a logged attempt."""

from typing import Any

import pytest
from tests.tui.bench import PIN, a_view, a_view_of_a_block, an_empty_view
from tests.tui.driving import on, press, running, settled, until
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.parts.test_widgets import send
from tests.tui.pictures import picture

from platebook.services.now.now_view import NowView
from platebook.services.session import LogbookUnusable, Refused
from platebook.tui.app import BenchApp
from platebook.tui.classroom.screen import ClassScreen
from platebook.tui.classroom.second_look_screen import SecondLookScreen
from platebook.tui.entry.entry import to_draft
from platebook.tui.entry.screen import AttemptScreen
from platebook.tui.entry.start import entry_for
from platebook.tui.now.screen import OPENING, NowScreen
from platebook.tui.parts.widgets import INVENTED
from platebook.tui.plate.screen import PlateScreen
from platebook.tui.running.trouble import TroubleScreen
from platebook.values import replace


def an_unfinished_attempt() -> dict[str, object]:
    """The draft of an attempt with one reading."""
    entry = entry_for(a_view(), attempt_id="a1", began="2026-03-04T18:20:00+00:00")
    return to_draft(replace(entry, answers={"fit": "drops in"}, stop="trial_height"))


async def test_two_keys_log_a_good_one_where_nothing_is_asked() -> None:
    """From Now, g and Enter are a logged attempt."""
    session = SessionOfAnEvening(view=a_view(readings_asked=False))
    async with running(session) as pilot:
        await press(pilot, "g", "enter")
    assert [row["result"] for row in session.saved] == ["good"]
    assert session.saved[0]["readings_asked"] == "no"


class Watched(NowScreen):
    """Now, which notes how wide it was as it began and what was laid out as it asked for news."""

    began: frozenset[str] = frozenset()
    told = 0

    def start(self) -> None:
        """Note the classes before the first layout."""
        self.began = self.classes
        super().start()

    def ask(self, call: Any, answer: Any, *, newest_only: bool = False) -> None:
        """Note what is laid out as news are asked for."""
        if answer is self.NewsFound:
            self.told = self.query_one("#exercise").size.height
        super().ask(call, answer, newest_only=newest_only)


class WatchedApp(BenchApp):
    """The app on such a screen."""

    def get_default_screen(self) -> Watched:
        """Now as it is watched."""
        self.now = Watched(self.session, self.begin)
        return self.now


@pytest.mark.parametrize(("width", "name"), [(60, "-slim"), (80, "-narrow"), (170, "-broad")])
async def test_what_is_asked_later_waits_until_the_exercise_is_laid_out(
    width: int, name: str
) -> None:
    """In the width there is from the first layout on, so that nothing is laid out twice for it."""
    app = WatchedApp(SessionOfAnEvening())
    async with app.run_test(size=(width, 24)) as pilot:
        await settled(pilot)
        now = app.now
    assert isinstance(now, Watched)
    assert now.began & {"-slim", "-narrow", "-wide", "-broad"} == {name}
    assert now.told > 1  # one line is what it has while nothing is known


async def test_the_number_pad_alone_logs_a_good_one() -> None:
    """Enter, 0, Enter: three keys, none of them a letter."""
    session = SessionOfAnEvening(view=a_view(readings_asked=False))
    async with running(session) as pilot:
        await press(pilot, "enter", "0", "enter")
    assert [row["result"] for row in session.saved] == ["good"]


async def test_a_digit_starts_the_attempt_with_its_first_reading() -> None:
    """Fit, height, ledge, result, severity, first seen, Enter; Now says what the digit means."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        left = " ".join(line.split("│")[0] for line in picture(pilot.app).splitlines())
        seen = " ".join(left.split())
        assert "1-5 starts it with the fit: 1 will not enter … 5 drops in and moves" in seen
        assert "Enter start 1-5 fit" in seen
        await press(pilot, "5", "2", "1", "1", "2", "4", "enter")
    (row,) = session.saved
    assert (row["fit"], row["result"], row["severity"], row["first_seen"]) == (
        "drops in and moves",
        "loose",
        "2",
        "width",
    )


async def test_a_digit_starts_the_next_stone_after_saving() -> None:
    """The screen after saving says the same of what comes next."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, *"3210", "enter")
        assert "1-5 fit" in picture(pilot.app)
        await press(pilot, *"4210", "enter")
    assert [row["fit"] for row in session.saved] == ["enters tilted and snaps", "drops in"]


@pytest.mark.parametrize(
    "view",
    [
        a_view(readings_asked=False, readings=()),
        a_view(readings=(PIN,)),
        a_view(set_up={}),
        an_empty_view(),
    ],
    ids=["nothing asked", "a length first", "no set-up yet", "first evening"],
)
async def test_a_digit_that_means_nothing_starts_nothing(view: NowView) -> None:
    """Where no reading is asked by digit, or the set-up comes first, Now stays as it is."""
    async with running(SessionOfAnEvening(view=view)) as pilot:
        assert "starts it with" not in picture(pilot.app)
        await press(pilot, "3")
        assert on(pilot, NowScreen)


@pytest.mark.parametrize("key", ["0", "6", "9"])
async def test_a_digit_that_is_no_answer_starts_nothing(key: str) -> None:
    """The fit has 1 to 5."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, key)
        assert on(pilot, NowScreen)


async def test_a_digit_does_not_touch_what_was_left_unfinished() -> None:
    """Enter goes on with it, x drops it; a digit could be meant for either."""
    session = SessionOfAnEvening(left_behind=an_unfinished_attempt())
    async with running(session) as pilot:
        assert "1-5 fit" not in picture(pilot.app)
        await press(pilot, "3")
        assert on(pilot, NowScreen)


async def test_a_plate_typed_ahead_of_the_next_exercise_is_that_plate() -> None:
    """Its digits wait with it, and start no attempt."""
    async with running(SessionOfAnEvening()) as pilot:
        now = pilot.app.screen
        assert isinstance(now, NowScreen)
        now.current = False
        send(pilot.app, "w34")
        await pilot.pause()
        now.load()
        await until(pilot, lambda: on(pilot, PlateScreen))
        await settled(pilot)
        plate = pilot.app.screen
        assert isinstance(plate, PlateScreen)
        assert [plate.sheet.cell(row, 0) for row in range(3)] == ["3", "4", ""]


async def test_a_key_that_now_does_not_know_waits_for_the_plate_too() -> None:
    """A letter among the digits is the plate's, and no digit after it goes astray."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        now = pilot.app.screen
        assert isinstance(now, NowScreen)
        now.current = False
        send(pilot.app, "w3345335m1")
        await pilot.pause()
        now.load()
        await until(pilot, lambda: on(pilot, PlateScreen))
        await settled(pilot)
        assert "seat diameter, position 4" in picture(pilot.app)
        plate = pilot.app.screen
        assert isinstance(plate, PlateScreen)
        assert [plate.sheet.cell(row, 0) for row in range(7)] == ["3", "3", "4", "5", "3", "3", "5"]
        assert [plate.sheet.cell(row, 1) for row in range(7)] == [""] * 7


async def test_what_was_typed_for_a_plate_that_does_not_come_answers_nothing() -> None:
    """In a block there is no whole plate: the digits start no attempt either."""
    session = SessionOfAnEvening(view=a_view_of_a_block())
    async with running(session) as pilot:
        now = pilot.app.screen
        assert isinstance(now, NowScreen)
        now.current = False
        send(pilot.app, "w34")
        await pilot.pause()
        now.load()
        await settled(pilot)
        assert on(pilot, NowScreen)
        await press(pilot, "3")
        assert not on(pilot, NowScreen)


@pytest.mark.parametrize(
    ("keys", "screen"), [("w3", PlateScreen), ("j4", SecondLookScreen), ("kq4", ClassScreen)]
)
async def test_a_digit_does_not_overtake_the_key_before_it(keys: str, screen: type) -> None:
    """Typed ahead, it goes to the screen that the key before it opens."""
    async with running(SessionOfAnEvening()) as pilot:
        send(pilot.app, keys)
        await until(pilot, lambda: on(pilot, screen))
        await settled(pilot)
        assert on(pilot, screen)


async def test_keys_ahead_of_the_next_exercise_wait_for_it_in_order() -> None:
    """A whole attempt typed while Now still looks is that attempt."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        now = pilot.app.screen
        assert isinstance(now, NowScreen)
        now.current = False
        send(pilot.app, "3210\r")
        await pilot.pause()
        assert (on(pilot, NowScreen), now.wanted) == (True, ["3"])
        now.load()
        await until(pilot, lambda: len(session.saved) == 1)
    (row,) = session.saved
    assert (row["fit"], row["trial_height"], row["ledge"], row["result"]) == (
        "enters tilted and snaps",
        "flush",
        "even",
        "good",
    )


async def test_readings_asked_come_before_a_good_one() -> None:
    """Where readings are asked, g starts with them: they come before the result."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "g")
        assert isinstance(pilot.app.screen, AttemptScreen)
        assert pilot.app.screen.entry.stop == "fit"
    assert session.saved == []


async def test_an_unfinished_attempt_is_offered_and_gone_on_with() -> None:
    """A draft left by a program that died is told of; Enter stands where it stopped."""
    session = SessionOfAnEvening(left_behind=an_unfinished_attempt())
    async with running(session) as pilot:
        assert "left unfinished" in picture(pilot.app)
        await press(pilot, "enter")
        assert "not saved" in picture(pilot.app)
        await press(pilot, "2", "1", "0", "enter")
    assert session.saved[0]["fit"] == "drops in"
    assert session.saved[0]["began"] == "2026-03-04T18:20:00+00:00"


@pytest.mark.parametrize("key", ["g", "w", "3"])
async def test_nothing_new_begins_before_what_is_unfinished(key: str) -> None:
    """The key line says what Enter does then; a key that would begin anew says that it does not."""
    session = SessionOfAnEvening(left_behind=an_unfinished_attempt())
    async with running(session) as pilot:
        foot = picture(pilot.app).splitlines()[-1]
        assert foot.startswith(" Enter go on  x throw away  l Log")
        await press(pilot, key)
        assert isinstance(pilot.app.screen, NowScreen)
        seen = " ".join(picture(pilot.app).split())
        assert f"{key} begins nothing new yet. An attempt was left unfinished." in seen
        await press(pilot, "x")
        assert (
            picture(pilot.app).splitlines()[-1].startswith(" Enter start  1-5 fit  w whole plate")
        )


async def test_looking_again_at_once_does_not_lose_the_draft() -> None:
    """A draft is handed out once; the answer that holds it is heard though a newer one follows."""
    session = SessionOfAnEvening(left_behind=an_unfinished_attempt())
    app = BenchApp(session)
    async with app.run_test(size=(80, 24)) as pilot:
        app.now.load()
        app.now.load()
        app.now.load()
        await settled(pilot)
        assert "left unfinished" in picture(app)
        await press(pilot, "enter", "2", "1", "0", "enter")
    assert session.saved[0]["fit"] == "drops in"


async def test_a_draft_of_an_older_program_is_gone_on_with() -> None:
    """What the person gave is enough; fields that came later have their defaults."""
    draft = an_unfinished_attempt()
    for name in ("where", "criterion", "origin", "page", "asked"):
        del draft[name]
    session = SessionOfAnEvening(left_behind=draft)
    async with running(session) as pilot:
        await press(pilot, "enter", "2", "1", "0", "enter")
    assert session.saved[0]["fit"] == "drops in"


async def test_what_was_thrown_away_comes_back_with_undo() -> None:
    """Throwing a draft away asks nothing, because u brings it back."""
    session = SessionOfAnEvening(left_behind=an_unfinished_attempt())
    async with running(session) as pilot:
        assert "starts it with the fit" not in picture(pilot.app)
        assert "Enter goes on where you left off" in picture(pilot.app)
        await press(pilot, "x")
        assert "Thrown away" in picture(pilot.app)
        assert "starts it with the fit" in picture(pilot.app)
        assert session.keeper.draft() is None
        await press(pilot, "x")
        assert "Nothing is unfinished" in picture(pilot.app)
        await press(pilot, "u")
        assert "left unfinished" in picture(pilot.app)
        assert session.keeper.draft() == an_unfinished_attempt()
    assert "undo" not in session.calls


async def test_a_save_after_a_draft_was_thrown_away_is_taken_back_first() -> None:
    """One step at a time, the last thing first, each with a sentence of its own."""
    session = SessionOfAnEvening(left_behind=an_unfinished_attempt())
    async with running(session) as pilot:
        await press(pilot, "x")
        await press(pilot, "enter", "2", "2", "1", "0", "enter")
        assert len(session.saved) == 1
        await press(pilot, "escape", "u")
        assert "Taken back: the attempt of 18:42." in picture(pilot.app)
        assert session.keeper.draft() is None
        await press(pilot, "u")
        assert "Taken back: throwing it away." in picture(pilot.app)
        assert session.keeper.draft() == an_unfinished_attempt()
    assert session.calls.count("undo") == 1


async def test_undo_says_what_it_did() -> None:
    """The sentence of the service stands on the screen."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "u")
        assert "Taken back: the attempt of 18:42." in picture(pilot.app)


async def test_a_refusal_is_said_in_place() -> None:
    """What cannot be done is one sentence, not a window."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        session.fault = Refused("Nothing to take back.")
        await press(pilot, "u")
        assert "Nothing to take back." in picture(pilot.app)
        assert on(pilot, NowScreen)


async def test_a_logbook_that_cannot_be_used_says_why_and_tries_again() -> None:
    """The window names the cause; Enter tries again and goes on when it works."""
    session = SessionOfAnEvening(fault=LogbookUnusable("The file is damaged.", "damaged"))
    async with running(session) as pilot:
        assert on(pilot, TroubleScreen)
        assert "The file is damaged." in picture(pilot.app)
        session.fault = None
        await press(pilot, "enter")
        assert on(pilot, NowScreen)
        assert "A whole setting" in picture(pilot.app)


async def test_invented_data_are_marked_on_every_screen() -> None:
    """The mark stands in the first line wherever one goes."""
    session = SessionOfAnEvening(invented=True)
    async with running(session) as pilot:
        for key in ("n", "l", "f", "p", "n", "enter"):
            await press(pilot, key)
            assert INVENTED.strip() in picture(pilot.app).splitlines()[0]


async def test_a_large_window_draws_the_holes_large() -> None:
    """At 200 columns each is a circle, filled by how its setting came out."""
    async with running(SessionOfAnEvening(), size=(200, 50)) as pilot:
        assert " 1│ ● │ 2│ ◐ │ 3│ t │ 4┃   ┃" in picture(pilot.app)


async def test_a_narrow_window_has_the_sizes_under_the_exercise() -> None:
    """At 60 columns both keep the whole width."""
    async with running(SessionOfAnEvening(), size=(60, 20)) as pilot:
        seen = picture(pilot.app)
        assert "Readings asked: fit, trial height, ledge" in seen
        assert "opening bur" in seen


async def test_the_first_evening_says_what_to_do_first() -> None:
    """With nothing logged the screen says how to begin."""
    async with running(SessionOfAnEvening(view=a_view(attempts=0))) as pilot:
        assert "Nothing is logged yet" in picture(pilot.app)


async def test_the_first_paint_does_not_wait_for_the_logbook() -> None:
    """The frame stands before the session is open."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await settled(pilot)
        assert OPENING not in picture(pilot.app)
    assert session.calls[:2] == ["open", "now"]


async def test_the_steps_are_unfolded_and_stay_so() -> None:
    """The key s shows one setting step by step with what to mind; again folds it away."""
    session = SessionOfAnEvening()
    async with running(session, size=(120, 96)) as pilot:
        assert "push test:" not in picture(pilot.app)
        await press(pilot, "s")
        text = " ".join(picture(pilot.app).split())
        assert "15 push test:" in text
        assert "Never hold a small plate in the fingers" in text
        await press(pilot, "s")
        assert "push test:" not in picture(pilot.app)
    assert [c for c in session.calls if c.startswith("steps")] == ["steps True", "steps False"]


async def test_steps_unfolded_in_a_small_window_are_what_is_seen() -> None:
    """They begin the words, which go back to their top when they are folded away."""
    async with running(SessionOfAnEvening()) as pilot:
        words = pilot.app.screen.query_one("#words")
        await press(pilot, "s")
        assert "step by step" in picture(pilot.app)
        assert words.scroll_offset.y > 0
        await press(pilot, "s")
        assert words.scroll_offset.y == 0


async def test_steps_left_unfolded_are_shown_at_the_next_start() -> None:
    """As the logbook remembers it."""
    view = replace(a_view(), steps_shown=True)
    async with running(SessionOfAnEvening(view=view), size=(120, 96)) as pilot:
        assert "15 push test:" in " ".join(picture(pilot.app).split())
