"""What the engine is measured against: raw rank tests, Firth one by one, a forest, the knowing."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from tests.simulated.planted import Cause

from bench.firth import firth
from platebook.analysis.findings.asking.search import PreparedLog
from platebook.analysis.models.bayes_factors import (
    EXPECTED,
    EXPECTED_SD,
    Cell,
    Prior,
    cell,
    log_odds,
    log_sums,
    log_terms,
)
from platebook.analysis.models.null_model import Frame, fit_null
from platebook.analysis.models.scores import Scores, score
from platebook.analysis.variables.attempt_log import attempt_log
from platebook.analysis.variables.columns import variable
from platebook.practice.attempt import Attempt
from platebook.practice.fields import fields, ranks
from platebook.values import replace

Floats = NDArray[np.float64]


def _raw(attempts: Sequence[Attempt], name: str) -> Floats | None:
    values = [getattr(attempt, name) for attempt in attempts]
    if all(isinstance(v, str) or v is None for v in values):
        order = ranks(name) or {text: i for i, text in enumerate(sorted({v for v in values if v}))}
        values = [order.get(v) for v in values]
    numbers = np.array([np.nan if v is None else float(v) for v in values])
    known = numbers[~np.isnan(numbers)]
    return numbers if len(known) > 1 and np.ptp(known) > 0 else None


def _raw_columns(attempts: Sequence[Attempt]) -> dict[str, Floats]:
    """Every raw column that changes, as numbers; nan where it was not written down."""
    wanted = (
        name
        for name, field in fields().items()
        if field.role in {"cause", "process"} and field.type not in {"text", "list"}
    )
    found = {name: _raw(attempts, name) for name in wanted}
    return {name: values for name, values in found.items() if values is not None}


def _failed(attempts: Sequence[Attempt]) -> NDArray[np.bool_]:
    return np.array([attempt.result != ("good",) for attempt in attempts])


def rank_tests(attempts: Sequence[Attempt]) -> dict[str, float]:
    """P of a rank test (scipy) of every raw column, failed against good, by column name."""
    from scipy.stats import mannwhitneyu

    failed = _failed(attempts)
    found: dict[str, float] = {}
    for name, values in _raw_columns(attempts).items():
        known = ~np.isnan(values)
        bad, good = values[known & failed], values[known & ~failed]
        if len(bad) > 1 and len(good) > 1 and np.ptp(values[known]) > 0:
            found[name] = float(mannwhitneyu(bad, good).pvalue)
    return found


def first_by_rank_tests(attempts: Sequence[Attempt]) -> tuple[str, float]:
    """The family of the smallest p, and that p under Benjamini and Hochberg's rule (scipy)."""
    from scipy.stats import false_discovery_control

    p = rank_tests(attempts)
    if not p:
        return "", 1.0
    adjusted = false_discovery_control(list(p.values()))
    best = min(p, key=lambda name: p[name])
    return variable(best).family, float(np.min(adjusted))


def first_by_firth(attempts: Sequence[Attempt]) -> tuple[str, float]:
    """The family of the column with the largest penalised likelihood ratio, fitted one by one."""
    from scipy.stats import chi2

    failed = _failed(attempts)
    found: dict[str, float] = {}
    for name, values in _raw_columns(attempts).items():
        known = ~np.isnan(values)
        x, y = values[known], failed[known].astype(float)
        if known.sum() < 10 or np.ptp(x) == 0 or np.ptp(y) == 0:
            continue
        table = np.column_stack([np.ones(len(x)), (x - x.mean()) / x.std()])
        gain = firth(table, y).log_likelihood - firth(table, y, fixed=(1, 0.0)).log_likelihood
        found[name] = -float(chi2.sf(2.0 * gain, 1))
    best = max(found, key=lambda name: found[name], default="")
    return (variable(best).family, found[best]) if best else ("", -1.0)


def first_by_forest(attempts: Sequence[Attempt], seed: int = 1) -> tuple[str, float]:
    """The family of the column that a random forest (scikit-learn) finds most important."""
    from sklearn.ensemble import RandomForestClassifier

    failed = _failed(attempts)
    columns = _raw_columns(attempts)
    if failed.all() or not failed.any():
        return "", -1.0
    table = np.column_stack([np.nan_to_num(x, nan=np.nanmedian(x)) for x in columns.values()])
    forest = RandomForestClassifier(n_estimators=300, random_state=seed).fit(table, failed)
    importance = dict(zip(columns, forest.feature_importances_, strict=True))
    best = max(importance, key=lambda name: importance[name])
    return variable(best).family, float(importance[best])


def first_by_knowing(prepared: PreparedLog, cause: Cause) -> tuple[str, float]:
    """The best family for one that knows the cause's form, sign and defect, and its log odds.

    It weighs with the trade map as the engine does, but asks only the one right kind of question.
    """
    log = prepared.log
    hits = log.events.get(cause.defect)
    cells: list[Cell] = []
    u, v = [], []
    for group in prepared.judged.groups if hits is not None else ():
        frame = Frame.of(prepared.adjusted.rows(group.rows))
        truth = hits[group.rows][None, :].astype(float) if hits is not None else np.zeros((1, 0))
        fit = fit_null(frame, truth)
        scored = score(frame, fit.projection, truth - fit.chance, group.x)
        for place, candidate in enumerate(group.candidates):
            one = cell(candidate, cause.defect, {})
            if one is not None and candidate.form == cause.form:
                cells.append(replace(one, mean=cause.sign * EXPECTED, sd=EXPECTED_SD))
                u.append(scored.u[0, place])
                v.append(scored.v[0, place])
    if not cells:
        return "", -np.inf
    prior = Prior.of(cells)
    terms = log_terms(Scores(np.array([u]), np.array([v])), prior)
    odds = log_odds(log_sums(terms, prior.family, len(prior.families)))[0]
    return prior.families[int(np.argmax(odds))], float(odds.max())


def ask(attempts: Sequence[Attempt]) -> PreparedLog:
    """These attempts as the engine makes them ready."""
    return PreparedLog.of(attempt_log(attempts))
