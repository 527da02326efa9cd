"""Course: its grades with where they stand, its exercises, and what the one marked is about."""

from collections.abc import Callable
from functools import partial
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content

from platebook.reports.text.figures import GRADES
from platebook.services.courses.waiting import refuse_course, take_course
from platebook.services.now.choices import Chosen, practise
from platebook.services.pages.course_page import CourseRow, CourseView, course_view
from platebook.services.session import Session
from platebook.trade.phrases import count_of
from platebook.tui.base_screen import ListScreen
from platebook.tui.bench_session import BenchSession
from platebook.tui.messages import Answered, ToNow, ToSeeing, Unfolded
from platebook.tui.parts.headline import NARROW, Head, Headline, bar, to_go_words
from platebook.tui.parts.text import stack, txt
from platebook.tui.parts.widgets import PickList, Words

WAITING = "Opening the course …"
ANSWER_IT = "y takes it in, x refuses it."
FOLDED = "m: how it is judged, in chances"
ANSWERS = frozenset({"take_course", "refuse_course"})
"""What is done with a text that waits."""
WIDE = 110
"""From so many columns on the list leaves room to what is said of the one marked."""


class CourseScreen(ListScreen[None]):
    """The list on the left, the grade or exercise marked on the right."""

    PLACE: ClassVar[str] = "course"
    DEFAULT_CSS = """
    CourseScreen {
        #waits { height: auto; padding: 0 1; background: $surface; color: $text-warning; }
        PickList { width: 1fr; padding: 0 1; border-right: solid $rule; }
        #one { width: 36; height: 1fr; padding: 0 0 0 1; scrollbar-size-vertical: 1; }
        #one > Words { height: auto; padding: 0 1 0 0; }
        &.-narrow #one { width: 27; }
        &.-wide PickList { width: 52; }
        &.-wide #one { width: 1fr; padding: 0 0 0 2; }
    }
    """

    HORIZONTAL_BREAKPOINTS = [  # noqa: RUF012 - as Textual has it
        (0, "-narrow"),
        (NARROW, "-usual"),
        (WIDE, "-wide"),
    ]

    class Loaded(Answered[CourseView]):
        """The course."""

    class Practised(Answered[Chosen]):
        """What is practised from now on, and what that does."""

    class TextAnswered(Answered[str]):
        """A course text that waited is taken in or refused."""

    def __init__(self, session: BenchSession, *, method: bool = False) -> None:
        super().__init__(session)
        self.method = method
        self.view: CourseView | None = None
        self.answered = ""

    def body(self) -> ComposeResult:
        """Where one stands in it, what waits, the list, the one marked."""
        yield Headline(WAITING)
        yield Words(id="waits")
        with Horizontal():
            yield PickList(tells_more=True)
            with VerticalScroll(id="one", can_focus=False):
                yield Words(id="words")

    def load(self) -> None:
        """Ask again; what is shown stands until the answer comes."""
        self.ask(partial(self.session.call, course_view), self.Loaded, newest_only=True)

    def tell(self, sentence: str) -> None:
        """Say one sentence on top, under where one stands."""
        self.query_one("#waits", Words).say(txt(sentence))

    @on(Loaded)
    def show_course(self, event: Loaded) -> None:
        """Show the course, the grade practised marked."""
        self.view = event.value
        self.query_one(Headline).show(course_head(self.view))
        lines = [txt(f"{self.view.waiting[0].sentence} {ANSWER_IT}")] if self.view.waiting else []
        if self.answered:
            lines.append(txt(self.answered, "bold"))
        self.query_one("#waits", Words).say(stack(*lines))
        self._show_keys(self.view)
        self._show_rows()
        picks = self.query_one(PickList)
        practised = [n for n, grade in enumerate(self.view.grades) if grade.practised]
        picks.mark(practised[-1] if practised else 0)

    def _show_keys(self, view: CourseView) -> None:
        """The keys that answer a text stand below while one waits."""
        unfit = set() if view.waiting else set(ANSWERS)
        # A teacher, who stands nowhere in it, practises nothing.
        unfit |= set() if view.stands is not None else {"practise", "seeing"}
        self.offer_all_but(unfit)

    def on_resize(self) -> None:
        """In a narrow window a row has the sign of its state alone, so that its title is whole."""
        self._show_rows()
        self.show_one()

    def _show_rows(self) -> None:
        narrow = 0 < self.size.width < NARROW
        picks = self.query_one(PickList)
        picks.wrapped = narrow
        rows = self._rows()
        picks.headings = {
            n: row.group for n, row in enumerate(rows) if not n or row.group != rows[n - 1].group
        }
        picks.rows = tuple((row.title, _right(row, brief=narrow)) for row in rows)

    @on(PickList.Marked)
    def show_one(self) -> None:
        """What the one marked is about."""
        rows, place = self._rows(), self.query_one(PickList).marked
        if rows:
            row = rows[place]
            state = [txt(_right(row))] if 0 < self.size.width < NARROW and _right(row) else []
            parts = [txt(row.title, "bold $accent"), *state, *map(txt, row.about)]
            odds = row.odds if self.method or not row.odds else (FOLDED,)
            parts += [txt(""), *(txt(words, "$muted") for words in odds)] if odds else []
            if self.view is not None and self.view.about and self.view.stands is not None:
                parts += [txt(""), txt(f"{self.view.title}: {self.view.about}", "$muted")]
            self.query_one("#words", Words).show(stack(*parts))

    def action_method(self) -> None:
        """Unfold how likely the points pass somebody, or fold it away; it stays so."""
        self.method = not self.method
        self.post_message(Unfolded(method=self.method))
        self.show_one()

    def action_practise(self) -> None:
        """Practise the grade or exercise marked, from now on."""
        rows, place = self._rows(), self.query_one(PickList).marked
        if rows:
            row = rows[place]
            call = partial(self.session.call, practise, grade=row.grade, exercise=row.exercise)
            self.ask(call, self.Practised)

    @on(Practised)
    def go_to_now(self, event: Practised) -> None:
        """Say it on Now, where it can be begun."""
        self.post_message(ToNow(event.value.words))

    def action_take_course(self) -> None:
        """Take in the course text that waits; undo takes it back."""
        self._answer(take_course)

    def action_refuse_course(self) -> None:
        """Refuse the course text that waits."""
        self._answer(refuse_course)

    def _answer(self, answer: Callable[[Session, str], str]) -> None:
        if self.view is not None and self.view.waiting:
            key = self.view.waiting[0].key
            self.ask(partial(self.session.call, answer, key), self.TextAnswered)
        else:
            self.tell("No course text waits for an answer.")

    @on(TextAnswered)
    def show_answered(self, event: TextAnswered) -> None:
        """Say what was done above the course as it is now."""
        self.answered = event.value
        self.load()

    def action_seeing(self) -> None:
        """Judge a reference plate."""
        self.post_message(ToSeeing())

    def _rows(self) -> tuple[CourseRow, ...]:
        return (*self.view.grades, *self.view.exercises) if self.view is not None else ()


