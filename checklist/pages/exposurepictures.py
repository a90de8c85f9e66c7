"""The plots and the map of an evaluation, drawn for a page. It takes seconds, so it tells."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from checklist.calculations.exposure.evaluate import Evaluation
from checklist.calculations.exposure.figures import Figures
from checklist.pages.page import Drawn
from checklist.pages.pictured import drawn
from checklist.pictures.exposureplots import limits_over_frequency, share_over_distance
from checklist.pictures.maps import first_view, map_of

Tell = Callable[[str, int, int], None]
"""Hears what is drawn, how much of it is done, and of how much; what it raises ends it."""

_FINE, _COARSE = (96, 36), (70, 20)
"""Columns and rows of a map as a picture, and as text."""


def exposure_pictures(found: Evaluation, figures: Figures, tell: Tell) -> tuple[Drawn, ...]:
    """Return limits over frequency, share over distance for each place, then plan and section."""
    return (
        drawn(limits_over_frequency(found.scene, found, figures)),
        *_plots(found, figures, tell),
        *(_maps(found, figures, tell) if found.scene.emissions else ()),
    )


def _plots(found: Evaluation, figures: Figures, tell: Tell) -> Iterator[Drawn]:
    for number, place in enumerate(found.places, start=1):
        tell("plots", number - 1, len(found.places))
        plot = share_over_distance(found.scene, place, found.limits, figures)
        if plot is not None:
            yield drawn(plot)


def _maps(found: Evaluation, figures: Figures, tell: Tell) -> Iterator[Drawn]:
    plan = first_view(found.scene)
    for view in (plan, plan.turned()):
        fine, coarse = (
            map_of(
                found.scene, view, columns, rows, found.limits, figures,
                lambda done, of: tell("rows of the map", done, of),
            )
            for columns, rows in (_FINE, _COARSE)
        )  # fmt: skip
        yield replace(drawn(coarse), svg=drawn(fine).svg)
