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
from platebook.analysis.candidates import Unjudged
from platebook.analysis.class_share import CLASS_DRAWS, ClassShare, Drawn, bare
from platebook.analysis.columns import Column
from platebook.analysis.scores import Scores
from platebook.analysis.weigh import Cell, Key
from platebook.services.cache import Form

_UNREADABLE = (KeyError, TypeError, EOFError, zipfile.BadZipFile, zlib.error)


def form_beside(found: Sequence[Key]) -> Form[ClassShare]:
    """The form of a share beside so many found cells."""
    return Form(f"share{len(found)}", "npz", packed, unpacked)


def packed(share: ClassShare) -> bytes:
    """The bytes of a share."""
    said = {
        "attempts": share.attempts,
        "failures": share.failures,
        "failing": dict(share.failing),
        "defects": share.defects,
        "judged": share.judged,
        "unjudged": [(one.variable, one.reason) for one in share.unjudged],
        "columns": [
            (one.variable, one.kind, one.level, one.target if np.isscalar(one.target) else None)
            for one in share.columns
        ],
        "outcomes": list(share.truths),
        "cells": [
            (*one.key, one.candidate.column.kind, one.weight, one.mean, one.sd)
            for one in share.cells
        ],
    }
    targets = {
        f"target{place}": one.target
        for place, one in enumerate(share.columns)
        if isinstance(one.target, np.ndarray)
    }
    file = io.BytesIO()
    np.savez_compressed(
        file,
        said=np.frombuffer(json.dumps(said).encode("utf-8"), dtype=np.uint8),
        usual=share.usual,
        own=np.vstack([share.own.u, share.own.v]),
        steps=share.drawn.steps,
        step=share.drawn.step,
        values=np.array([one.values for one in share.columns], dtype=float),
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
        said = json.loads(arrays["said"].tobytes())
        usual, own, steps, step = (arrays[name] for name in ("usual", "own", "steps", "step"))
        truths = dict(zip(said["outcomes"], arrays["truths"], strict=True))
        columns = tuple(
            _column(told, values, arrays.get(f"target{place}"))
            for place, (told, values) in enumerate(
                zip(said["columns"], arrays["values"], strict=True)
            )
        )
    cells = tuple(map(_cell, said["cells"]))
    n = len(cells)
    shapes = (usual.shape, own.shape, steps.shape, step.shape)
    if shapes != ((n,), (2, n), (CLASS_DRAWS, n), (n,)):
        raise ValueError("the arrays are not those of the cells")
    return ClassShare(
        attempts=int(said["attempts"]),
        failures=int(said["failures"]),
        failing={str(defect): int(times) for defect, times in said["failing"].items()},
        defects=tuple(said["defects"]),
        judged=tuple(said["judged"]),
        unjudged=tuple(Unjudged(name, reason) for name, reason in said["unjudged"]),
        cells=cells,
        usual=usual,
        own=Scores(own[:1], own[1:]),
        drawn=Drawn(steps, step),
        columns=columns,
        truths=truths,
    )


def _column(told: Sequence[Any], values: Floats, targets: Floats | None) -> Column:
    name, kind, level, target = told
    wanted = target if targets is None else targets
    return Column(name, kind, process=False, values=values, level=level, target=wanted)


def _cell(told: Sequence[Any]) -> Cell:
    variable, form, level, outcome, kind, weight, mean, sd = told
    return Cell(bare(variable, form, kind, level or None), outcome, weight, mean, sd)
