"""Why an exercise is offered and what would change it, in sentences that carry their numbers."""

from collections.abc import Sequence
from datetime import date

from platebook.advice.defect_skills import SKILLS, Skill, blame
from platebook.advice.replay import Offer, Replay
from platebook.analysis.grades.points import good_ones, good_to_go
from platebook.analysis.grades.way_up import Ladder
from platebook.analysis.grades.whole_settings import WholeSetting
from platebook.analysis.success.share_good import share_good_now, share_words
from platebook.analysis.success.stuck import LONG, stuck_at
from platebook.trade.phrases import as_sentence, count_of, number_in_words
from platebook.values import Value

LOOK_BACK = 8
"""Settings that a sentence counts back."""

_MOST_IN_A_ROW = 10
"""Failures ahead of a part exercise that are looked for; a part that is further off is not told."""

_POINTS_TO = 0.5
"""How far a failure must speak against a skill to be counted as pointing to it."""


class Case(Value):
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
            case "refresher" | "re-test" | "proving":
                return (self._opening(),)
            case "remedial":
                return self._remedial()
            case "next track":
                return (self._next_track(),)
            case _:
                return (
                    self._working(),
                    *(self._stuck() or self._now()),
                    *self._all_passed(),
                    *self._signing(),
                    *self._opens(),
                    *self._waiting(),
                )

    def changes(self) -> tuple[str, ...]:
        """What would change the offer, and what has slipped back."""
        rule, repeat = self.replay.rule, self.offer.repeat
        match self.offer.purpose:
            case "begin":
                sentences = [
                    f"{self._row()}; then whole settings.",
                    "With nobody to prepare a seat, say so: b, then s."
                    if self.offer.part == "burnishing"
                    else "Or log a whole setting: the work goes on with it.",
                ]
            case "remedial":
                after = count_of(rule.whole_between, "whole setting")
                sentences = [f"{self._row()}; at least {after} follow."]
            case "refresher" | "re-test" | "proving":
                after = f"After {count_of(repeat, 'setting')}"
                sentences = [f"{after} the work goes on at {self._title(self.ladder.grade)}."]
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

    def _row(self) -> str:
        """What ends the row of a part exercise."""
        offer, replay = self.offer, self.replay
        row = replay.row_of(offer.part or "")
        return (
            f"{number_in_words(row.pass_at).capitalize()} good ones or {row.row} tries end the part"
        )

    def _own(self, grade: str) -> list[WholeSetting]:
        return [s for s in self.replay.settings if s.grade.id == grade]

    def _working(self) -> str:
        grade = self.ladder.grade
        own = self._own(grade)[-LOOK_BACK:]
        if not own:
            return f"You practise {self._title(grade)}: no whole setting there yet."
        good = sum(not s.failed for s in own)
        if len(own) == 1:
            came = "came out good" if good else "failed"
            return f"You practise {self._title(grade)}: the one whole setting there {came}."
        return (
            f"You practise {self._title(grade)}: {good} of the last "
            f"{count_of(len(own), 'whole setting')} there came out good."
        )

    def _now(self) -> tuple[str, ...]:
        """The share that comes out good now, as everywhere; nothing before there is one."""
        share = share_good_now(self._own(self.ladder.grade))
        return (
            ()
            if share is None or share.settings <= LOOK_BACK
            else (as_sentence(share_words(share.share, share.low, share.high)),)
        )

    def _stuck(self) -> tuple[str, ...]:
        """That it has stayed low for long, and what may help; nothing where it has not."""
        ladder = self.ladder
        own = self._own(ladder.grade)
        stuck = stuck_at(own)
        if stuck is None:
            return ()
        share, long = stuck.share, count_of(stuck.settings, "setting")
        words = share_words(share.share, share.low, share.high)
        helps = [
            *self._exercise_that_helps([s for s in own if s.failed][-LONG // 2 :]),
            *([f"some settings at {self._title(ladder.easier)}"] if ladder.easier else []),
            "a teacher's look at the next one",
        ]
        beside = "What may help beside it" if self.offer.part else "What may help"
        return (f"For {long} it has stayed low: {words}.", f"{beside}: {'; '.join(helps)}.")

    def _exercise_that_helps(self, failures: Sequence[WholeSetting]) -> tuple[str, ...]:
        """The part exercise to which most of these point; none where one is offered already."""
        against = {skill: self._against(skill, failures) for skill in SKILLS}
        skill = max(SKILLS, key=lambda s: against[s])
        if self.offer.part or not against[skill] or not self.replay.has_part(skill):
            return ()
        points = f"{against[skill]} of the last {count_of(len(failures), 'failure')} point"
        return (f"the exercise for {skill}, to which {points}",)

    def _all_passed(self) -> tuple[str, ...]:
        """That nothing is left to pass on this track, and what is set for then."""
        if self.replay.way.to_pass(self.ladder):
            return ()
        holds = "a short row now and then shows whether each still holds"
        return (f"Every grade of this track is passed: settings keep the hand, and {holds}.",)

    def _held(self) -> bool:
        """Whether the work may not move up, because a grade is not signed off."""
        return self.replay.way.is_held_for_sign_off(self.ladder)

    def _opens(self) -> tuple[str, ...]:
        """What opens the next grade, where the work may not run further ahead."""
        way, ladder = self.replay.way, self.ladder
        top = way.ceiling(ladder)
        if self._held() or ladder.place != top or top + 1 >= len(ladder.grades):
            return ()
        first = next(iter(way.to_pass(ladder)), ladder.place)
        opens, passes = self._title(ladder.grades[top + 1]), ladder.grades[first]
        return (f"{opens} opens when {self._title(passes)} is passed: {self._to_go(passes)}.",)

    def _to_go(self, grade_id: str) -> str:
        grade, so_far = self.replay.grades[grade_id], self.replay.counters.so_far(grade_id)
        return f"{good_ones(good_to_go(grade.points, so_far))} to go"

    def _signing(self) -> tuple[str, ...]:
        """What an instructor's sign-off has to do with it; nothing where none is asked for."""
        replay, ladder = self.replay, self.ladder
        waiting = [g for g in ladder.grades[: ladder.place + 1] if replay.counters.waits(g)]
        if waiting:
            grade = replay.course.grade(waiting[0])
            points = grade.points.up_at if grade is not None else 0
            told = f"{self._title(waiting[0])} has {points} of {count_of(points, 'point')}"
            return (f"{told}; it waits for an instructor's sign-off.",)
        if self._held():
            asked = ladder.grades[replay.way.ceiling(ladder)]
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
        done = self.replay.row_of(self.offer.part or "").row - self.offer.repeat
        return (first, f"{count_of(done, 'try', 'tries')} so far.") if done else (first,)

    def _opening(self) -> str:
        """Why the evening begins with a short row at another grade."""
        match self.offer.purpose:
            case "refresher":
                return self._refresher()
            case "re-test":
                return self._retest()
            case _:
                return self._proving()

    def _refresher(self) -> str:
        way = self.replay.way
        days = (self.today - way.last_day).days if self.today and way.last_day else 0
        pause = days if days > way.rule.pause_days else way.pause
        working = self.ladder.grade
        below = self.offer.grade != working
        where = f"a grade below {self._title(working)}" if below else "where you left off"
        return (
            f"{count_of(pause, 'day')} passed without practice, more than {way.rule.pause_days}: "
            f"{count_of(self.offer.repeat, 'setting')} {where} to find the hand again."
        )

    def _retest(self) -> str:
        title, row = self._title(self.offer.grade), count_of(self.offer.repeat, "setting")
        if not any(done.grade.id == self.offer.grade for done in self.replay.way.settings):
            return (
                f"{title} counts as passed by a harder grade and was never set: "
                f"{row} there show whether it holds."
            )
        days = self.replay.way.days_unset(self.offer.grade, self.today)
        since = f" and was not set for {count_of(days, 'day')}" if days else ""
        return f"{title} is passed{since}: {row} there show whether it still holds."

    def _remedial(self) -> tuple[str, ...]:
        replay = self.replay
        remedy = replay.remedy
        if remedy is None:
            return (self._working(),)
        skill = remedy.skill
        failures = self._failures()[-LOOK_BACK:]
        counted = (
            f"{self._against(skill, failures)} of your last {count_of(len(failures), 'failure')} "
            f"point to {skill}, by common practice and by what you read and saw."
        )
        results = remedy.tries.results
        so_far = f"So far {sum(results)} good of {count_of(len(results), 'try', 'tries')}."
        return (counted, self._working(), *self._stuck(), *((so_far,) if results else ()))

    def _failures(self) -> list[WholeSetting]:
        return [s for s in self.replay.settings if s.failed]

    def _against(self, skill: Skill, failures: Sequence[WholeSetting]) -> int:
        """How many of these failures point to the skill."""
        strict = self.replay.course.failure_from
        blamed = (blame(s.attempt, failure_from=strict)[skill] for s in failures)
        return sum(share >= _POINTS_TO for share in blamed)

    def _proving(self) -> str:
        easier, working = self.offer.grade, self.ladder.grade
        return (
            f"{self._title(easier)} is still to be passed, {self._to_go(easier)}: the evening "
            f"begins with {count_of(self.offer.repeat, 'setting')} there, then on at "
            f"{self._title(working)}."
        )

    def _waiting(self) -> tuple[str, ...]:
        replay = self.replay
        if replay.remedy is None or replay.has_room_for_a_part(self.today):
            return ()
        bound = replay.rule.an_evening or 1
        enough = "one part exercise" if bound == 1 else f"{number_in_words(bound)} part exercises"
        verb = "is" if bound == 1 else "are"
        skill = replay.remedy.skill.capitalize()
        return (f"{skill} stands out again; {enough} an evening {verb} enough.",)

    def _next_track(self) -> str:
        ladder = self.ladder
        return (
            f"All {count_of(len(ladder.grades), 'grade')} of this track are passed; "
            f"{self._title(self.offer.grade)} is the next one open."
        )

    def _change_of_settings(self) -> list[str]:
        ladder, way = self.ladder, self.replay.way
        sentences = []
        ways = (
            (False, way.on_from(ladder), "good", "on to"),
            (True, way.back_from(ladder), "failed", "back to"),
        )
        for failed, to, word, where in ways:
            count = way.in_a_row(ladder, failed=failed)
            if to is not None and count is not None:
                row = f"{count} {word} settings in a row"
                settings = row if count > 1 else f"One more {word} setting"
                sentences.append(f"{settings}: {where} {self._title(to)}.")
        if self._held():
            top = way.ceiling(ladder)
            asked, opens = self._title(ladder.grades[top]), self._title(ladder.grades[top + 1])
            sentences.insert(0, f"{asked} signed off: on to {opens}.")
        return [*sentences, *self._brings_a_part()]

    def _brings_a_part(self) -> tuple[str, ...]:
        """How many failures in a row bring the part exercise of the skill with most trouble."""
        replay = self.replay
        traces, rule = replay.traces, replay.rule
        skill = SKILLS[traces.trouble.index(max(traces.trouble))]
        if replay.remedy is not None or not replay.has_part(skill):
            return ()
        at = "one skill" if len(set(traces.trouble)) == 1 else skill
        for count in range(1, _MOST_IN_A_ROW + 1):
            traces = traces.after({s: float(s == skill) for s in SKILLS}, rule)
            rested = replay.whole_since_part + count >= rule.whole_between
            if rested and traces.weakest(rule) == skill:
                row = "one more failure points"
                row = f"{number_in_words(count)} failures in a row point" if count > 1 else row
                return (f"When {row} at {at}, its exercise comes.",)
        return ()

    def _slipped(self) -> list[str]:
        replay = self.replay
        return [
            f"{grade.title} has slipped back and is to be passed again, from 0 points."
            for grade in replay.course.grades
            if replay.counters.has_slipped(grade.id)
        ]
