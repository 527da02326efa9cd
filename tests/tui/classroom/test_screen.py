"""The class and its queue: two keys a look, the own verdict told only afterwards."""

from tests.tui.class_values import CLASSES, QUEUE, STANDINGS
from tests.tui.driving import on, press, running, settled, until
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture

from platebook.practice.defects import comments_on
from platebook.services.classes.plate_looks import PlateToJudge, plate_as_judged
from platebook.services.people.at_the_bench import InView
from platebook.tui.classroom.pick_class_screen import PickClassScreen
from platebook.tui.classroom.screen import ClassScreen
from platebook.tui.parts.long_bar import LongBar
from platebook.tui.parts.text import MARK
from platebook.tui.parts.widgets import PickList
from platebook.values import replace


async def test_a_narrow_window_has_fewer_columns_and_breaks_no_word() -> None:
    """At 60 columns when somebody was last seen and how many are to go are left out."""
    async with running(SessionOfAnEvening(), size=(60, 20)) as pilot:
        await press(pilot, "k")
        seen = " ".join(picture(pilot.app).split())
        assert "name where last 8 why look" in seen
        assert "Bram Osk 2.0 mm in copper ××◐ stuck" in seen


async def test_the_class_is_a_line_each_with_the_one_marked_told() -> None:
    """Signs beside the names, one topic for all on top, and who has nothing logged says so."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "k")
        assert on(pilot, ClassScreen)
        seen = picture(pilot.app)
        assert "For all: high is what 2 of 2 have most often." in seen
        assert "●×●●×●×●" in seen
        assert "Bram Osk  ■↓▸·  2.0 mm in copper" in seen
        await press(pilot, "down")
        assert "mostly high at 4 o'clock" in picture(pilot.app)
        await press(pilot, "down")
        assert "Nothing logged yet." in picture(pilot.app)


async def test_a_clock_that_is_heard_after_it_was_stopped_ends_nothing() -> None:
    """As on a slow machine, where the mark moves on while the clock of the row before runs out."""
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "k")
        screen = pilot.app.screen
        assert isinstance(screen, ClassScreen)
        screen.action_move(1)
        (kind,) = screen.moving.keys() & {ClassScreen.PlateRead.__qualname__}
        screen._rest(kind)  # the clock of the row before
        await press(pilot, "down")
        screen._rest(kind)
        screen._rest(kind)
        assert kind not in screen.moving
        assert "Nothing logged yet." in picture(pilot.app)


async def test_a_look_takes_three_keys_and_then_the_own_verdict_is_told() -> None:
    """Digit, severity, Enter; it leaves the queue, and the next one stands there."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "k", "q")
        assert "Their own verdict is told when" in " ".join(picture(pilot.app).split())
        assert "own: good" not in picture(pilot.app)
        await press(pilot, "2")
        assert "How bad?" in picture(pilot.app)
        await press(pilot, "3")
        assert "high, setting lost: A comment?" in picture(pilot.app)
        assert session.looked == []
        await press(pilot, "enter")
        await until(pilot, lambda: "Yours: high. Bram Osk's own: good." in picture(pilot.app))
        await press(pilot, "0", "enter")
        await until(pilot, lambda: "Ottoline Marsh's own: good." in picture(pilot.app))
    assert session.looked == [("q1", "high", "3"), ("q2", "good", "")]
    assert session.comments == ["", ""]


async def test_a_stock_comment_is_one_digit_and_ones_own_is_typed() -> None:
    """The comments on the result stand beside it; digits without one are nothing."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "k", "q", "4", "2")
        assert " 1  Level it before the first" in picture(pilot.app)
        await press(pilot, "9", "0")
        assert session.looked == []
        await press(pilot, "1")
        await until(pilot, lambda: session.comments == [comments_on(("tilted",))[0]])
        await press(pilot, "8", "1", "w", *"7taps")
        assert "Enter keeps it with your words" in picture(pilot.app)
        await press(pilot, "enter")
        await until(pilot, lambda: len(session.comments) == 2)
    assert session.comments[1] == "7taps"
    assert session.looked == [("q1", "tilted", "2"), ("q2", "gap", "1")]


async def test_a_comment_is_left_by_esc() -> None:
    """The look is taken back with it; w before a look says when it writes, Enter does nothing."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "k", "q", "w")
        assert "Judge it first: w then writes words to it." in picture(pilot.app)
        await press(pilot, "enter", "2", "enter", "1", "w", "x", "escape")
        assert session.looked == []
        await press(pilot, "0", "enter")
        await until(pilot, lambda: session.looked == [("q1", "good", "")])
    assert session.comments == [""]


