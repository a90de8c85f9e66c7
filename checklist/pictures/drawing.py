"""Every picture by its description: as lines of text, or as SVG."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeAlias

from checklist.pictures.bars import Bars
from checklist.pictures.barssvg import bars_svg
from checklist.pictures.barstext import bars_text
from checklist.pictures.network import Drawing, network_text
from checklist.pictures.networksvg import network_svg
from checklist.pictures.plots import Plot
from checklist.pictures.plotsvg import plot_svg
from checklist.pictures.plottext import plot_text
from checklist.pictures.rings import Rings
from checklist.pictures.ringssvg import rings_svg
from checklist.pictures.ringstext import rings_text

if TYPE_CHECKING:
    from checklist.pictures.maps import Map

Picture: TypeAlias = "Plot | Map | Bars | Rings | Drawing"
"""What can be drawn, whichever way."""


def picture_text(picture: Picture, width: int = 80, height: int = 16) -> tuple[str, ...]:
    """Return the picture as lines of text; a map and a network keep the size they have."""
    match picture:
        case Plot():
            return plot_text(picture, width, height)
        case Bars():
            return bars_text(picture, width)
        case Rings():
            return rings_text(picture, width, height)
        case Drawing():
            return network_text(picture)
        case _:
            # Loaded late: behind maps stands the whole engine of RF exposure.
            from checklist.pictures.maptext import map_text

            return map_text(picture)


def picture_svg(picture: Picture) -> str:
    """Return the picture as a whole SVG document, the same bytes for the same picture."""
    match picture:
        case Plot():
            return plot_svg(picture)
        case Bars():
            return bars_svg(picture)
        case Rings():
            return rings_svg(picture)
        case Drawing():
            return network_svg(picture)
        case _:
            from checklist.pictures.mapsvg import map_svg

            return map_svg(picture)
