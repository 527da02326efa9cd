"""The first start, and who is at the bench: what the session is asked, then what is seen."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests.services.school import desk_of
from tests.tui import bench, class_values
from tests.tui.driving import on, press, running, until
from tests.tui.evening_app import SessionOnDisk
from tests.tui.fakes import SessionOfAnEvening
from tests.tui.pictures import picture
from textual import events
from textual.pilot import Pilot

from platebook.logbook.erasures.held_back import ErasingAsked
from platebook.logbook.signing.left_out import LeftOut
from platebook.practice.records import Setter, Teacher
from platebook.services.people.at_the_bench import InView
from platebook.services.people.doubles import Known, KnownTeacher, Pair
from platebook.services.people.setters import FirstOffers, ListedSetter, list_setters
from platebook.services.people.teachers import ListedTeacher, begin_teaching, list_teachers
from platebook.tui.bench_session import BenchSession
from platebook.tui.classroom.screen import ClassScreen
from platebook.tui.help_screen import HelpScreen
from platebook.tui.now.screen import NowScreen
from platebook.tui.parts.text import MARK
from platebook.tui.parts.widgets import OrderedInput, PickList
from platebook.tui.people.first_start_screen import FirstRunScreen
from platebook.tui.people.people_screen import SettersScreen
from platebook.tui.people.people_words import HOW_SETTER, HOW_TEACHER, NO_SEATS_OF_THEIRS
from platebook.values import replace


async def test_the_first_start_asks_name_seats_course_and_tools() -> None:
    """Each question has something that stands; the answers go to the service."""
    session = SessionOfAnEvening(new=True, setter="")
    async with running(session) as pilot:
        assert on(pilot, FirstRunScreen)
        await press(pilot, *"Edda", "enter", "2", "enter", "2", "enter", *"123", "enter")
        assert on(pilot, NowScreen)
    ((name, seats, course, tools),) = session.begun
    assert (name, seats, course) == ("Edda", "own", "large-to-small")
    assert list(tools) == list(bench.SOME_TOOLS[:3])


@pytest.mark.parametrize(
    ("keys", "owned"),
    [("", ()), ("2", (1,)), ("0", (0, 1, 2, 3)), ("02", (0, 2, 3)), ("00", ())],
)
async def test_the_drawer_holds_what_was_ticked(keys: str, owned: tuple[int, ...]) -> None:
    """Who presses Enter through owns nothing; 0 ticks all examples, and again none."""
    session = SessionOfAnEvening(new=True, setter="")
    async with running(session) as pilot:
        await press(pilot, *"Edda", "enter", "enter", "enter", *keys, "enter")
        assert on(pilot, NowScreen)
    assert list(session.begun[0][3]) == [bench.SOME_TOOLS[place] for place in owned]


async def test_what_follows_a_name_typed_ahead_is_not_typed_into_it() -> None:
    """The name is past when the questions come up, and its line has the keys no more."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        first = FirstRunScreen(session, FirstOffers(session.courses, bench.SOME_TOOLS))
        await pilot.app.push_screen(first)
        first.take_typed([*(events.Key(sign, sign) for sign in "Ines"), events.Key("enter", None)])
        await press(pilot, "2")
        assert (first.query_one(OrderedInput).value, first.seats) == ("Ines", 1)


async def test_what_follows_a_name_in_one_burst_is_not_typed_into_it() -> None:
    """Handed out before the name's Enter has run, the digit answers the next question."""
    session = SessionOfAnEvening(new=True, setter="")
    async with running(session) as pilot:
        for sign in "Edda":
            pilot.app.post_message(events.Key(sign, sign))
        pilot.app.post_message(events.Key("enter", None))
        pilot.app.post_message(events.Key("2", "2"))
        first = pilot.app.screen
        assert isinstance(first, FirstRunScreen)
        await until(pilot, lambda: first.seats == 1)
        assert first.query_one(OrderedInput).value == "Edda"


async def test_the_first_start_can_be_skipped() -> None:
    """Esc takes what stands and goes to Now."""
    session = SessionOfAnEvening(new=True, setter="")
    async with running(session) as pilot:
        await press(pilot, "escape")
        assert on(pilot, NowScreen)
    ((name, seats, course, tools),) = session.begun
    assert (name, seats, course, list(tools)) == ("", None, "small-to-large", [])


async def test_a_question_mark_for_a_name_opens_help() -> None:
    """It is no name: help opens, and nobody is called so afterwards."""
    session = SessionOfAnEvening(new=True, setter="")
    async with running(session) as pilot:
        await press(pilot, "question_mark")
        assert on(pilot, HelpScreen)
        await press(pilot, "escape", "escape")
    assert [name for name, *_ in session.begun] == [""]


