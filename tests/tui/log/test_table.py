"""The log's table: where its mark is, what is ticked, when it asks for more, and its columns."""

import pytest
from tests.tui import bench
from textual import on
from textual.app import App, ComposeResult

from platebook.tui.log.table import NEAR_THE_END, NOTED, TICK, LogTable
from platebook.tui.log.words import verdict_of
from platebook.tui.parts.text import MARK
from platebook.tui.parts.theme import BENCH
from platebook.values import replace


class OneTableApp(App[None]):
    """A single table, and what it sent."""

    def __init__(self) -> None:
        super().__init__()
        self.register_theme(BENCH)
        self.theme = BENCH.name
        self.sent: list[type] = []

    def compose(self) -> ComposeResult:
        """The table."""
        yield LogTable()

    @on(LogTable.NearEnd)
    @on(LogTable.Opened)
    def note(self, event: LogTable.NearEnd | LogTable.Opened) -> None:
        """Take it down."""
        self.sent.append(type(event))

    @property
    def table(self) -> LogTable:
        """The table."""
        return self.query_one(LogTable)

    def line(self, y: int) -> str:
        """What stands on this line of the table."""
        return self.table.render_line(y).text

    def show(self, count: int, *, with_setter: bool = False, keep: bool = False) -> None:
        """Let the table show so many rows."""
        self.table.show(bench.log_rows(count), with_setter=with_setter, keep=keep)


async def test_an_empty_table_marks_nothing() -> None:
    """Whatever is asked of it; its head stands, and nothing under it."""
    app = OneTableApp()
    async with app.run_test():
        app.table.move(1)
        app.table.tick()
        assert (app.table.marked, app.table.marked_row, app.table.ticked) == (0, None, {})
        assert app.line(0).split() == ["when", "grade", "stone", "bur", "result", "note"]
        assert app.line(1).strip() == ""


@pytest.mark.parametrize(
    ("moves", "marked"), [((), 0), ((2,), 2), ((2, -1), 1), ((-5,), 0), ((99,), 3), ((99, -1), 2)]
)
async def test_the_mark_stays_on_the_rows(moves: tuple[int, ...], marked: int) -> None:
    """It moves by so many and stops at either end; a sign shows it, and not colour alone."""
    app = OneTableApp()
    async with app.run_test():
        app.show(4)
        for by in moves:
            app.table.move(by)
        assert app.table.marked == marked
        assert app.table.marked_row == bench.log_rows(4)[marked]
        assert [n for n in range(4) if app.line(n + 1).startswith(MARK)] == [marked]


async def test_a_page_is_what_the_window_holds() -> None:
    """In 24 lines there is a head and 23 rows; one of them is seen on both pages."""
    app = OneTableApp()
    async with app.run_test(size=(80, 24)):
        app.show(100)
        app.table.page(1)
        assert app.table.marked == 22
        app.table.page(2)
        assert app.table.marked == 66
        app.table.page(-1)
        assert app.table.marked == 44


async def test_the_marked_row_is_always_in_sight() -> None:
    """The window follows the mark down and up again, and the head stays."""
    app = OneTableApp()
    async with app.run_test(size=(80, 24)):
        app.show(100)
        for by in (99, -60, 5, -99):
            app.table.move(by)
            seen = [y for y in range(1, 24) if app.line(y).startswith(MARK)]
            assert len(seen) == 1
            assert app.table.scroll_offset.y + seen[0] - 1 == app.table.marked
            assert app.line(0).strip().startswith("when")


async def test_more_is_asked_for_near_the_end() -> None:
    """Once the mark is among the last fifty rows read, and not before."""
    app = OneTableApp()
    async with app.run_test() as pilot:
        app.show(200)
        app.table.move(200 - NEAR_THE_END - 1)
        await pilot.pause()
        assert app.sent == []
        app.table.move(1)
        await pilot.pause()
        assert app.sent == [LogTable.NearEnd]


