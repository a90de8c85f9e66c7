"""Evaluates the RF exposure around a station, or gives the fields at one point."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from pathlib import Path

from checklist.calculations.exposure import Remedies
from checklist.calculations.exposure.model import Point
from checklist.calculations.kinds import Outcome
from checklist.commands.exits import FINE, NOT_SHOWN, WRONG
from checklist.commands.exposuredata import point as point_data
from checklist.commands.exposuredata import whole
from checklist.commands.exposurepictures import write_exposure_pictures
from checklist.commands.exposurevariants import compare_variants
from checklist.commands.output import is_plain, print_document, print_page
from checklist.commands.progress import SaidProgress
from checklist.errors import StandclearError
from checklist.pictures.exposureplots import limits_over_frequency, share_over_distance
from checklist.pictures.maps import first_view, map_of
from checklist.pictures.maptext import map_text
from checklist.pictures.plots import Plot
from checklist.pictures.plottext import plot_text
from checklist.plaintext import shown
from checklist.quantities import parse_quantity
from checklist.sessions.desk import Desk
from checklist.sessions.stations.exposing import (
    Described,
    Exposed,
    describe,
    expose,
    look_at_point,
    remedies_for,
)
from checklist.sessions.stations.exposuretext import (
    basis_lines,
    head_lines,
    places_lines,
    point_lines,
    remedy_lines,
    stop_lines,
    zones_lines,
)

_EXITS = {Outcome.WITHIN: FINE, Outcome.OVER: WRONG, Outcome.NOT_SHOWN: NOT_SHOWN}
_AXES = ("east", "north", "up")
_WRITTEN = "Write it as --at '18 m, 4 m, 1.5 m': east, north, up."
_WIDTHS = (60, 110)
_PLOT_ROWS, _MAP_ROWS = 14, 22
_MAP_SIDE = 8


def evaluate_exposure(
    desk: Desk,
    path: Path,
    at: str | None,
    margin: str | None,
    *,
    svg: Path | None = None,
    variants: Sequence[str] = (),
    into: str | None = None,
    as_json: bool,
) -> int:
    """Print the evaluation of the station in the file, or what `at` asks for at one point.

    Writes the pictures of an evaluation into the folder `svg` where one is named. With
    `variants` they are compared instead, and one of them is written into the file `into`.

    Returns FINE for within, WRONG for over, NOT_SHOWN where something is not known. Raises
    StandclearError for a file, a point or a margin that cannot be used.
    """
    point = _point(at) if at is not None else None
    share = _share(margin) if margin is not None else None
    _refuse_together(variants, into, beside=at is not None or svg is not None)
    if variants:
        return _compared(desk, path, variants, share, into, as_json=as_json)
    described = describe(desk, path)
    if point is not None:
        return _told_at(described, point, as_json=as_json)
    said = SaidProgress()
    exposed = expose(described, said)
    remedies = remedies_for(exposed, share, said)
    plots = _plots(exposed)
    drawn = [] if as_json or is_plain() else _drawn(exposed, plots, said)
    if svg is not None:
        write_exposure_pictures(svg, exposed, plots, said)
    said.end()
    if as_json:
        print_document(whole(exposed, remedies, plots))
    else:
        print_page(_whole_lines(exposed, remedies, drawn))
    return _EXITS[exposed.evaluation.outcome]


def _told_at(described: Described, point: Point, *, as_json: bool) -> int:
    """Print what stands at one point alone."""
    found = look_at_point(described, point)
    if as_json:
        print_document(point_data(described, found))
    else:
        print_page(point_lines(described, found))
    return _EXITS[found.outcome]


def _whole_lines(
    exposed: Exposed, remedies: tuple[Remedies, ...], drawn: Sequence[str]
) -> list[str]:
    found = exposed.evaluation
    return [
        *head_lines(exposed), *stop_lines(found), "",
        "Places", *places_lines(found), "", *zones_lines(found), "",
        "Remedies", *remedy_lines(remedies), *drawn, *basis_lines(exposed),
    ]  # fmt: skip


def _refuse_together(variants: Sequence[str], into: str | None, *, beside: bool) -> None:
    if into is not None and not variants:
        raise StandclearError("there is nothing to write", where="--into", right="Add --variant.")
    if variants and beside:
        raise StandclearError(
            "variants are compared at the places alone, without --at and --svg",
            where="--variant",
            right="Write one with --into, then look at that file.",
        )


def _compared(
    desk: Desk,
    path: Path,
    variants: Sequence[str],
    share: float | None,
    into: str | None,
    *,
    as_json: bool,
) -> int:
    said = SaidProgress()
    try:
        return compare_variants(desk, path, variants, share, said, into=into, as_json=as_json)
    finally:
        said.end()


def _plots(exposed: Exposed) -> list[Plot]:
    """Return a plot over distance for each place, then the one over frequency."""
    d, found = exposed.described, exposed.evaluation
    over = [share_over_distance(d.scene, r, d.limits, d.figures) for r in found.places]
    return [*(p for p in over if p), limits_over_frequency(d.scene, found, d.figures)]


def _drawn(exposed: Exposed, plots: list[Plot], said: SaidProgress) -> list[str]:
    width = min(_WIDTHS[1], max(_WIDTHS[0], shutil.get_terminal_size((80, 24)).columns))
    lines: list[str] = []
    for plot in plots:
        lines += ["", *plot_text(plot, width, _PLOT_ROWS)]
    d = exposed.described
    plan = first_view(d.scene)
    for view in (plan, plan.turned()):
        drawn = map_of(
            d.scene, view, width - _MAP_SIDE, _MAP_ROWS, d.limits, d.figures,
            lambda done, of: said("rows of the map", done, of),
        )  # fmt: skip
        lines += ["", *map_text(drawn)]
    return lines


def _point(text: str) -> Point:
    parts = text.split(",")
    if len(parts) != len(_AXES):
        raise StandclearError(
            f"“{shown(text[:60])}” is not three lengths with commas between them",
            where="--at", right=_WRITTEN,
        )  # fmt: skip
    x, y, z = (
        parse_quantity(part, "length", where=f"--at, {axis}").number("m")
        for axis, part in zip(_AXES, parts, strict=True)
    )
    if z < 0:
        raise StandclearError("a point below the ground", where="--at, up", right=_WRITTEN)
    return (x, y, z)


def _share(text: str) -> float:
    share = parse_quantity(text, "ratio", where="--margin").number("1")
    if not 0 < share <= 1:
        raise StandclearError(
            f"“{shown(text[:60])}” is no share of a limit",
            where="--margin",
            right="Give more than 0 and at most 100 %, as --margin '50 %'.",
        )
    return share
