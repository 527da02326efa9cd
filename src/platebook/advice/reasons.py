"""Why an exercise is offered and what would change it, in sentences that carry their numbers."""

from dataclasses import dataclass
from datetime import date

from platebook.advice.defect_skills import blame
from platebook.advice.ladder import Ladder
from platebook.advice.replay import Offer, Replay

LOOK_BACK = 8
"""Settings that a sentence counts back."""

_POINTS_TO = 0.5
"""How far a failure must speak against a skill to be counted as pointing to it."""

_PLURALS = {"try": "tries"}


def _times(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {_PLURALS.get(word, word + 's')}"


@dataclass(frozen=True, slots=True)
class Case:
    """An offer with the log and the ladder behind it: what the sentences are about."""

    replay: Replay
    offer: Offer
    ladder: Ladder
    today: date | None = None

    def why(self) -> tuple[str, ...]:
        """The reasons for the offer, most important first."""
        match self.offer.purpose:
            case "begin":
                return self._begin()
            case "refresher":
                return (self._refresher(),)
            case "remedial":
                return self._remedial()
            case "proving":
                return self._proving()
            case "next track":
                return (self._next_track(),)
            case _:
                return (self._working(), *self._signing(), self._success(), *self._waiting())

    def changes(self) -> tuple[str, ...]:
        """What would change the offer, and what has slipped back."""
        rule, repeat = self.replay.rule, self.offer.repeat
        over = f"{rule.straight} good ones in a row or {rule.tries} tries end the part"
        match self.offer.purpose:
            case "begin":
                sentences = [
                    f"{over}; then whole settings.",
                    "With nobody to prepare a seat, say so: b, then s."
                    if self.offer.part == "burnishing"
                    else "Or log a whole setting: the work goes on with it.",
                ]
            case "remedial":
                sentences = [f"{over}; at least {rule.whole_between} whole settings follow."]
            case "refresher":
                sentences = [f"After {_times(repeat, 'attempt')} the work goes on where it was."]
            case "proving":
                sentences = [
                    f"After {_times(repeat, 'setting')} the work goes on at its own grade."
                ]
            case "next track":
                sentences = ["A setting logged at another grade keeps the work there."]
            case "block":
                sentences = ["A block moves neither points nor the working grade."]
            case _:
                sentences = self._change_of_settings()
        return (*sentences, *self._slipped())

    def _title(self, grade_id: str) -> str:
        grade = self.replay.course.grade(grade_id)
        return grade.title if grade is not None else grade_id

    def _working(self) -> str:
        grade = self.ladder.grade
        own = [s for s in self.replay.settings if s.grade.id == grade][-LOOK_BACK:]
        if not own:
            return f"You are working at {self._title(grade)}: no whole setting there yet."
        good = sum(not s.failed for s in own)
        return (
            f"You are working at {self._title(grade)}: {good} of the last "
            f"{_times(len(own), 'whole setting')} there came out good."
        )

    def _success(self) -> str:
        ladder, rule = self.ladder, self.replay.rule
        ways = []
        if ladder.harder and not self._held():
            ways.append(
                f"above {_share(rule.up)} the work moves up to {self._title(ladder.harder)}"
            )
        if ladder.easier:
            ways.append(f"below {_share(rule.down)} down to {self._title(ladder.easier)}")
        where = ", ".join(ways) or (
            "the work stays here" if self._held() else "there is no other grade on this track"
        )
        return (
            f"With the newest counted most, {_share(ladder.success)} in 100 come out good: {where}."
        )

    def _held(self) -> bool:
        """Whether the work may not move up, because a grade is not signed off."""
        ladder = self.ladder
        return ladder.place >= self.replay.ceiling(ladder) and ladder.harder is not None

    def _signing(self) -> tuple[str, ...]:
        """What an instructor's sign-off has to do with it; nothing where none is asked for."""
        replay, ladder = self.replay, self.ladder
        waiting = [g for g in ladder.grades[: ladder.place + 1] if replay.counters.waits(g)]
        if waiting:
            grade = replay.course.grade(waiting[0])
            points = grade.points.up_at if grade is not None else 0
            told = f"{self._title(waiting[0])} has {points} of {points} points"
            return (f"{told}; it waits for an instructor's sign-off.",)
        if self._held():
            asked = ladder.grades[replay.ceiling(ladder)]
            return (f"The work moves up when {self._title(asked)} is passed and signed off.",)
        return ()

    def _begin(self) -> tuple[str, ...]:
        first = (
            "No whole setting is logged yet, so the course begins with its last step: a prepared "
            "seat to burnish gives a set stone on the first evening."
            if self.offer.part == "burnishing"
            else "No whole setting is logged yet and nobody prepares seats for you, so the course "
            "begins with the burnisher alone: drill, open and cut seats with the sizes shown, and "
            "close them empty. No stone is lost, and a good one does not hang on the fit."
        )
        done = self.replay.rule.tries - self.offer.repeat
        return (first, f"{_times(done, 'try')} so far.") if done else (first,)

    def _refresher(self) -> str:
        replay = self.replay
        days = (self.today - replay.last_day).days if self.today and replay.last_day else 0
        pause = days if days > replay.rule.pause_days else replay.pause
        working = self.ladder.grade
        below = self.offer.grade != working
        where = f"a grade below {self._title(working)}" if below else "where you left off"
        return (
            f"{_times(pause, 'day')} passed without practice, more than {replay.rule.pause_days}: "
            f"{_times(self.offer.repeat, 'setting')} {where} to find the hand again."
        )

    def _remedial(self) -> tuple[str, ...]:
        replay, rule = self.replay, self.replay.rule
        remedy = replay.remedy
        if remedy is None:
            return (self._working(),)
        skill = remedy.skill
        failures = [s.attempt for s in replay.settings if s.failed][-LOOK_BACK:]
        strict = replay.course.failure_from
        against = sum(blame(a, failure_from=strict)[skill] >= _POINTS_TO for a in failures)
        counted = (
            f"{against} of your last {_times(len(failures), 'failure')} point to {skill}, by "
            "common practice and by what you read and saw."
        )
        trace = (
            f"Its running trouble is {replay.traces.of(skill):.2f}, "
            f"{replay.traces.share(skill):.0%} of all skills together; a part exercise comes above "
            f"{rule.trouble:.2f} and {rule.trouble_share:.0%}."
        )
        results = remedy.tries.results
        so_far = f"So far {sum(results)} good of {_times(len(results), 'try')}."
        return (counted, trace, self._working(), *((so_far,) if results else ()))

    def _proving(self) -> tuple[str, ...]:
        ladder = self.ladder
        so_far = self.replay.counters.so_far(self.offer.grade)
        grade = self.replay.course.grade(self.offer.grade)
        to_go = grade.points.up_at - so_far.points if grade is not None else 0
        sentence = (
            f"At {self._title(ladder.grade)} running success is {ladder.success:.2f}, above "
            f"{self.replay.rule.proving:.2f}, but {self._title(self.offer.grade)} is not passed: "
            f"{to_go} good ones to go."
        )
        return (sentence, "A proving set moves points only.")

    def _waiting(self) -> tuple[str, ...]:
        replay = self.replay
        if replay.remedy is None or replay.has_room_for_a_part(self.today):
            return ()
        skill = replay.remedy.skill
        trouble = (
            f"{skill.capitalize()} stands out again, running trouble {replay.traces.of(skill):.2f}"
        )
        return (f"{trouble}; one part exercise an evening is enough.",)

    def _next_track(self) -> str:
        ladder = self.ladder
        return (
            f"All {_times(len(ladder.grades), 'grade')} of this track are passed; "
            f"{self._title(self.offer.grade)} is the next one open."
        )

    def _change_of_settings(self) -> list[str]:
        ladder, rule = self.ladder, self.replay.rule
        sentences = []
        ways = (
            (False, ladder.harder, "good", "on to"),
            (True, ladder.easier, "failed", "back to"),
        )
        for failed, to, word, where in ways:
            count = ladder.in_a_row(failed=failed, rule=rule, ceiling=self.replay.ceiling(ladder))
            if to is not None and count is not None:
                row = f"{count} {word} settings in a row"
                settings = row if count > 1 else f"One more {word} setting"
                sentences.append(f"{settings}: {where} {self._title(to)}.")
        if self._held() and ladder.harder is not None:
            asked = self._title(ladder.grades[self.replay.ceiling(ladder)])
            sentences.insert(0, f"{asked} signed off: on to {self._title(ladder.harder)}.")
        stands_out = (
            f"A skill that stands out, above {rule.trouble:.2f} and {rule.trouble_share:.0%} of "
            "all trouble, brings its part exercise."
        )
        return [*sentences, stands_out]

    def _slipped(self) -> list[str]:
        replay = self.replay
        return [
            f"{grade.title} has slipped back and is to be passed again, from 0 points."
            for grade in replay.course.grades
            if replay.counters.has_slipped(grade.id)
        ]


def _share(share: float) -> str:
    return f"{100 * share:.0f}"
