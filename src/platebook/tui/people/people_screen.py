"""Who is at the bench: setters, whoever teaches, and those who wait to be let in."""

from functools import partial
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import Input

from platebook.practice.records import name_key
from platebook.services.people.at_the_bench import AtTheBench, at_the_bench, seat_new
from platebook.services.people.doubles import Known, KnownTeacher, Pair, unite, unite_teachers
from platebook.services.people.person_page import PersonPage, person_page
from platebook.services.people.setters import ListedSetter, change_setter, switch_setter, turn_seats
from platebook.services.people.teachers import (
    ListedTeacher,
    add_teacher,
    change_teacher,
    switch_teacher,
)
from platebook.services.sharing.erasings import asked_words
from platebook.services.sharing.let_in import let_in_from_folder
from platebook.services.sharing.who_is_mine import Waiting
from platebook.tui.bench_session import BenchSession
from platebook.tui.classroom.pick_class_screen import PickClassScreen
from platebook.tui.messages import Answered
from platebook.tui.parts.headline import Headline
from platebook.tui.parts.text import line, txt
from platebook.tui.parts.widgets import AskedLine, PickList, Words, typed_to_find
from platebook.tui.people.erasing_screen import ErasingScreen
from platebook.tui.people.people_words import (
    FINDING,
    HOW,
    HOW_BESIDE,
    NO_DOUBLE,
    NO_SEATS_OF_THEIRS,
    NOBODY_TO_NAME,
    NOT_WAITING,
    PLACEHOLDERS,
    Naming,
    Person,
    how_of,
    id_of,
    name_of,
    people_head,
    person_part,
    row_of,
)

READING = "Reading who is there …"
WIDE = 110
"""From so many columns on what the keys do about the one marked stands beside the list."""