async def test_who_prepares_seats_is_said_where_people_are_chosen() -> None:
    """The key s turns it over, says so, and Now is worked out anew when that is left."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "b", "s")
        assert "nobody prepares seats" in picture(pilot.app)
        looked = session.calls.count("now")
        await press(pilot, "escape")
        assert session.calls.count("now") == looked + 1


async def test_someone_else_sits_down() -> None:
    """The title names them, and the screen asks for what is theirs."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "b", "down", "enter")
        await until(pilot, lambda: "Bram Osk" in picture(pilot.app).splitlines()[0])
        assert on(pilot, NowScreen)


async def test_a_person_is_added_where_people_are_chosen() -> None:
    """The key a asks for a name, and they sit down; Esc leaves it as it is."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "b", "escape")
        assert session.setter == "Ottoline Marsh"
        await press(pilot, "b", "a", *"Wren", "enter")
        await until(pilot, lambda: session.setter == "Wren")


async def test_an_unfinished_attempt_waits_for_who_began_it(tmp_path: Path) -> None:
    """Somebody else sits down at once, and is told; its owner finds it there again."""
    session = SessionOnDisk(tmp_path)
    async with running(session) as pilot:
        await press(pilot, "enter", "3", "escape", "escape", "b")
        assert on(pilot, SettersScreen)
        await press(pilot, "down", "enter")
        kept = "The attempt of Ottoline Marsh is kept: it waits until they sit down again."
        await until(pilot, lambda: kept in " ".join(picture(pilot.app).split()))
        assert "left unfinished" not in picture(pilot.app)
        await press(pilot, "b", "up", "enter")
        await until(pilot, lambda: "An attempt was left unfinished" in picture(pilot.app))
        await press(pilot, "enter")
        assert "enters tilted" in picture(pilot.app)


async def test_whoever_teaches_begins_at_the_class() -> None:
    """Ctrl+T says it; a name is all that is asked, and there is no exercise of theirs."""
    session = SessionOfAnEvening(new=True, setter="")
    async with running(session) as pilot:
        await press(pilot, "ctrl+t")
        assert "You teach: you sign looks by this name" in picture(pilot.app)
        await press(pilot, *"Isolde", "enter")
        assert on(pilot, ClassScreen)
        await press(pilot, "n")
        assert "Isolde teaches: k is the class" in picture(pilot.app)
    assert session.taught == [("Isolde", False, "small-to-large")]
    assert session.calls.count("now") == 0


@pytest.mark.parametrize("key", ["f", "p", "t"])
async def test_a_page_of_ones_own_work_says_to_a_teacher_where_to_go(key: str) -> None:
    """Nothing is read for it, its keys do nothing, and no other is offered than ways elsewhere."""
    session = SessionOfAnEvening(setter="Isolde Crane", teaches=True)
    async with running(session) as pilot:
        asked = len(session.calls)
        await press(pilot, key)
        seen = picture(pilot.app)
        assert "Isolde Crane teaches and has no log of their own." in seen
        assert "k Class  b who  S share" in seen.splitlines()[-1]
        await press(pilot, "a", "s", "d", "v")
        assert session.calls[asked:] == []
        await press(pilot, "k")
        assert on(pilot, ClassScreen)


async def test_whoever_teaches_and_sets_is_asked_for_a_course_too() -> None:
    """Ctrl+T a second time."""
    session = SessionOfAnEvening(new=True, setter="")
    async with running(session) as pilot:
        await press(pilot, *"Isolde", "ctrl+t", "ctrl+t", "enter", "enter", "2", "enter", "enter")
        assert on(pilot, ClassScreen)
    assert session.taught == [("Isolde", True, "large-to-small")]


async def test_a_start_file_dropped_for_a_name_begins_at_once() -> None:
    """Its name is no person's."""
    session = SessionOfAnEvening(new=True, setter="")
    async with running(session) as pilot:
        await press(pilot, *"'Ada.start.json'", "enter")
        assert on(pilot, NowScreen)
    assert "begin with 'Ada.start.json'" in session.calls


async def test_a_teacher_sits_down_and_sees_the_class() -> None:
    """They stand above the setters, and Now is not asked for."""
    session = SessionOfAnEvening(teachers=(class_values.TEACHER,))
    async with running(session) as pilot:
        await press(pilot, "b")
        assert "Isolde Crane, Thursday" in picture(pilot.app)
        await press(pilot, "home", "enter")
        assert on(pilot, ClassScreen)
        assert "Isolde Crane" in picture(pilot.app).splitlines()[0]


async def test_a_name_is_found_by_typing_a_part_of_it() -> None:
    """Enter takes the one that is left; Esc shows all again."""
    session = SessionOfAnEvening()
    async with running(session) as pilot:
        await press(pilot, "b", "slash", *"osk")
        shown = picture(pilot.app)
        assert ("Bram Osk" in shown, "Ottoline Marsh," in shown) == (True, False)
        await press(pilot, "backspace", "backspace", "backspace", "escape")
        assert "Ottoline Marsh" in picture(pilot.app)
        await press(pilot, "slash", *"osk", "enter")
        await until(pilot, lambda: session.setter == "Bram Osk")