async def test_s_signs_off_the_grade_that_waits() -> None:
    """In the class and in the queue; where none waits it says so, and does nothing."""
    waiting = replace(
        STANDINGS[0],
        state="to be signed off",
        sign_off="copper-2.0",
        sign_off_title="2.0 mm in copper",
    )
    due = replace(QUEUE[0], setter_id="s2", sign_off="copper-1.5")
    session = SessionOfAnEvening(standings=(waiting, *STANDINGS[1:]), queue=(due, *QUEUE[1:]))
    async with running(session) as pilot:
        await press(pilot, "k", "down")
        assert "2.0 mm in copper has its points: s signs it off" in picture(pilot.app)
        await press(pilot, "s")
        await until(pilot, lambda: "copper-2.0 is signed off." in picture(pilot.app))
        await press(pilot, "up", "s")
        assert "No grade of theirs waits for a sign-off." in picture(pilot.app)
        await press(pilot, "q", "s")
        await until(pilot, lambda: len(session.signed) == 2)
    assert session.signed == [("s1", "copper-2.0"), ("s2", "copper-1.5")]


async def test_a_digit_is_taken_back_before_it_is_weighed() -> None:
    """Esc takes it back, then goes back to the class; another row takes it back too."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "k", "q", "2", "escape", "4", "down", "0", "enter")
        await until(pilot, lambda: bool(session.looked))
        assert session.looked == [("q2", "good", "")]
        await press(pilot, "escape")
        assert "For all:" in picture(pilot.app)


async def test_no_key_is_offered_that_nothing_can_be_done_with() -> None:
    """The order of the queue beside the queue alone; before any attempt what begins a class."""
    bare = tuple(replace(setter, attempts=0) for setter in STANDINGS)
    async with running(SessionOfAnEvening(standings=bare, queue=()), size=(120, 40)) as pilot:
        await press(pilot, "k")
        keys = picture(pilot.app).splitlines()[-1]
        assert "m new class" in keys
        assert not any(key in keys for key in ("q queue", "i plate", "u undo", "s sign off"))
    async with running(SessionOfAnEvening(), size=(120, 40)) as pilot:
        await press(pilot, "k")
        assert "o order" not in picture(pilot.app).splitlines()[-1]
        await press(pilot, "q")
        assert "o order" in picture(pilot.app).splitlines()[-1]


async def test_undo_is_offered_once_there_is_something_to_take_back() -> None:
    """Nothing of this teacher's stands in the logbook yet; then a look does."""
    session = SessionOfAnEvening()

    async with running(session) as pilot:

        def keys() -> str:
            return picture(pilot.app).splitlines()[-1]

        await press(pilot, "k")
        assert "u undo" not in keys()
        await press(pilot, "q")
        assert "u undo" not in keys()
        await press(pilot, "0", "enter")
        await until(pilot, lambda: "u undo" in keys())
        await press(pilot, "u")
        await until(pilot, lambda: "u undo" not in keys())


async def test_in_the_queue_its_key_is_called_by_where_it_leads() -> None:
    """Back to the class; and words to a look are offered once it is judged."""
    async with running(SessionOfAnEvening(), size=(120, 40)) as pilot:

        def keys() -> str:
            return picture(pilot.app).splitlines()[-1]

        await press(pilot, "k")
        assert "q queue" in keys()
        assert "w write" in keys()
        await press(pilot, "q")
        assert "q class" in keys()
        assert "q queue" not in keys()
        assert "w write" not in keys()
        await press(pilot, "0")
        assert "w write" in keys()
        await press(pilot, "escape", "q")
        assert "q queue" in keys()