async def test_a_tick_goes_on_to_the_next_row() -> None:
    """It is taken away by a second one; its sign stands beside the mark's."""
    app = OneTableApp()
    async with app.run_test():
        app.show(3)
        app.table.tick()
        app.table.tick()
        assert (list(app.table.ticked), app.table.marked) == (["a0", "a1"], 2)
        assert [app.line(n)[:2] for n in (1, 2, 3)] == [f" {TICK}", f" {TICK}", f"{MARK} "]
        app.table.move(-1)
        app.table.tick()
        assert list(app.table.ticked) == ["a0"]
        app.table.untick()
        assert app.table.ticked == {}


async def test_a_row_stays_ticked_where_other_rows_are_shown() -> None:
    """Ticks are of attempts, not of places in the table."""
    app = OneTableApp()
    async with app.run_test():
        app.show(3)
        app.table.move(2)
        app.table.tick()
        app.table.show(bench.log_rows(3)[::-1], with_setter=False, keep=False)
        assert [app.line(n)[1] for n in (1, 2, 3)] == [TICK, " ", " "]


@pytest.mark.parametrize(
    ("count", "keep", "marked"), [(40, True, 30), (10, True, 9), (0, True, 0), (40, False, 0)]
)
async def test_other_rows_keep_the_mark_where_they_can(
    count: int, marked: int, *, keep: bool
) -> None:
    """At the same place, or the last there is; from the top where that is not asked for."""
    app = OneTableApp()
    async with app.run_test():
        app.show(40)
        app.table.move(30)
        app.show(count, keep=keep)
        assert app.table.marked == marked


async def test_a_click_marks_and_a_second_one_opens() -> None:
    """On the row under the pointer; the head and the room under the rows do nothing."""
    app = OneTableApp()
    async with app.run_test() as pilot:
        app.show(3)
        await pilot.click(LogTable, offset=(4, 2))
        assert (app.table.marked, LogTable.Opened in app.sent) == (1, False)
        for y in (0, 9):
            await pilot.click(LogTable, offset=(4, y))
            assert app.table.marked == 1
        await pilot.double_click(LogTable, offset=(4, 3))
        assert (app.table.marked, app.sent.count(LogTable.Opened)) == (2, 1)


@pytest.mark.parametrize(
    ("width", "with_setter", "head"),
    [
        (80, False, "when grade stone bur result note"),
        (109, False, "when grade stone bur result note"),
        (110, False, "when grade exercise stone bur result note"),
        (80, True, "setter when grade result note"),
        (120, True, "setter when grade exercise stone bur result note"),
    ],
)
async def test_columns_are_those_there_is_room_for(
    width: int, head: str, *, with_setter: bool
) -> None:
    """Who it was takes the place of stone and bur in a narrow window."""
    app = OneTableApp()
    async with app.run_test(size=(width, 24)):
        app.show(3, with_setter=with_setter)
        assert app.line(0).split() == head.split()


@pytest.mark.parametrize("width", [80, 120])
async def test_what_a_row_says_stands_under_its_head(width: int) -> None:
    """Each line is as wide as the window, each column begins where its name does."""
    app = OneTableApp()
    async with app.run_test(size=(width, 24)):
        app.show(4)
        head, row = app.line(0), app.line(4)
        assert len(head) == len(row) == app.table.size.width
        columns = {
            "when": "2026-02-25 18:30",
            "grade": "2.0 copper",
            "stone": "1.98",
            "bur": "1.90",
            "result": "loose, setting lost + " + ("gap, slight" if width > 80 else "1 more"),
            "note": "chatter at the end" if width > 80 else NOTED,
        }
        assert {
            name: row[head.index(name) :].startswith(says) for name, says in columns.items()
        } == (dict.fromkeys(columns, True))


async def test_a_note_that_is_too_long_is_told_of() -> None:
    """Nothing is cut: the row marked shows it in full."""
    app = OneTableApp()
    async with app.run_test():
        (row,) = bench.log_rows(1)
        long = replace(row, note="chatter " * 40)
        app.table.show((long,), with_setter=False, keep=False)
        assert app.line(1).rstrip().endswith(NOTED)
        assert "chatter" not in app.line(1)
        assert len(app.line(1)) == app.table.size.width