async def test_the_list_goes_by_windows_and_to_its_ends() -> None:
    """Page down, End, Home."""
    many = tuple(
        ListedSetter(Setter(setter_id=str(n), name=f"Student {n:02}"), 0, in_use=False)
        for n in range(60)
    )
    session = SessionOfAnEvening(everyone=many)
    async with running(session) as pilot:
        await press(pilot, "b", "end")
        assert pilot.app.screen.query_one(PickList).marked == 59
        await press(pilot, "home", "pagedown")
        assert 10 < pilot.app.screen.query_one(PickList).marked < 24


async def test_two_who_may_be_one_are_told_and_united_by_one_key() -> None:
    """With what each has logged; the others have no double."""
    ottoline, bram = class_values.EVERYONE[:2]
    pair = Pair(
        Known(str(ottoline.setter.setter_id), "Ottoline Marsh", "Thursday", 64),
        Known(str(bram.setter.setter_id), "Ottoline March", "", 3),
    )
    session = SessionOfAnEvening(pairs=(pair,))
    async with running(session) as pilot:
        await press(pilot, "b")
        shown = " ".join(picture(pilot.app).split())
        assert "Ottoline March (3 attempts) may be Ottoline Marsh (Thursday, 64 attempts)" in shown
        await press(pilot, "u")
        assert "Ottoline March and Ottoline Marsh are one now." in picture(pilot.app)


async def test_two_entries_of_a_teacher_are_united_by_the_same_key() -> None:
    """With what each teaches and has signed."""
    known = Teacher(teacher_id="t1", name="Lynn Crane")
    pair = Pair(
        KnownTeacher("t1", "Lynn Crane", ("Thursday",), 12), KnownTeacher("t2", "Lin Crane", (), 1)
    )
    listed = ListedTeacher(known, ("Thursday",), "", in_use=False)
    session = SessionOfAnEvening(teachers=(listed,), teacher_pairs=(pair,))
    async with running(session) as pilot:
        await press(pilot, "b", "home")
        shown = " ".join(picture(pilot.app).split())
        assert "Lin Crane (teaches no class, signed 1 time) may be Lynn Crane (teaches Thu" in shown
        await press(pilot, "u")
        assert "Lin Crane is now Lynn Crane." in picture(pilot.app)


async def test_much_is_erased_when_the_name_is_typed_and_not_before() -> None:
    """What would go is said; another name, and Esc, leave everybody here."""
    bram = class_values.EVERYONE[1]
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "b", "x")
        assert "They are at the bench" in picture(pilot.app)
        await press(pilot, "end", "x")
        seen = " ".join(picture(pilot.app).split())
        assert f"{bram.setter.name} goes. Type the name and Enter" in seen
        await press(pilot, *"Bram", "enter")
        assert "That is not Bram Osk. Nobody was erased." in " ".join(picture(pilot.app).split())
        await press(pilot, "x", "escape")
        await press(pilot, "x", *"bram osk", "enter")
        assert "Bram Osk is erased." in picture(pilot.app)


async def test_who_has_nothing_is_erased_by_the_second_press() -> None:
    """A move between takes the first one back."""
    empty = replace(class_values.EVERYONE[1], attempts=0)
    session = SessionOfAnEvening(everyone=(class_values.EVERYONE[0], empty))
    async with running(session) as pilot:
        await press(pilot, "b", "end", "x")
        assert "x once more does it." in " ".join(picture(pilot.app).split())
        await press(pilot, "home", "end", "x")
        assert "x once more does it." in " ".join(picture(pilot.app).split())
        await press(pilot, "x")
        assert "Bram Osk is erased." in picture(pilot.app)


async def test_who_waits_is_let_in_by_one_key() -> None:
    """Into the class in view."""
    session = SessionOfAnEvening(waiting=(class_values.STRANGER,), in_view=InView("c", "Thursday"))
    async with running(session) as pilot:
        await press(pilot, "b", "end")
        assert "waits to be let in, 2 attempts" in picture(pilot.app)
        await press(pilot, "i")
        assert "Fay Moor is let in (c)." in picture(pilot.app)


async def test_another_class_is_one_key_away() -> None:
    """Typing finds it, Enter puts it in view, on the screen of people as on the class screen."""
    session = SessionOfAnEvening(classes_there=class_values.CLASSES)
    async with running(session) as pilot:
        await press(pilot, "k", "g")
        shown = picture(pilot.app)
        assert all(word in shown for word in ("Everyone", "Thursday", "Saturday", "12 people"))
        await press(pilot, *"satu", "enter")
        assert on(pilot, ClassScreen)
        assert session.called_for == "sat"
        assert picture(pilot.app).splitlines()[1].startswith("▌ sat: ")
        await press(pilot, "b", "g", "home", "enter")
        assert session.in_view == InView(None, "")


