"""Setters' shares in what a class is asked, kept until the setter logs something.

A file a setter and question, found by the setter's digest, the course, and the cells that the
question stands beside; never by time. A file that cannot be read is as good as none. Its name
begins with the setter's id, so that it goes when the setter is erased.
"""

import contextlib
import hashlib
import io
import json
import os
import zipfile
import zlib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from platebook import __version__
from platebook.analysis.arrays import Floats
from platebook.analysis.candidates import Unjudged
from platebook.analysis.class_share import CLASS_DRAWS, ClassShare, Drawn, bare
from platebook.analysis.columns import Column
from platebook.analysis.scores import Scores
from platebook.analysis.weigh import Cell, Key
from platebook.logbook.place import answers_folder
from platebook.services.remembering import SHAPE

_UNREADABLE = (OSError, ValueError, KeyError, TypeError, EOFError, zipfile.BadZipFile, zlib.error)


class KeptShares:
    """The shares kept beside one logbook; the folder is listed once."""

    def __init__(self, logbook: Path) -> None:
        self._folder = answers_folder(logbook)
        self._names: dict[str, set[str]] = {}
        with contextlib.suppress(OSError):
            for file in self._folder.iterdir():
                if (name := file.name).endswith(".npz"):
                    self._names.setdefault(name.rpartition("-")[0], set()).add(name)

    def find(self, setter_id: str, rests_on: str, found: Sequence[Key]) -> ClassShare | None:
        """The share kept for this; None where there is none."""
        start, name = _names(setter_id, rests_on, found)
        if name not in self._names.get(start, ()):
            return None
        try:
            return unpacked((self._folder / name).read_bytes())
        except _UNREADABLE:
            return None

    def keep(self, setter_id: str, rests_on: str, found: Sequence[Key], share: ClassShare) -> None:
        """Keep it in the place of older ones; one that cannot be kept is none the worse."""
        start, name = _names(setter_id, rests_on, found)
        partial = self._folder / f"{name}.{os.getpid()}.part"
        with contextlib.suppress(OSError):
            self._folder.mkdir(mode=0o700, exist_ok=True)
            partial.write_bytes(packed(share))
            partial.replace(self._folder / name)
            for old in self._names.get(start, set()) - {name}:
                (self._folder / old).unlink(missing_ok=True)
            self._names[start] = {name}


def packed(share: ClassShare) -> bytes:
    """A share as the bytes of a file: plain text and numbers, nothing that could run."""
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
    """The share that these bytes hold; one of `_UNREADABLE` where they hold none."""
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
    cells = tuple(_cell(one) for one in said["cells"])
    count = len(cells)
    fits = (usual.shape, own.shape, steps.shape, step.shape) == (
        (count,),
        (2, count),
        (CLASS_DRAWS, count),
        (count,),
    )
    if not fits:
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


def _names(setter_id: str, rests_on: str, found: Sequence[Key]) -> tuple[str, str]:
    """What names of shares for this begin with, older ones too, and the whole name."""
    text = "\n".join((rests_on, repr([tuple(key) for key in found]), __version__, str(SHAPE)))
    mark = hashlib.sha256(text.encode("utf-8")).hexdigest()[:32]
    start = f"{setter_id}-share{len(found)}"
    return start, f"{start}-{mark}.npz"
