"""The pictures of an exposure evaluation as SVG files: every plot, the plan, and both sections."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

from checklist.commands.picturefile import write_pictures
from checklist.pictures.drawing import picture_svg
from checklist.pictures.maps import first_view, map_of
from checklist.pictures.plots import Plot
from checklist.sessions.stations.exposing import Exposed

_COLUMNS, _ROWS = 96, 36
_MAPS = ("plan", "section-west-east", "section-south-north")


def write_exposure_pictures(
    folder: Path,
    exposed: Exposed,
    plots: Iterable[Plot],
    progress: Callable[[str, int, int], None],
) -> list[Path]:
    """Write the pictures into `folder` and return where they are; a name taken is refused."""
    names = [f"share-{number}" for number, _ in enumerate(exposed.evaluation.places, 1)]
    drawn = list(plots)
    # Without emissions there is no plot over distance, and the one over frequency comes last.
    made = dict(zip([*names[: len(drawn) - 1], "limits"], map(picture_svg, drawn), strict=True))
    described = exposed.described
    view = first_view(described.scene)
    for name in _MAPS:
        found = map_of(
            described.scene, view, _COLUMNS, _ROWS, described.limits, described.figures,
            lambda done, of: progress("rows of the map", done, of),
        )  # fmt: skip
        made[name] = picture_svg(found)
        view = view.turned()
    return write_pictures(folder, {f"{name}.svg": picture for name, picture in made.items()})
