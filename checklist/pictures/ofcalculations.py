"""The picture that belongs to the finding of a calculation, where there is one."""

from __future__ import annotations

from collections.abc import Callable

from checklist.calculations.kinds import Finding, Given
from checklist.calculations.registry import CALCULATIONS
from checklist.calculations.run import parse
from checklist.errors import StandclearError
from checklist.pictures.bars import Bars
from checklist.pictures.densityplot import density_plot
from checklist.pictures.fallcircle import fall_circle
from checklist.pictures.loadbars import load_bars
from checklist.pictures.plots import Plot
from checklist.pictures.rings import Rings

OfFinding = Bars | Rings | Plot
"""What a finding can be drawn as."""

_MAKERS: dict[str, Callable[[Finding, Given], OfFinding | None]] = {
    "generator-load": load_bars,
    "power-density": density_plot,
    "power-line-distance": fall_circle,
}

HAVE_PICTURES = frozenset(_MAKERS)
"""The calculations whose findings can be drawn."""


def picture_of(finding: Finding) -> OfFinding | None:
    """Return the picture of a finding, just run or read back from a record.

    Its numbers are the finding's own: inputs as typed and outputs as computed. None where the
    calculation has no picture, where nothing in it is known, or where it was computed by another
    version than the one here.
    """
    maker = _MAKERS.get(finding.calculation)
    calculation = CALCULATIONS.get(finding.calculation)
    if maker is None or calculation is None or calculation.version != finding.version:
        return None
    try:
        given = parse(calculation, finding.given)
    except StandclearError:  # an old record, or one from elsewhere, need not parse here
        return None
    return maker(finding, given)