async def test_a_class_of_nobody_and_an_empty_queue_say_what_to_do() -> None:
    """In a sentence each."""
    async with running(SessionOfAnEvening(standings=(), queue=())) as pilot:
        await press(pilot, "k")
        assert "Nobody is in the class yet" in " ".join(picture(pilot.app).split())
        await press(pilot, "q", "2")
        assert "Nothing waits to be looked at." in picture(pilot.app)


async def test_reading_a_large_class_shows_a_bar_and_blocks_no_key() -> None:
    """The bar comes up with the steps done; another screen opens meanwhile, and the work ends."""
    session = SessionOfAnEvening(long=True)
    async with running(session) as pilot:
        await pilot.press("k")
        await until(pilot, lambda: "7 of 30. Esc stops it" in picture(pilot.app))
        await pilot.press("l")
        await until(pilot, lambda: not on(pilot, ClassScreen))
        await until(pilot, lambda: "stopped" in session.calls)


async def test_escape_stops_the_reading_and_the_key_of_the_class_goes_on() -> None:
    """In a sentence; the bar goes."""
    session = SessionOfAnEvening(long=True)
    async with running(session) as pilot:
        await pilot.press("k")
        await until(pilot, lambda: "7 of 30" in picture(pilot.app))
        await pilot.press("escape")
        await until(pilot, lambda: "Stopped; what is read so far is kept." in picture(pilot.app))
        assert "stopped" in session.calls
        assert not pilot.app.screen.query_one(LongBar).display
        session.let_go.set()
        await press(pilot, "k")
        assert "For all: high" in picture(pilot.app)


async def test_the_queue_says_every_reason_whole_and_goes_by_student_too() -> None:
    """At 80 columns nothing is cut; o orders by the class's list, and the mark stays on its row."""
    third = replace(QUEUE[1], attempt_id="q3", setter="Bram Osk", setter_id="s2")
    async with running(SessionOfAnEvening(queue=(*QUEUE, third))) as pilot:
        await press(pilot, "k", "q")
        lines = picture(pilot.app).splitlines()
        rows = lines[next(n for n, row in enumerate(lines) if "Bram Osk:" in row) :][:16]
        assert rows[0].startswith(f" {MARK} Bram Osk: stuck, not looked at ")
        seen = " ".join(" ".join(line[41:].strip("│ ") for line in rows).split())
        assert "…" not in seen
        assert rows[1].startswith("   drawn at random:")
        assert "Ottoline Marsh" in rows[2]
        for words in ("low for 40 settings,", "never looked at"):
            assert words in seen
        await press(pilot, "end")
        order = [row[3:40].strip(" │") for row in picture(pilot.app).splitlines()[3:]]
        assert order.index("Ottoline Marsh") < order.index("Bram Osk: has a reason too")
        await press(pilot, "o")
        seen = picture(pilot.app)
        order = [row[3:40].strip(" │") for row in seen.splitlines()[3:]]
        assert order.index("Ottoline Marsh") > order.index("Bram Osk: has a reason too")
        assert "Student by student" in seen
        marked = next(line for line in seen.splitlines() if MARK in line)
        assert "Bram Osk" in marked


