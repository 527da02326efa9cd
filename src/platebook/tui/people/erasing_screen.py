"""People, as far as they are erased, and as what others ask or did not sign is answered."""

from abc import abstractmethod
from collections.abc import Callable
from functools import partial

from textual import on

from platebook.logbook.erasures.held_back import ErasingAsked
from platebook.logbook.signing.left_out import LeftOut
from platebook.practice.records import name_key
from platebook.services.people.going import Going, erase, setter_going, teacher_going
from platebook.services.people.setters import ListedSetter
from platebook.services.people.teachers import ListedTeacher
from platebook.services.sharing.erasings import asked_words, erasings, keep_erasing, obey_erasing
from platebook.services.sharing.unsigned import (
    how_to_answer,
    leave_left_out,
    left_out_here,
    left_out_words,
    take_left_out,
)
from platebook.tui.base_screen import ListScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.messages import Answered
from platebook.tui.people.people_words import (
    AT_THE_BENCH,
    NOBODY_TO_ERASE,
    NOT_ASKED,
    TYPE_THE_NAME,
    Naming,
    Person,
    id_of,
)

UNSIGNED = "o takes it in, k leaves it out, or ask them first: it waits."


class ErasingScreen(ListScreen[bool]):
    """A list of people in which the one marked is erased or answered about.

    `asked` are those whom others ask to erase, `left_out` what waits for want of a signature and
    `refused` what was left out for good,
    `going` the name that has to be typed and what is done then, `sure_of` what one more press does.
    """

    class Erasings(Answered[tuple[ErasingAsked, ...]]):
        """Whom others ask to erase."""

    class LeftOutOfBundles(Answered[tuple[LeftOut, ...]]):
        """What waits because its person's key did not sign it."""

    class WouldGo(Answered[Going]):
        """What erasing somebody would take along."""

    class Turned(Answered[str]):
        """Something is said anew of a person, in a sentence."""

    def __init__(self, session: BenchSession) -> None:
        super().__init__(session)
        self.sentence = self.sure_of = ""
        self.naming: Naming = "person"
        self.going: tuple[str, Callable[[], str]] | None = None
        self.asked: dict[str, ErasingAsked] = {}
        self.left_out: tuple[LeftOut, ...] = ()
        self.refused: tuple[LeftOut, ...] = ()

    @abstractmethod
    def marked_person(self) -> Person | None:
        """Whoever is marked."""

    @abstractmethod
    def ask_name(self, naming: Naming) -> None:
        """Open the line for a name."""

    @abstractmethod
    def show_head(self) -> None:
        """Say who is at the bench, and what waits."""

    @abstractmethod
    def show_told(self) -> None:
        """Say what is to be said of whoever is marked."""

    def ask_what_waits(self) -> None:
        """Ask whom others ask to erase, and what waits for want of a signature."""
        self.ask(partial(self.session.call, erasings), self.Erasings)
        self.ask(partial(self.session.call, left_out_here), self.LeftOutOfBundles)

    @on(Erasings)
    def show_erasings(self, event: Erasings) -> None:
        """Say it of whoever is marked."""
        self.asked = {one.person_id: one for one in event.value if not one.kept}
        self.show_head()
        self.show_told()

    @on(LeftOutOfBundles)
    def show_left_out(self, event: LeftOutOfBundles) -> None:
        """Say it of whoever is marked."""
        self.left_out = tuple(one for one in event.value if not one.refused and not one.answer)
        self.refused = tuple(one for one in event.value if one.refused)
        self.show_head()
        self.show_told()

    def action_obey_erasing(self) -> None:
        """Erase the one marked as others ask: typed for much, else pressed twice; or take in."""
        asked = self.asked_about()
        left = self._left_out_of()
        if asked is None and left is not None:
            self.ask(partial(self.session.call, take_left_out, left), self.Turned)
        elif asked is None:
            self.tell(NOT_ASKED)
        elif asked.attempts:
            call = partial(self.session.call, obey_erasing, asked.person_id)
            self._ask_the_name(asked.name, asked_words(asked), call)
        elif self.sure_of != asked.person_id:
            self.sure_of = asked.person_id
            self.tell(f"o once more erases {asked.name} here for good.")
        else:
            call = partial(self.session.call, obey_erasing, asked.person_id)
            self.ask(call, self.Turned)

    def action_erase(self) -> None:
        """Say what would go with the one marked, then ask for their name, or for another x."""
        person = self.marked_person()
        if not isinstance(person, ListedSetter | ListedTeacher):
            self.tell(NOBODY_TO_ERASE)
        elif person.in_use:
            self.tell(AT_THE_BENCH)
        elif isinstance(person, ListedTeacher):
            wanted = person.teacher.teacher_id or ""
            self.ask(partial(self.session.call, teacher_going, wanted), self.WouldGo)
        else:
            wanted = person.setter.setter_id or ""
            self.ask(partial(self.session.call, setter_going, wanted), self.WouldGo)

    @on(WouldGo)
    def ask_to_erase(self, event: WouldGo) -> None:
        """Ask for the name where much would go; else the second x does it."""
        going = event.value
        call = partial(self.session.call, erase, going)
        if going.much:
            self._ask_the_name(going.name, going.sentence, call)
        elif self.sure_of != f"x {going.person_id}":
            self.sure_of = f"x {going.person_id}"
            self.tell(f"{going.sentence} x once more does it.")
        else:
            self.ask(call, self.Turned)

    def _ask_the_name(self, name: str, sentence: str, call: Callable[[], str]) -> None:
        self.going = name, call
        self.ask_name("erased")
        self.tell(f"{sentence} {TYPE_THE_NAME}")

    def action_keep_erasing(self) -> None:
        """Answer that the one marked stays here, or that what waits in their name stays out."""
        asked = self.asked_about()
        left = self._left_out_of()
        if asked is None and left is not None:
            self.ask(partial(self.session.call, leave_left_out, left), self.Turned)
        elif asked is None:
            self.tell(NOT_ASKED)
        else:
            self.ask(partial(self.session.call, keep_erasing, asked.person_id), self.Turned)

    def asked_about(self) -> ErasingAsked | None:
        """What others ask about the one marked."""
        return self.asked.get(self._marked_id())

    def _left_out_of(self) -> LeftOut | None:
        """The first that waits in the name of the one marked."""
        marked = self._marked_id()
        return next((one for one in self.left_out if one.person_id == marked), None)

    def _marked_id(self) -> str:
        """The id of whoever is marked and is in the logbook; "" for nobody."""
        return id_of(self.marked_person())

    def left_out_told(self) -> str:
        """What waits in the name of the one marked, and how it is answered; else what was refused.

        Empty for nothing.
        """
        left = self._left_out_of()
        if left is not None:
            return f"{left_out_words(left)} {UNSIGNED}"
        refused = next((one for one in self.refused if one.person_id == self._marked_id()), None)
        return f"{left_out_words(refused)} {how_to_answer(refused)}" if refused is not None else ""

    def erase_named(self, typed: str) -> None:
        """Erase them, where it is their name that was typed."""
        going = self.going
        if going is not None and name_key(typed) == name_key(going[0]):
            self.ask(going[1], self.Turned)
        elif going is not None:
            self.tell(f"That is not {going[0]}. Nobody was erased.")