async def test_of_many_defects_the_first_are_shown_and_the_rest_counted() -> None:
    """As many as there is room for, each with how bad it was; no word is cut."""
    app = OneTableApp()
    async with app.run_test(size=(76, 24)):
        (row,) = bench.log_rows(1)
        bad = replace(
            row, result=("scratched", "off mark", "chipped", "gap"), severity=(2, 1, 3, 1)
        )
        app.table.show((bad,), with_setter=False, keep=False)
        assert "scratched, clearly +" in app.line(1)
        assert verdict_of(bad, 21) == "scratched, clearly +3"
        assert verdict_of(bad, 16) == "scratched +3"
        assert verdict_of(replace(row, result=("tool broke",)), 5) == "tool broke"
        assert verdict_of(bad) == (
            "scratched, clearly + off mark, slight + chipped, setting lost + gap, slight"
        )


async def test_markup_in_a_note_is_text() -> None:
    """Nothing of it is obeyed."""
    app = OneTableApp()
    async with app.run_test(size=(120, 24)):
        (row,) = bench.log_rows(1)
        odd = replace(row, note="[bold]x[/]")
        app.table.show((odd,), with_setter=False, keep=False)
        assert "[bold]x[/]" in app.line(1)


async def test_columns_of_ones_own_take_the_place_of_sizes() -> None:
    """As many as there is room for, beside when, result and note; a second time they are gone."""
    app = OneTableApp()
    async with app.run_test(size=(80, 24)):
        rows = tuple(replace(row, own={"music": "radio", "mood": "4"}) for row in bench.log_rows(2))
        app.table.show(rows, with_setter=False, keep=False)
        assert app.table.turn_own()
        assert app.line(0).split() == ["when", "result", "music", "mood", "note"]
        assert app.line(1).split()[-2:] == ["radio", "4"]
        app.table.turn_own()
        assert app.line(0).split() == ["when", "grade", "stone", "bur", "result", "note"]


async def test_without_columns_of_ones_own_the_others_stay() -> None:
    """There is nothing to change to."""
    app = OneTableApp()
    async with app.run_test(size=(80, 24)):
        app.table.show(bench.log_rows(2), with_setter=False, keep=False)
        assert not app.table.turn_own()
        assert app.line(0).split() == ["when", "grade", "stone", "bur", "result", "note"]


async def test_sizes_stand_under_each_other_to_the_hundredth() -> None:
    """One that was read finer keeps what was read; one that is not known stays empty."""
    app = OneTableApp()
    async with app.run_test(size=(80, 24)):
        sizes = ("1.4", "1.45", "2", "1.425", "")
        rows = tuple(
            replace(row, bur_text=size, stone_text="", note="")
            for row, size in zip(bench.log_rows(5), sizes, strict=True)
        )
        app.table.show(rows, with_setter=False, keep=False)
        column = app.line(0).index("bur")
        shown = [app.line(n + 1)[column : column + 5].strip() for n in range(5)]
        assert shown == ["1.40", "1.45", "2.00", "1.425", ""]


async def test_names_too_long_for_their_column_are_shortened_to_initials() -> None:
    """Of two that would read alike both stand as they are, as far as they have room."""
    app = OneTableApp()
    async with app.run_test(size=(80, 24)):
        names = ("Iris Bellweather-Moor", "Ada Quill")
        rows = tuple(
            replace(row, setter=name) for row, name in zip(bench.log_rows(2), names, strict=True)
        )
        app.table.show(rows, with_setter=True, keep=False)
        assert app.line(1).split()[1:3] == ["Iris", "B."]
        assert app.line(2).split()[:2] == ["Ada", "Quill"]


async def test_a_long_result_is_shortened_before_stone_and_bur_give_way() -> None:
    """Beside a row told in full; in a narrower list the stone goes first, then the bur."""
    app = OneTableApp()
    rows = bench.log_rows(4)
    two = replace(
        rows[3],
        grade_title="2.0 mm in copper",
        result=("loose", "high"),
        severity=(3, 2),
    )
    heads = []
    async with app.run_test(size=(120, 40)) as pilot:
        for width in (78, 73, 68):
            app.table.styles.width = width
            await pilot.pause()
            app.table.show((*rows[:3], two), with_setter=False, keep=False)
            heads.append(app.line(0).split()[2:-2])
            assert " +1 " in app.line(4)
    assert heads == [["stone", "bur"], ["bur"], []]