async def said_at_the_name(pilot: Pilot[None], name: str) -> str:
    """All that the screen of people says, with the mark on this name."""
    await press(pilot, "b")
    rows = [line for line in picture(pilot.app).splitlines() if name in line]
    if not any(MARK in row for row in rows):
        await press(pilot, "down")
    return " ".join(picture(pilot.app).split())


async def test_whom_others_ask_to_erase_is_said_and_answered_at_the_name() -> None:
    """K keeps them; o erases at the second press, and says first what goes."""
    person = class_values.EVERYONE[1].setter
    asked = ErasingAsked(
        person_id=person.setter_id or "",
        name=person.name,
        kind="setter",
        whole=True,
        attempts=1,
        records=2,
        asked_by=("Marta Corvo",),
        by_themselves=False,
        erased=datetime(2026, 2, 3, tzinfo=UTC),
        kept=False,
    )
    for keys, done in (
        (["k"], "stays in this logbook"),
        (["o", *person.name, "enter"], "is erased here"),
    ):
        async with running(SessionOfAnEvening(asked=(asked,))) as pilot:
            seen = await said_at_the_name(pilot, person.name)
            assert f"Marta Corvo asks to erase one setter with 1 attempt: {person.name}." in seen
            await press(pilot, *keys)
            assert done in " ".join(picture(pilot.app).split())


async def test_what_nobody_signed_is_said_and_answered_at_the_name() -> None:
    """O takes it in, k leaves it out."""
    person = class_values.EVERYONE[1].setter
    left = LeftOut(
        person_id=person.setter_id or "",
        name=person.name,
        signer="",
        card=None,
        replica="",
        records=1,
        kinds=(("attempt", 1),),
        refused=False,
        answer="",
    )
    for key, done in (("k", "stays out"), ("o", "comes in")):
        async with running(SessionOfAnEvening(left_out=(left,))) as pilot:
            seen = await said_at_the_name(pilot, person.name)
            assert f"1 attempt in the name of {person.name} is not signed." in seen
            await press(pilot, key)
            assert f"1 attempt of {person.name} {done}" in " ".join(picture(pilot.app).split())


async def test_a_name_is_corrected_where_it_stands(tmp_path: Path) -> None:
    """Of whoever is at the bench the title has it at once; the line begins with the old name."""
    ada = desk_of(tmp_path, "ada", "Ada Quil")
    async with running(BenchSession(lambda: ada)) as pilot:
        await press(pilot, "b", "e", "l", "enter")
        await until(pilot, lambda: "Ada Quil is called Ada Quill now." in picture(pilot.app))
        await press(pilot, "escape")
        assert picture(pilot.app).splitlines()[0].rstrip().endswith("Ada Quill")
    assert [each.setter.name for each in list_setters(ada)] == ["Ada Quill"]


async def test_a_name_that_is_nothing_is_refused(tmp_path: Path) -> None:
    """The person keeps the name they have."""
    tutor = begin_teaching(desk_of(tmp_path, "tutor"), name="Isolde")
    async with running(BenchSession(lambda: tutor)) as pilot:
        await press(pilot, "b", "e", *["backspace"] * len("Isolde"), "enter")
        await until(pilot, lambda: "expected the teacher's name" in picture(pilot.app))
    assert [each.teacher.name for each in list_teachers(tutor)] == ["Isolde"]


async def test_a_wide_window_shows_where_the_one_marked_stands_and_what_waits() -> None:
    """Grade, last eight, what to look at, key; the usual window has the list alone."""
    async with running(SessionOfAnEvening(), size=(120, 40)) as pilot:
        await press(pilot, "b", "down")
        seen = picture(pilot.app)
        assert "××◐  how the last ones came out" in seen
        assert "never looked at" in seen
        assert "2F7K-9QXM  first met" in seen
    async with running(SessionOfAnEvening()) as pilot:
        await press(pilot, "b", "down")
        assert "how the last ones came out" not in picture(pilot.app)


async def test_a_small_window_says_what_its_keys_do_for_the_one_marked() -> None:
    """Who prepares a setter's seats; of somebody who teaches there is no such thing."""
    session = SessionOfAnEvening(teachers=(class_values.TEACHER,))
    async with running(session) as pilot:
        await press(pilot, "b", "end")
        assert HOW_SETTER in picture(pilot.app)
        await press(pilot, "home")
        assert HOW_TEACHER in picture(pilot.app)
        await press(pilot, "s")
        assert NO_SEATS_OF_THEIRS in picture(pilot.app)
    assert not any(call.startswith("seats of") for call in session.calls)
