"""Progress in words: one paragraph a grade, each rate with its interval."""

from platebook.analysis.grades.points import Forecast
from platebook.analysis.grades.progress import GradeProgress, Progress
from platebook.reports.signs import GRADES, waits_for_sign_off
from platebook.reports.text.figures import counted, interval, percent


def progress_lines(progress: Progress) -> tuple[str, ...]:
    """The whole answer; begun grades in full, those ahead in a line."""
    head = counted(progress.settings, "whole setting") + " counted"
    if progress.left_out:
        head += (
            f"; {progress.left_out} others (parts, blocks, not judged, no grade) left out of points"
        )
    if progress.days_since_practice is not None:
        head += f"; last practice {_days_ago(progress.days_since_practice)}"
    return (f"{head}.", *(grade_line(grade) for grade in progress.grades))


def grade_line(grade: GradeProgress) -> str:
    """One grade in a paragraph, with its sign first."""
    state = GRADES[grade.state]
    sentences = [f"{state.plain} {grade.title}: {state.words}."]
    if grade.rate is not None and grade.low is not None and grade.high is not None:
        rate = f"{percent(grade.rate)}, 95 % interval {interval(grade.low, grade.high)}"
        sentences.append(f"{grade.good} of {grade.attempts} good ({rate}).")
    if grade.now is not None and grade.now_low is not None and grade.now_high is not None:
        band = interval(grade.now_low, grade.now_high)
        sentences.append(f"Lately {percent(grade.now)} ({band}).")
    sentences += _points(grade)
    if grade.not_enough:
        sentences.append(f"{grade.not_enough[0].upper()}{grade.not_enough[1:]}.")
    return " ".join(sentences)


def _points(grade: GradeProgress) -> list[str]:
    if grade.state == "working":
        to_go = counted(grade.good_to_go, "good one")
        found = [f"{grade.points} of {grade.promote_at} points: {to_go} to go."]
        return found + ([_forecast(grade.forecast)] if grade.forecast else [])
    if grade.state == "waiting":
        return [waits_for_sign_off(grade.points, grade.promote_at)]
    if grade.state == "passed" and grade.signed_by is not None:
        return [f"Signed off by {grade.signed_by}."]
    if grade.state == "slipping":
        return ["Failures have come back since it was passed: a proving row is due."]
    return []


def _forecast(forecast: Forecast) -> str:
    if forecast.low is None:
        return "At this rate it is more than 200 attempts off: parts first."
    if forecast.high is None:
        return f"At this rate {forecast.low} more attempts at the least."
    return f"At this rate {forecast.low} to {forecast.high} more attempts."


def _days_ago(days: int) -> str:
    return {0: "today", 1: "yesterday"}.get(days, f"{days} days ago")
