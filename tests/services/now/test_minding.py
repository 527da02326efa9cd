"""What Now says from the findings: what to mind, and thanks, told once."""

from datetime import timedelta
from pathlib import Path

from tests.services.bench import NOW, a_row, ada_at, logged

from platebook.services.now.choices import as_suggested, settle
from platebook.services.now.minding import Minding, mind_today, minded_findings
from platebook.services.session import Session
from platebook.values import replace


def settings(days: range, *, worked: bool, loose: int, first: int = 0) -> list[dict[str, object]]:
    """Six settings a day; of those with worked metal so many are loose each day."""
    rows = []
    for day in days:
        for place in range(6):
            hard = worked and (place + day) % 2 == 0
            began = NOW + timedelta(days=day, minutes=10 * place)
            rows.append(
                a_row(
                    began=began.isoformat(),
                    metal_state="worked" if hard else "annealed today",
                    lubricant="wax",
                    result="loose" if hard and (place // 2 + day) % 3 < loose else "good",
                    note=f"{first + place}",
                )
            )
    return rows


def on(session: Session, day: int) -> Session:
    """The same session so many days on."""
    return replace(session, clock=lambda: NOW + timedelta(days=day))


def test_nothing_is_minded_where_nothing_was_found(tmp_path: Path) -> None:
    """A short log has counts only."""
    session = ada_at(tmp_path)
    logged(session, a_row())
    assert mind_today(session) == Minding()


def test_the_strongest_habit_is_minded_with_its_counts(tmp_path: Path) -> None:
    """Advice in words, then the counts of both sides."""
    session = ada_at(tmp_path)
    logged(session, *settings(range(-10, 0), worked=True, loose=2))
    mind = mind_today(session).mind
    assert mind is not None
    assert mind.line == (
        "Mind today: anneal the sheet. Loose 20 of 30 with metal worked, "
        "0 of 30 with metal annealed today."
    )


def test_what_a_block_varies_is_not_minded_while_it_is_under_way(tmp_path: Path) -> None:
    """Its settings are made as planned: the advice comes back when the block is left."""
    session = ada_at(tmp_path)
    rows = settings(range(-10, 0), worked=True, loose=2)
    passes = {"worked": "1", "annealed today": "3+"}
    few = {"metal_state": "annealed today"}
    logged(session, *[r | few | {"burnish_passes": passes[str(r["metal_state"])]} for r in rows])
    minded = mind_today(session).mind
    assert minded is not None
    settle(session, minded.variable, minded.defect)
    assert mind_today(session).mind is None
    assert minded.name not in {line.name for line in minded_findings(session)}
    as_suggested(session)
    assert mind_today(session).mind == minded
    assert minded_findings(session)[0] == minded


def test_a_habit_that_has_gone_is_thanked_for_on_one_day(tmp_path: Path) -> None:
    """Ten days without worked metal: thanks that day, nothing on the next."""
    session = ada_at(tmp_path)
    logged(session, *settings(range(-10, 0), worked=True, loose=2))
    mind_today(session)
    logged(session, *settings(range(1, 4), worked=False, loose=0))
    told = mind_today(on(session, 4))
    assert told.thanks is not None
    assert told.thanks.line == (
        "Thank you for annealing the sheet: since 4 February none of 18 with metal worked."
    )
    assert mind_today(on(session, 4)).thanks == told.thanks
    assert mind_today(on(session, 5)).thanks is None


def test_a_habit_that_comes_back_is_minded_again(tmp_path: Path) -> None:
    """And thanked for anew once it has gone again."""
    session = ada_at(tmp_path)
    logged(session, *settings(range(-10, 0), worked=True, loose=2))
    mind_today(session)
    logged(session, *settings(range(1, 4), worked=False, loose=0))
    assert mind_today(on(session, 4)).thanks is not None
    logged(session, *settings(range(5, 8), worked=True, loose=2))
    back = mind_today(on(session, 8))
    assert (back.thanks, back.mind is not None) == (None, True)
    logged(session, *settings(range(9, 14), worked=False, loose=0))
    assert mind_today(on(session, 15)).thanks is not None
