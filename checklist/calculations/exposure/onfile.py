"""An evaluation as it is kept on file: all it rests on and all it says, readable a year later.

The written form is versioned by `FORM`. It changes when a class below `OnFile` changes; a stored
one of each form stands beside the tests and must be read for ever.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from checklist import __version__
from checklist.calculations.exposure.codec import DataRefused, data_of, read_as
from checklist.calculations.exposure.evaluate import Evaluation
from checklist.calculations.exposure.remedies import Remedies

FORMAT = "standclear exposure evaluation"
FORM = 1
"""The version of the written form; `Evaluation.version` is that of the engine."""


@dataclass(frozen=True, slots=True)
class OnFile:
    """A station's evaluation with its remedies, as a page shows it without computing anything."""

    station: str
    """The name of the station, as its file gives it."""

    evaluation: Evaluation
    assumptions: tuple[str, ...]
    """What was assumed to make the scene from the station file."""

    remedies: tuple[Remedies, ...]
    """For each place that is over, near the limit, or not shown; without changed scenes."""

    @property
    def all_assumptions(self) -> tuple[str, ...]:
        """What was assumed to make the scene, and then to evaluate it."""
        return (*self.assumptions, *self.evaluation.assumptions)


def evaluation_data(kept: OnFile) -> dict[str, Any]:
    """Return the evaluation as dicts, lists and texts; numbers as decimal texts, in SI units."""
    return {"format": FORMAT, "version": FORM, **data_of(kept)}


def evaluation_from_data(data: object) -> OnFile:
    """Return what `evaluation_data` wrote, equal to it; raises DataRefused naming the field."""
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise DataRefused("this is no stored evaluation of exposure", where="format")
    version = data.get("version")
    if type(version) is not int or version != FORM:
        raise DataRefused(
            f"version {version} of the written form is not known here", where="version",
            right=f"This is standclear {__version__} and reads version {FORM}; the session's first "
            "line says which program wrote it.",
        )  # fmt: skip
    rest = {name: item for name, item in data.items() if name not in {"format", "version"}}
    return read_as(OnFile, rest, "evaluation")
