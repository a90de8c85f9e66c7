"""SVG drawings: valid, inert, alike each time, on one sheet, and told without colour."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable

import pytest

from checklist.calculations import run
from checklist.calculations.exposure import Evaluation, Figures, LimitSet
from checklist.calculations.exposure.model import Scene
from checklist.pictures.axes import Axis
from checklist.pictures.bars import Bar, Bars, Mark, Piece
from checklist.pictures.drawing import Picture, picture_svg, picture_text
from checklist.pictures.exposureplots import limits_over_frequency, share_over_distance
from checklist.pictures.maps import first_view, map_of
from checklist.pictures.network import drawing_of
from checklist.pictures.ofcalculations import picture_of
from checklist.pictures.plots import Curve, Level, Plot, Spot
from checklist.pictures.rings import Ring, Rings
from checklist.pictures.sheet import WIDTH, length
from checklist.rulebook import Book
from tests.calculations.examples import WITHIN
from tests.station.making import whole

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = 'A<script x="1">&\x1b[31m]]>\u202e' + "\x00\ufffe"
_COLOURS = {"none", "white", "black", "#0072B2", "#D55E00", "#555555", "#CCCCCC"}
_KINDS = ("density", "share", "limits", "plan", "section", "loads", "fall", "network")


@pytest.fixture(scope="module")
def pictures(
    scene: Scene, evaluation: Evaluation, fcc: LimitSet, numbers: Figures, book: Book
) -> dict[str, Picture]:
    """One of each kind."""
    view = first_view(scene)
    share = share_over_distance(scene, evaluation.places[0], fcc, numbers, 40)
    loads = picture_of(run("generator-load", WITHIN["generator-load"], book))
    fall = picture_of(run("power-line-distance", WITHIN["power-line-distance"], book))
    density = picture_of(run("power-density", WITHIN["power-density"], book))
    bonding = whole().bonding

    assert density is not None
    assert share is not None
    assert loads is not None
    assert fall is not None
    assert bonding is not None
    return {
        "density": density,
        "share": share,
        "limits": limits_over_frequency(scene, evaluation, numbers, 60),
        "plan": map_of(scene, view, 32, 12, fcc, numbers),
        "section": map_of(scene, view.turned(), 32, 12, fcc, numbers),
        "loads": loads,
        "fall": fall,
        "network": drawing_of(bonding.network(), "Bonding"),
    }


def parsed(picture: Picture) -> ET.Element:
    return ET.fromstring(picture_svg(picture))  # noqa: S314  # made here, and under test


def words(root: ET.Element) -> str:
    return " ".join("".join(one.itertext()) for one in root.iter(f"{SVG}text"))


@pytest.mark.parametrize("kind", _KINDS)
def test_it_is_one_sheet_of_valid_svg(kind: str, pictures: dict[str, Picture]) -> None:
    """Well-formed, titled, 180 mm wide at most, and nothing in it reaches outside of it."""
    root = parsed(pictures[kind])
    text = picture_svg(pictures[kind])

    assert root.tag == f"{SVG}svg"
    assert root.find(f"{SVG}title") is not None
    assert float(root.attrib["width"]) <= WIDTH == 680
    assert {child.tag.removeprefix(SVG) for child in root.iter()} <= {
        "svg", "title", "defs", "pattern", "rect", "path", "circle", "text",
    }  # fmt: skip
    assert not re.search(r"href|style=|<!|on[a-z]+=|font-family=\"(?!sans-serif)", text)


@pytest.mark.parametrize("kind", _KINDS)
def test_the_same_picture_is_the_same_bytes(kind: str, pictures: dict[str, Picture]) -> None:
    """Nothing in a drawing depends on time, order or chance."""
    assert picture_svg(pictures[kind]) == picture_svg(pictures[kind])


@pytest.mark.parametrize("kind", _KINDS)
def test_every_line_of_text_ends_on_the_sheet(kind: str, pictures: dict[str, Picture]) -> None:
    """No words run out to the right or to the left, nor below."""
    root = parsed(pictures[kind])
    for text in root.iter(f"{SVG}text"):
        if "transform" in text.attrib:
            continue  # it reads upward
        size, x = float(text.attrib["font-size"]), float(text.attrib["x"])
        long = length("".join(text.itertext()), size)
        start = {"start": x, "middle": x - long / 2, "end": x - long}[text.attrib["text-anchor"]]

        assert start >= 0
        assert start + long <= WIDTH
        assert float(text.attrib["y"]) <= float(root.attrib["height"])


@pytest.mark.parametrize("kind", _KINDS)
def test_only_the_colours_of_the_pair_are_used(kind: str, pictures: dict[str, Picture]) -> None:
    """Black, greys, and a blue and a vermilion that every kind of colour vision tells apart."""
    for element in parsed(pictures[kind]).iter():
        for name in ("fill", "stroke"):
            colour = element.attrib.get(name, "none")

            assert colour in _COLOURS or colour.startswith("url(#")


@pytest.mark.parametrize("kind", [k for k in _KINDS if k != "network"])
def test_axes_and_sources_stand_in_text_and_picture(
    kind: str, pictures: dict[str, Picture]
) -> None:
    """The unit of each axis and a source are read in both drawings of one description."""
    drawn, said = words(parsed(pictures[kind])), " ".join(picture_text(pictures[kind]))
    unit = {"share": ", m", "limits": ", MHz", "loads": ", W", "fall": ", ft"}.get(kind, ", m")

    for text in (drawn, said):
        assert unit in text
        assert re.search(r"CFR|[Cc]ommon practice", text)


def _plot(name: str) -> Plot:
    x, y = Axis(f"{name}, m", 1, 100, is_log=True), Axis("share", 0.01, 10, is_log=True)
    points: tuple[tuple[float, float | None], ...] = ((1.0, 5.0), (2.0, None), (4.0, 0.5), (5, 0.4))
    return Plot(name, x, y, (Curve(name, "c", points),), (Level(1.0, name),),
                (Spot("A", 4.0, 0.5, name),), (name,))  # fmt: skip


def _bars(name: str) -> Bars:
    bar = Bar(name, (Piece("A", 0, 5), Piece("B", 5, 5.001)), Mark(7.0, name), name)
    return Bars(name, Axis(f"{name}, W", 0, 8), (bar,), (("A", name), ("B", name)), (name,))


def _rings(name: str) -> Rings:
    return Rings(name, "ft", (Ring(10, "o", name),), 12.0, name, (name,))


@pytest.mark.parametrize("made", [_plot, _bars, _rings])
def test_hostile_text_is_text(made: Callable[[str], Picture]) -> None:
    """Markup, escapes and direction marks in a name are words in the picture, and only words."""
    picture = made(HOSTILE)
    svg = picture_svg(picture)
    root = parsed(picture)

    assert not root.findall(f".//{SVG}script")
    assert "A<script" in words(root)
    for bad in ("\x1b", "\u202e", "\x00", "\ufffe"):
        assert bad not in svg


def test_a_curve_is_not_joined_over_what_is_not_shown() -> None:
    """A missing point parts the line, and a hatched strip stands where it is missing."""
    root = parsed(_plot("x"))
    solid = [e for e in root.iter(f"{SVG}path") if e.attrib.get("stroke") == "#0072B2"]
    runs = [e.attrib["d"] for e in solid if " L " in e.attrib["d"] or e.attrib["d"].count(" ") == 2]

    assert len(runs) >= 2
    assert any(e.attrib.get("id") == "not-shown" for e in root.iter(f"{SVG}pattern"))
    assert "not shown there" in words(root)


def test_two_curves_are_told_apart_without_colour() -> None:
    """The second curve has dashes and a mark of its own."""
    one, two = (Curve(n, n, ((1.0, 1.0), (2.0, 2.0))) for n in "cu")
    both = Plot("t", Axis("x, m", 0, 3), Axis("y, m", 0, 3), (one, two))
    root = parsed(both)
    dashes = {e.attrib.get("stroke-dasharray", "") for e in root.iter(f"{SVG}path")
              if e.attrib.get("stroke-width") == "2"}  # fmt: skip

    assert len(dashes) == 2


def test_categories_differ_by_their_pattern(pictures: dict[str, Picture]) -> None:
    """Where more than one region is drawn, each has a digit or a sign in the legend."""
    root = parsed(pictures["section"])
    ids = {e.attrib["id"] for e in root.iter(f"{SVG}pattern")}

    assert "category-unknown" in ids
    assert "?" in words(root)
