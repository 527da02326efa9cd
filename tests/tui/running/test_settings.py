"""What is set for the screens: remembered in a file, read back, and never in the way."""

import json
from pathlib import Path
from typing import Any

import pytest
from tests.tui.driving import press
from tests.tui.fakes import SessionOfAnEvening
from textual.color import Color
from textual.theme import Theme

from platebook.practice.people.pause import A_PAUSE
from platebook.tui.app import BenchApp
from platebook.tui.parts.theme import THEMES
from platebook.tui.parts.widgets import KeyLine
from platebook.tui.running.as_set_app import NO_REST
from platebook.tui.running.rest_nudge import AT_A_STRETCH_S, SAYS, Stretch
from platebook.tui.running.settings import FILE_NAME, KeptSettings, Settings


def test_what_is_kept_is_read_back(tmp_path: Path) -> None:
    """In a folder that is made for it."""
    file = tmp_path / "settings" / FILE_NAME
    wanted = Settings(colours="daylight", rest=False, method=True)
    KeptSettings(file).keep(wanted)
    assert KeptSettings(file).now == wanted
    assert [each.name for each in file.parent.iterdir()] == [FILE_NAME]


@pytest.mark.parametrize(
    "text", ["", "{", "[1]", "[" * 10**5, '{"rest": "no", "colours": 3, "later": 1}']
)
def test_a_file_that_says_nothing_sensible_counts_as_none(tmp_path: Path, text: str) -> None:
    """Of another kind, cut off, or of a later program: the usual settings."""
    file = tmp_path / FILE_NAME
    file.write_text(text, encoding="utf-8")
    assert KeptSettings(file).now == Settings()


def test_a_place_that_cannot_be_written_is_no_failure(tmp_path: Path) -> None:
    """What was set holds until the program ends."""
    (tmp_path / "taken").write_text("", encoding="utf-8")
    kept = KeptSettings(tmp_path / "taken" / FILE_NAME)
    kept.keep(Settings(rest=False))
    assert not kept.now.rest


async def test_colours_are_there_again_at_the_next_start(tmp_path: Path) -> None:
    """And what was unfolded in Findings."""
    file = tmp_path / FILE_NAME
    app = BenchApp(SessionOfAnEvening(), settings=KeptSettings(file))
    async with app.run_test() as pilot:
        await press(pilot, "f9", "f", "m")
    assert json.loads(file.read_text("utf-8")) == {
        "colours": "daylight",
        "rest": True,
        "method": True,
    }
    assert BenchApp(SessionOfAnEvening(), settings=KeptSettings(file)).theme == "daylight"


@pytest.mark.parametrize("first", THEMES, ids=lambda theme: theme.name)
async def test_a_screen_is_painted_in_the_colours_set(first: Theme, tmp_path: Path) -> None:
    """From the first paint on, which styles nothing twice, and after each change of them."""
    kept = KeptSettings(tmp_path / FILE_NAME)
    kept.keep(Settings(colours=first.name))
    app = BenchApp(SessionOfAnEvening(), settings=kept)
    named = [theme.name for theme in THEMES]
    later = (THEMES * 2)[named.index(first.name) + 1 :][: len(THEMES)]
    async with app.run_test() as pilot:
        for theme in (first, *later):
            shown = app.screen.styles.background, app.screen.query_one(KeyLine).styles.background
            assert shown == (Color.parse(str(theme.background)), Color.parse(str(theme.panel)))
            assert app.has_class("-dark-mode") == theme.dark
            await press(pilot, "f9")


def test_the_environment_is_asked_where_nothing_is_set(monkeypatch: pytest.MonkeyPatch) -> None:
    """Colours that nobody knows are left out."""
    monkeypatch.setenv("TEXTUAL_THEME", "high contrast")
    assert BenchApp(SessionOfAnEvening()).theme == "high contrast"
    monkeypatch.setenv("TEXTUAL_THEME", "no such colours")
    assert BenchApp(SessionOfAnEvening()).theme == "bench"


def test_a_rest_is_due_after_a_stretch_and_not_after_a_pause() -> None:
    """Once a stretch; whoever was away begins a new one."""
    stretch = Stretch()
    minutes = [stretch.key(60.0 * minute) for minute in range(52)]
    due = AT_A_STRETCH_S // 60
    assert [minute for minute, said in enumerate(minutes) if said] == [due, 2 * due]
    away = 60.0 * 51 + A_PAUSE.total_seconds()
    assert not stretch.key(away)
    assert not stretch.key(away + AT_A_STRETCH_S / 2)


@pytest.mark.parametrize("minutes_each", [4, 12, 25, 39])
def test_whoever_types_only_when_a_stone_is_set_is_told_too(minutes_each: int) -> None:
    """However slowly: work between two keys is no pause, by the same measure as an evening's."""
    stretch = Stretch()
    said = [minute for minute in range(0, 90, minutes_each) if stretch.key(60.0 * minute)]
    assert said
    assert said[0] < 25 + minutes_each


class Said(BenchApp):
    """The app, with all that it ever notified of."""

    def __init__(self, now: list[float]) -> None:
        super().__init__(SessionOfAnEvening(), seconds=lambda: now[0])
        self.said: list[str] = []

    def notify(self, message: str, **how: Any) -> None:
        """Remember it, and show it."""
        self.said.append(message)
        super().notify(message, **how)


async def test_a_rest_is_spoken_of_until_it_is_put_off_for_good() -> None:
    """By one key, which speaks of it again too; a few keys are no stretch."""
    now = [0.0]
    app = Said(now)
    async with app.run_test() as pilot:
        for at in (0.0, 500.0, 1000.0):
            now[0] = at
            await press(pilot, "f1", "escape")
        assert app.said == []
        now[0] = 1501.0
        await press(pilot, "f1", "escape")
        assert app.said == [SAYS.format(key="F10")]
        await press(pilot, "f10")
        assert app.said[1:] == [NO_REST]
        for at in (2000.0, 2500.0, 3100.0):
            now[0] = at
            await press(pilot, "f1", "escape")
        assert len(app.said) == 2
        await press(pilot, "f10")
        assert app.settings.now.rest
