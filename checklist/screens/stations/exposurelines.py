"""What each tab of the exposure screen says, as lines of text; decides and finds nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from checklist.calculations.exposure import Remedies, Remedy
from checklist.calculations.kinds import Outcome
from checklist.pictures.maps import Cut, Map, View
from checklist.pictures.maptext import map_text
from checklist.pictures.plots import Plot
from checklist.pictures.plottext import plot_text
from checklist.sessions.stations.exposing import Exposed
from checklist.sessions.stations.exposuretext import (
    basis_lines,
    places_lines,
    stop_lines,
    zones_lines,
)
from checklist.sessions.variants.comparing import column_of, comparison_lines, steps_lines
from checklist.sessions.variants.kept import VariantSet
from checklist.sessions.variants.remedies import remedy_rows
from checklist.sessions.variants.variant import Variant

PLACES, MAP, PLOTS, REMEDIES, SIDE, BASIS = (
    "places", "map", "plots", "remedies", "side by side", "basis",
)  # fmt: skip
DRAWN = {MAP, PLOTS, SIDE}
"""Tabs whose lines are drawn: they are never broken where they fit."""

TITLES = {
    Outcome.WITHIN: "within",
    Outcome.OVER: "OVER: stop",
    Outcome.NOT_SHOWN: "NOT SHOWN: stop",
}
STOPPED = "stopped: nothing shown"
WAITING = "…"
_PLOT_FRAME = 12
_MAP_KEYS = "+ - zoom   [ ] {}   arrows move   v cuts another way   PgDn legend"
_SIDE_KEYS = "← → another   t try on it   r remedies   d drop it   o write as a file"
_REMEDY_KEYS = "its number, or ↑ ↓ and Enter, tries a remedy as a variant"
_NO_REMEDY_KEYS = "t tries a value   s shows variants side by side   Esc leads back"


@dataclass(slots=True)
class Looked:
    """What is drawn of the variant that is shown, as far as it has been found."""

    tab: str = PLACES
    view: View | None = None
    plots: tuple[Plot, ...] = ()
    plot: int = 0
    map: Map | None = None
    of: Variant | None = None
    """Of which variant plots and map are."""

    mark: int = 0
    """The remedy at the mark, counted from 0."""

    stopped: bool = False
    remedies: list[tuple[Remedies, Remedy]] = field(default_factory=list)
    """Those that can be tried, in the order of their numbers."""

    marked_line: int | None = None

    def begin(self, variant: Variant) -> None:
        """Let go of what was drawn of another variant."""
        if self.of is not variant:
            self.of, self.plots, self.map, self.mark = variant, (), None, 0


def lines_of(kept: VariantSet, looked: Looked, width: int, height: int) -> Sequence[str]:
    """Return the lines of the tab at hand, for the variant that is shown."""
    variant = kept.shown
    exposed, is_drawn = kept.found(variant), looked.of is variant
    looked.marked_line = None
    if looked.tab == SIDE:
        columns = [column_of(one, kept.found(one)) for one in kept.every]
        return [*comparison_lines(columns, width, kept.at), "", *steps_lines(columns)]
    waiting = [f"{STOPPED}; g begins again" if looked.stopped else WAITING]
    if exposed is None:
        return waiting
    match looked.tab:
        case "places":
            return [*_done(variant), *_places(exposed)]
        case "remedies":
            found = kept.remedies(variant)
            return waiting if found is None else _remedies(found, looked)
        case "plots" if is_drawn and looked.plots:
            return plot_text(looked.plots[looked.plot], width, height - _PLOT_FRAME)
        case "map" if is_drawn and looked.map is not None:
            return map_text(looked.map)
        case "basis":
            return basis_lines(exposed)
        case _:
            return waiting


def keys_said(looked: Looked, otherwise: str) -> str:
    """Return which keys the tab at hand has, or what is said where it has none of its own."""
    match looked.tab:
        case "map":
            is_plan = looked.view is None or looked.view.cut is Cut.PLAN
            return _MAP_KEYS.format("height" if is_plan else "along")
        case "plots" if len(looked.plots) > 1:
            return f"plot {looked.plot + 1} of {len(looked.plots)}; n shows the next"
        case "remedies":
            return _REMEDY_KEYS if looked.remedies else _NO_REMEDY_KEYS
        case "side by side":
            return _SIDE_KEYS
        case _:
            return otherwise


def _done(variant: Variant) -> list[str]:
    if not variant.steps:
        return []
    return [f"{variant.name}: {'; then '.join(step.says for step in variant.steps)}.", ""]


def _places(exposed: Exposed) -> list[str]:
    found = exposed.evaluation
    stops = stop_lines(found)
    return [found.says, *stops, "", *places_lines(found), "", *zones_lines(found)]


def _remedies(found: tuple[Remedies, ...], looked: Looked) -> list[str]:
    rows = remedy_rows(found)
    looked.remedies = [tried for _, tried in rows if tried]
    looked.mark = min(looked.mark, max(0, len(looked.remedies) - 1))
    lines: list[str] = []
    number = 0
    for text, tried in rows:
        here = tried is not None and number == looked.mark
        if here:
            looked.marked_line = len(lines)
        number += tried is not None
        lines.append(f"{'> ' if here else '  '}{text}" if tried else text)
    return lines
