"""The rule for many learners at once offers what the program's rule offers, attempt for attempt."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from tests.simulated.crowds import Failures
from tests.simulated.way_up_crowd import AN_EVENING, WayUpCrowd

from platebook.advice.defect_skills import SKILLS
from platebook.advice.replay import Replay
from platebook.analysis.grades.way_up import WAY_IN_USE, WayRule
from platebook.practice.attempt import Attempt
from platebook.practice.courses.course_file import load_course, shipped_course
from platebook.practice.defects import GOOD, MISSED
from platebook.values import replace

BEGAN = datetime(2026, 1, 8, 18, 30, tzinfo=UTC)
FAILURES = Failures.by_table()


AHEAD = replace(WAY_IN_USE, ahead=1, row=3, down=0.30)


@pytest.mark.parametrize("way", [WAY_IN_USE, AHEAD], ids=["in use", "one ahead"])
@pytest.mark.parametrize("good", [0.45, 0.75, 0.92])
def test_every_offer_is_the_programs(good: float, way: WayRule) -> None:
    """Twelve learners of each share of good ones, 240 attempts each, outcomes by lot."""
    whole = load_course(shipped_course("small-to-large"))
    exercises = tuple(e.model_copy(update={"row": None, "pass_at": None}) for e in whole.exercises)
    course = whole.model_copy(update={"grades": whole.ladder(), "exercises": exercises})
    ids, count = [g.id for g in course.grades], 12
    rng = np.random.default_rng(20260101)
    points = tuple(g.points for g in course.grades)
    crowd = WayUpCrowd(count, points, way, failures=FAILURES)
    replays = [Replay(course, way_rule=way) for _ in range(count)]
    for number in range(240):
        weeks, place = divmod(number, AN_EVENING)
        began = BEGAN + timedelta(weeks=weeks, minutes=15 * place)
        grade, part = crowd.offer()
        offers = [replay.offer(began.date()) for replay in replays]
        assert [(o.grade, o.part) for o in offers] == [
            (ids[g], None if p < 0 else SKILLS[p]) for g, p in zip(grade, part, strict=True)
        ]
        fails = rng.random(count) > good
        failure = np.where(fails, rng.integers(len(FAILURES.shown), size=count), -1)
        for one, replay in enumerate(replays):
            shown = FAILURES.shown[failure[one]] if fails[one] else Attempt(result=(GOOD,))
            if part[one] >= 0:
                result = (MISSED,) if fails[one] else (GOOD,)
                shown = Attempt(kind="part", part=SKILLS[part[one]], result=result)
            replay.log(shown.with_values(began=began, grade=ids[grade[one]]))
        crowd.see(grade, part, failure, ~fails)