def course_head(view: CourseView) -> Head:
    """Where one stands in the course, how far, and what the next grade asks.

    For a teacher, who stands nowhere in it, what the course is.
    """
    stands = view.stands
    if stands is None:
        return Head(txt(view.title), txt(view.about, "$muted"))
    title = f"{stands.title}: grade {stands.place} of {stands.of}"
    grades = count_of(stands.of, "grade")
    far = Content.assemble(bar(stands.passed, stands.of), f"  {stands.passed} of {grades} passed")
    coming = f"Then {stands.next_title}: {in_sentence(stands.next_asks)}"
    mind = txt(coming if stands.next_title else "It is the last grade of the course.", "$muted")
    number = str(stands.good_to_go or "")
    return Head(txt(title), far, mind, number, to_go_words(stands.good_to_go) if number else "")


def in_sentence(words: str) -> str:
    """A sentence as it goes on behind a colon."""
    return words[:1].lower() + words[1:]


def _right(row: CourseRow, *, brief: bool = False) -> str:
    """What stands on the right of a row: a grade's state with its sign, or what a part trains.

    Nothing where the row's own title begins with it: it would be said twice, and cut the title.
    In `brief` a grade's sign and no word.
    """
    if row.right in GRADES:
        sign = GRADES[row.right]
        return sign.drawn if brief else f"{sign.drawn} {sign.words}"
    if brief:
        return ""
    said = row.title.casefold().split()[:1] == row.right.casefold().split()[:1]
    return "" if said else row.right
