"""How many seats each bur has cut, counted from the attempts that stand.

Nothing is added up in the bur's own record: two logbooks that each add to one counter would clash,
and taking an attempt back would leave the counter behind.
"""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable

from platebook.logbook.connecting import Database
from platebook.trade.drawer import Tool


def with_seats(db: Database, setter_id: str, tools: Iterable[Tool]) -> tuple[Tool, ...]:
    """The tools of a setter, each bur with the seats it has cut.

    A bur counts from what its first attempt found it had cut, one more for each attempt that
    stands, and never less than its own record or any attempt says. An attempt names its bur; of two
    burs of one name, also one that was thrown out, it was the one put into the drawer last before
    the attempt was logged.
    """
    known = tuple(tools)
    burs: defaultdict[str, list[str]] = defaultdict(list)
    query = "SELECT tool_id, name FROM tool WHERE kind = 'bur' AND setter_id = ? ORDER BY tool_id"
    for tool_id, bur in db.execute(query, [setter_id]).fetchall():
        for name in {bur, tool_id} - {"", None}:
            burs[name].append(tool_id)
    if not burs:
        return known
    uses: defaultdict[str, list[int]] = defaultdict(list)
    rows = db.execute(
        "SELECT seat_bur, attempt_id, seat_bur_uses FROM attempt WHERE setter_id = ? AND hidden = 0"
        " AND seat_bur IS NOT NULL AND seat_bur_uses IS NOT NULL",
        [setter_id],
    )
    for name, attempt_id, cut in rows.fetchall():
        of_name = burs.get(name, ())
        # Ids rise with the time they were given out, so they tell which bur there was by then. A
        # clock that is off must not lose a seat, so what seems older than all burs is the first's.
        if of_name:
            uses[of_name[max(0, bisect_left(of_name, attempt_id) - 1)]].append(cut)
    return tuple(_counted(tool, uses.get(str(tool.tool_id), [])) for tool in known)


def _counted(tool: Tool, uses: list[int]) -> Tool:
    if not uses:
        return tool
    cut = max(tool.seats_cut, min(uses) + len(uses), max(uses) + 1)
    return tool.model_copy(update={"seats_cut": cut})
