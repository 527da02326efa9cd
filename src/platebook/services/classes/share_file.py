"""A setter's share in what a class is asked, as the bytes of a file: plain text and numbers.

Nothing in it could run. A share is kept in the cache for each setter and for how many cells are
found already that the question stands beside (`form_beside`).
"""

import io
import json
import zipfile
import zlib
from collections.abc import Sequence
from typing import Any

import numpy as np

from platebook.analysis.arrays import Floats
from platebook.analysis.classes.search import CLASS_DRAWS, ClassShare, Drawn, bare
from platebook.analysis.findings.candidates import Unjudged
from platebook.analysis.models.bayes_factors import Cell, Key
from platebook.analysis.models.null_model import Scores
from platebook.analysis.variables.columns import Column
from platebook.services.cache import Form

_UNREADABLE = (KeyError, TypeError, EOFError, zipfile.BadZipFile, zlib.error)


def form_beside(found: Sequence[Key]) -> Form[ClassShare]:
    """The form of a share beside so many found cells."""
    return Form(f"share{len(found)}", "npz", packed, unpacked)


def packed(share: ClassShare) -> bytes:
    """The bytes of a share."""
    header = {
        "attempts": share.attempts,
        "failures": share.failures,
        "failing": dict(share.failing),
        "defects": share.defects,
        "judged": share.judged,
        "unjudged": [(gone.variable, gone.reason) for gone in share.unjudged],
        "columns": [
            (col.variable, col.kind, col.level, col.target if np.isscalar(col.target) else None)
            for col in share.columns
        ],
        "outcomes": list(share.truths),
        "cells": [
            (*cell.key, cell.candidate.column.kind, cell.weight, cell.mean, cell.sd)
            for cell in share.cells
        ],
    }
    targets = {
        f"target{place}": column.target
        for place, column in enumerate(share.columns)
        if isinstance(column.target, np.ndarray)
    }
    file = io.BytesIO()
    np.savez_compressed(
        file,
        header=np.frombuffer(json.dumps(header).encode("utf-8"), dtype=np.uint8),
        usual=share.usual,
        own=np.vstack([share.own.u, share.own.v]),
        steps=share.drawn.steps,
        step=share.drawn.step,
        values=np.array([column.values for column in share.columns], dtype=float),
        truths=np.array(list(share.truths.values()), dtype=bool),
        **targets,  # type: ignore[arg-type]  # arrays by name, none of which is an option
    )
    return file.getvalue()


def unpacked(data: bytes) -> ClassShare:
    """The share that these bytes hold; ValueError where they hold none."""
    try:
        return _unpacked(data)
    except _UNREADABLE as error:
        raise ValueError("these bytes are no share") from error


def _unpacked(data: bytes) -> ClassShare:
    with np.load(io.BytesIO(data), allow_pickle=False) as arrays:
        header = json.loads(arrays["header"].tobytes())
        usual, own, steps, step = (arrays[name] for name in ("usual", "own", "steps", "step"))
        truths = dict(zip(header["outcomes"], arrays["truths"], strict=True))
        columns = tuple(
            _column(fields, values, arrays.get(f"target{place}"))
            for place, (fields, values) in enumerate(
                zip(header["columns"], arrays["values"], strict=True)
            )
        )
    cells = tuple(map(_cell, header["cells"]))
    n = len(cells)
    shapes = (usual.shape, own.shape, steps.shape, step.shape)
    if shapes != ((n,), (2, n), (CLASS_DRAWS, n), (n,)):
        raise ValueError("the arrays are not those of the cells")
    return ClassShare(
        attempts=int(header["attempts"]),
        failures=int(header["failures"]),
        failing={str(defect): int(times) for defect, times in header["failing"].items()},
        defects=tuple(header["defects"]),
        judged=tuple(header["judged"]),
        unjudged=tuple(Unjudged(name, reason) for name, reason in header["unjudged"]),
        cells=cells,
        usual=usual,
        own=Scores(own[:1], own[1:]),
        drawn=Drawn(steps, step),
        columns=columns,
        truths=truths,
    )


def _column(fields: Sequence[Any], values: Floats, targets: Floats | None) -> Column:
    name, kind, level, target = fields
    wanted = target if targets is None else targets
    return Column(name, kind, process=False, values=values, level=level, target=wanted)


def _cell(fields: Sequence[Any]) -> Cell:
    variable, form, level, outcome, kind, weight, mean, sd = fields
    return Cell(bare(variable, form, kind, level or None), outcome, weight, mean, sd)