async def test_a_message_goes_to_the_student_marked_or_to_the_class_in_view() -> None:
    """W on their line, W for all; Esc leaves it unwritten; with everyone in view W asks which."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "k", "W")
        assert isinstance(pilot.app.screen, PickClassScreen)
        await press(pilot, "escape")
        await press(pilot, "w", "x", "escape", "w", *"slower", "enter")
        await until(pilot, lambda: "slower to s2" in session.calls)
        await until(pilot, lambda: "Written to s2." in picture(pilot.app))
    session = SessionOfAnEvening(in_view=InView("c1", "Thursday"))
    async with running(session) as pilot:
        await press(pilot, "k", "W", *"all", "enter")
        await until(pilot, lambda: "all to c1" in session.calls)


async def test_a_class_is_found_by_what_its_row_shows() -> None:
    """By its name and days, and everyone too; where one class is asked for, none but classes."""
    session = SessionOfAnEvening(classes_there=CLASSES)
    async with running(session) as pilot:
        await press(pilot, "k", "g", *"january")
        assert "Thursday, from 8 January 2026" in picture(pilot.app)
        await press(pilot, *["backspace"] * len("january"), *"everyone")
        assert f"{MARK} Everyone" in picture(pilot.app)
        await press(pilot, "enter")
        await until(pilot, lambda: not isinstance(pilot.app.screen, PickClassScreen))
        await press(pilot, "d")
        assert isinstance(pilot.app.screen, PickClassScreen)
        assert "Everyone" not in picture(pilot.app)
        assert f"{MARK} Thursday" in picture(pilot.app)


async def test_where_there_is_one_class_nobody_asks_which() -> None:
    """What needs a class takes that one; g still offers everyone beside it."""
    session = SessionOfAnEvening(classes_there=CLASSES[:1])
    async with running(session) as pilot:
        await press(pilot, "k", "d")
        await until(pilot, lambda: "Thursday after 8 weeks" in picture(pilot.app))
        assert session.in_view.class_id == "thu"
        await press(pilot, "g")
        assert isinstance(pilot.app.screen, PickClassScreen)
        assert "Everyone" in picture(pilot.app)


async def test_terms_of_a_class_without_a_first_day_ask_for_it_and_go_on() -> None:
    """Esc leaves it; the day that was typed is written down, and the terms stand on top."""
    session = SessionOfAnEvening(in_view=InView("thursday", "Thursday"), begins="")
    async with running(session) as pilot:
        await press(pilot, "k", "d")
        assert "the first day of Thursday, such as 2026-01-08" in picture(pilot.app)
        await press(pilot, "escape")
        assert "the first day of Thursday" not in picture(pilot.app)
        await press(pilot, "d", *"2026-01-05", "enter")
        await until(pilot, lambda: "begins 2026-01-05" in session.calls)
        await until(pilot, lambda: "Thursday after 8 weeks" in picture(pilot.app))


async def test_the_end_of_a_queue_longer_than_the_class_leads_back_to_the_class() -> None:
    """The mark on a row that the class has not stands on its first setter."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "k", "q")
        screen = pilot.app.screen
        assert isinstance(screen, ClassScreen)
        screen.by_weight = QUEUE * 4
        screen.show()
        await press(pilot, "end", "q")
        assert f"{MARK} {(screen.standings or ())[0].name}" in picture(pilot.app)


async def test_a_very_large_window_shows_ones_last_looks_and_the_seat_beside_the_queue() -> None:
    """Both verdicts of what was looked at; the seat to scale; the usual wide window has neither."""
    async with running(SessionOfAnEvening(), size=(200, 50)) as pilot:
        await press(pilot, "k", "q")
        seen = picture(pilot.app)
        assert "The seat that this grade wants:" in seen
        assert "1.50 mm stone in a" in seen
        assert "plate C, position 3: yours tilted, clearly; their own" in seen
    async with running(SessionOfAnEvening(), size=(120, 40)) as pilot:
        await press(pilot, "k", "q")
        assert "Your last looks" not in picture(pilot.app)


async def test_nothing_is_read_of_whom_the_mark_only_passes() -> None:
    """While an arrow is held only the plate of the one is read that the mark comes to rest on."""
    session, read = SessionOfAnEvening(), list[str]()
    plate_of = session.answers[plate_as_judged]

    def read_plate(setter_id: str, plate: str = "") -> PlateToJudge:
        read.append(setter_id)
        seen: PlateToJudge = plate_of(setter_id, plate)
        return seen

    session.answers[plate_as_judged] = read_plate
    async with running(session, size=(120, 40)) as pilot:
        await press(pilot, "k")
        screen = pilot.app.screen
        assert isinstance(screen, ClassScreen)
        first, second, third = (setter.setter_id for setter in screen.standings or ())
        assert read == [first]
        picks = screen.query_one(PickList)
        for place in (1, 2, 1):
            picks.mark(place)
        await settled(pilot)
        assert "Plate B" in picture(pilot.app)
    assert second in read
    assert third not in read