class SettersScreen(ErasingScreen):
    """The people of the logbook; True where someone else is at the bench now."""

    PLACE: ClassVar[str] = "setters"
    DEFAULT_CSS = """
    SettersScreen {
        PickList { width: 1fr; padding: 0 1; }
        #one { width: 46; height: 1fr; padding: 0 1; border-left: solid $rule; display: none; }
        #told.-quiet { color: $muted; }
        &.-wide #one { display: block; }
        &.-wide PickList { max-width: 90; }
        #view { display: none; height: 1; padding: 0 1; background: $surface; }
        #view.said { display: block; }
        #told { height: auto; padding: 0 1; color: $text-warning; }
    }
    """

    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (WIDE, "-wide")]  # noqa: RUF012 - as Textual has it

    class Loaded(Answered[AtTheBench]):
        """The people."""

    class Seated(Answered[None]):
        """Someone sits at the bench."""

    class PageRead(Answered[PersonPage]):
        """Where a setter stands, and what waits about them."""

    def __init__(self, session: BenchSession) -> None:
        super().__init__(session)
        self.bench = AtTheBench((), ())
        self.rows: tuple[Person, ...] = ()
        self.pages: dict[str, PersonPage] = {}
        self.wanted = ""
        self.turned = False
        self.typed: str | None = None
        self.renamed: ListedSetter | ListedTeacher | None = None

    def body(self) -> ComposeResult:
        """Who is at the bench, a line for a name, the list, the one marked, what was done."""
        yield Headline(READING)
        # A name to be corrected is gone on with, and not typed over.
        yield AskedLine(id="name")
        yield Words(id="view")
        with Horizontal():
            yield PickList(tells_more=True)
            yield Words(id="one")
        yield Words(txt(HOW_BESIDE), id="told")

    def load(self) -> None:
        """Ask again."""
        self.ask(partial(self.session.call, at_the_bench), self.Loaded, newest_only=True)
        self.ask_what_waits()

    def tell(self, sentence: str) -> None:
        """Say one sentence under the list."""
        self.sentence = sentence
        self.show_told()

    @on(Loaded)
    def show_people(self, event: Loaded) -> None:
        """Show everyone, at first whoever is at the bench marked; then the mark stays."""
        before = self.marked_person()
        marked = name_of(before) if before is not None else self.session.setter
        self.bench, self.pages, self.wanted = event.value, {}, ""
        self.show()
        names = [line(name_of(person)) for person in self.rows]
        here = line(marked)
        self.query_one(PickList).mark(names.index(here) if here in names else 0)

    def show(self) -> None:
        """The people of the class in view; while a name is typed, whoever has it of all."""
        bench = self.bench
        if self.typed is None:
            self.rows = (*bench.teachers, *bench.people, *bench.waiting)
        else:
            words = name_key(self.typed).split()
            everyone: tuple[Person, ...] = (*bench.teachers, *bench.everyone, *bench.waiting)
            self.rows = tuple(
                one for one in everyone if all(word in name_key(name_of(one)) for word in words)
            )
        picks = self.query_one(PickList)
        picks.wrapped = True
        self._show_rows()
        picks.mark(picks.marked)
        view = self.query_one("#view", Words)
        shown = f"find: {self.typed}" if self.typed is not None else ""
        view.set_class(bool(shown), "said")
        view.show(txt(shown, "bold"))
        self.show_head()
        self.show_told()

    def _show_rows(self) -> None:
        """A line a person, which says where something waits for an answer about them."""
        waiting = {*self.asked, *(one.person_id for one in self.left_out)}
        self.query_one(PickList).rows = tuple(
            row_of(person, to_answer=id_of(person) in waiting) for person in self.rows
        )

    def show_head(self) -> None:
        """Who is at the bench, and what waits."""
        self._show_rows()
        asked = [one.name for one in self.asked.values()]
        unsigned = list(dict.fromkeys(one.name for one in self.left_out))
        head = people_head(self.bench, self.session.setter, asked, unsigned)
        self.query_one(Headline).show(head)
        unfit = set() if self.bench.pairs or self.bench.teacher_pairs else {"unite"}
        unfit |= set() if self.bench.waiting else {"let_in"}
        unfit |= set() if asked or unsigned else {"obey_erasing", "keep_erasing"}
        self.offer_all_but(unfit)

    @on(PickList.Marked)
    def show_told(self) -> None:
        """What was done, what may be one with the one marked, or what the keys do."""
        pair, person = self._pair() or self._teachers(), self.marked_person()
        how = how_of(person, beside=self.size.width >= WIDE)
        told = self.sentence or (how if self.typed is None else FINDING)
        if pair is not None and not self.sentence:
            told = f"{pair.gone.sentence} may be {pair.keep.sentence}: u makes them one."
        if isinstance(person, Waiting) and not self.sentence:
            into = f", into {self.bench.in_view.called}" if self.bench.in_view.called else ""
            told = f"{person.name} is in the shared folder and not yours yet: i lets them in{into}."
        asked = self.asked_about()
        if asked is not None and not self.sentence:
            told = f"{asked_words(asked)} o obeys, k keeps, or ask them first: it waits."
        left = self.left_out_told()
        if left and asked is None and not self.sentence and self.typed is None:
            told = left
        words = self.query_one("#told", Words)
        words.set_class(told in {*HOW, FINDING}, "-quiet")
        words.show(txt(told))
        self.show_person()

    def show_person(self) -> None:
        """The one marked beside the list, where there is room; a setter's page is read then."""
        person, whose = self.marked_person(), id_of(self.marked_person())
        wide = self.size.width >= WIDE
        if wide and isinstance(person, ListedSetter) and self.wanted != whose not in self.pages:
            self.wanted = whose
            self.ask_at_rest(partial(self.session.call, person_page, person), self.PageRead)
        pair = self._pair() is not None
        page = self.pages.get(whose)
        shown = txt("") if person is None else person_part(person, page, may_be_one=pair)
        self.query_one("#one", Words).show(shown)

    @on(PageRead)
    def show_page(self, event: PageRead) -> None:
        """Show it, if its setter is still marked."""
        self.pages[event.value.setter_id] = event.value
        self.show_person()

    @on(ErasingScreen.Turned)
    def tell_what_was_said(self, event: ErasingScreen.Turned) -> None:
        """Say it; Now is worked out anew when this is closed."""
        self.turned = True
        self.sentence = event.value
        self.load()

    @on(Seated)
    def close(self) -> None:
        """Back to where it was asked from."""
        self.dismiss(result=True)

    def on_key(self, event: events.Key) -> None:
        """While a name is looked for, a letter narrows the list and Backspace widens it."""
        if self.typed is None or self.query_one(AskedLine).is_asked:
            return
        typed = typed_to_find(self.typed, event)
        if typed is not None:
            self.typed = typed
            self.query_one(PickList).marked = 0
            self.show()

    @on(Input.Submitted, "#name")
    def add_person(self, event: Input.Submitted) -> None:
        """Add the person and let them sit down; somebody who teaches is added to the list.

        Of somebody who is to be erased it has to be their name.
        """
        if self.naming == "erased":
            self.query_one(AskedLine).put_away()
            self.erase_named(event.value)
        elif self.naming == "renamed":
            self._rename(event.value)
        elif self.naming == "teacher":
            session, name = self.session, event.value
            self.query_one(AskedLine).put_away()
            self.ask(lambda: f"{session.call(add_teacher, name).name} teaches.", self.Turned)
        else:
            self.ask(partial(self.session.sit_down, seat_new, event.value), self.Seated)

    def action_choose(self) -> None:
        """Let the person marked sit down."""
        person = self.marked_person()
        if isinstance(person, ListedTeacher):
            call = partial(self.session.sit_down, switch_teacher, person.teacher.teacher_id or "")
            self.ask(call, self.Seated)
        elif isinstance(person, ListedSetter):
            call = partial(self.session.sit_down, switch_setter, person.setter.setter_id or "")
            self.ask(call, self.Seated)
        elif person is not None:
            self.action_let_in()

    def action_add(self) -> None:
        """Ask for a name."""
        self.ask_name("person")

    def action_teach(self) -> None:
        """Ask for the name of somebody who teaches."""
        self.ask_name("teacher")

    def action_rename(self) -> None:
        """Ask for another name of the one marked, beginning with the one they have."""
        person = self.marked_person()
        if isinstance(person, Waiting) or person is None:
            self.tell(NOBODY_TO_NAME)
            return
        self.renamed = person
        self.ask_name("renamed", name_of(person))

    def _rename(self, typed: str) -> None:
        """Give them this name; whoever is at the bench goes on under it."""
        person, session = self.renamed, self.session
        self.query_one(AskedLine).put_away()
        if person is None:
            return

        def call() -> str:
            if isinstance(person, ListedTeacher):
                wanted, before = person.teacher.teacher_id or "", person.teacher.name
                after = session.call(change_teacher, wanted, name=typed).name
                if session.teaching and session.setter == before:
                    session.sit_down(switch_teacher, wanted)
            else:
                wanted, before = person.setter.setter_id or "", person.setter.name
                after = session.call(change_setter, wanted, name=typed).name
                if session.setter_id == wanted:
                    session.sit_down(switch_setter, wanted)
            return f"{before} is called {after} now."

        self.ask(call, self.Turned)

    def action_seats(self) -> None:
        """Whether somebody prepares seats for the person marked, or nobody."""
        person = self.marked_person()
        if isinstance(person, ListedSetter):
            call = partial(self.session.call, turn_seats, person.setter.setter_id or "")
            self.ask(call, self.Turned)
        else:
            self.tell(NO_SEATS_OF_THEIRS)

    def action_find(self) -> None:
        """Look for a name by typing a part of it."""
        self.typed, self.sentence = "", ""
        self.show()

    def action_unite(self) -> None:
        """Make the one marked and whoever has a name like theirs one person."""
        pair, teachers = self._pair(), self._teachers()
        if pair is not None:
            self.ask(partial(self.session.call, unite, pair), self.Turned)
        elif teachers is not None:
            self.ask(partial(self.session.call, unite_teachers, teachers), self.Turned)
        else:
            self.tell(NO_DOUBLE)

    def action_let_in(self) -> None:
        """Let the one marked in, who waits, into the class in view where there is one."""
        person = self.marked_person()
        if isinstance(person, Waiting):
            into = self.bench.in_view.class_id or ""
            call = partial(self.session.call, let_in_from_folder, person, into)
            self.ask(call, self.Turned)
        else:
            self.tell(NOT_WAITING)

    def action_classes(self) -> None:
        """Show another class, or everyone."""
        self.app.push_screen(PickClassScreen(self.session), self._another)

    def action_close(self) -> None:
        """Show all again, or leave it as it is."""
        if self.query_one(AskedLine).is_asked:
            self.query_one(AskedLine).put_away()
        elif self.typed is not None:
            self.typed = None
            self.show()
        else:
            self.dismiss(result=self.turned)

    def before_moving(self) -> None:
        """What was said of the row before goes."""
        self._say_nothing()

    def _say_nothing(self) -> None:
        """What was said last, and what the next press would do, is over."""
        self.sentence, self.sure_of = "", ""

    def _another(self, changed: bool | None) -> None:  # noqa: FBT001 - what the window answers
        if changed:
            self.load()

    def ask_name(self, naming: Naming, value: str = "") -> None:
        """Open the line for a name."""
        self.naming = naming
        self.query_one(AskedLine).ask(value, PLACEHOLDERS[naming])

    def marked_person(self) -> Person | None:
        """Whoever is marked."""
        place = self.query_one(PickList).marked
        return self.rows[place] if place < len(self.rows) else None

    def _teachers(self) -> Pair[KnownTeacher] | None:
        """Two who teach and may be one, of whom one is marked."""
        person = self.marked_person()
        if not isinstance(person, ListedTeacher):
            return None
        whose = person.teacher.teacher_id
        pairs = self.bench.teacher_pairs
        return next((p for p in pairs if whose in {p.keep.teacher_id, p.gone.teacher_id}), None)

    def _pair(self) -> Pair[Known] | None:
        """Two who may be one, of whom one is marked."""
        person = self.marked_person()
        if not isinstance(person, ListedSetter):
            return None
        whose = person.setter.setter_id
        return next(
            (p for p in self.bench.pairs if whose in {p.keep.setter_id, p.gone.setter_id}), None
        )
