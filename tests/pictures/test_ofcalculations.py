"""The pictures of findings: their numbers are the finding's own."""

from __future__ import annotations

from dataclasses import replace

import pytest

from checklist.calculations import Finding, as_data, from_data, run
from checklist.pictures.bars import Bars
from checklist.pictures.drawing import picture_svg, picture_text
from checklist.pictures.ofcalculations import HAVE_PICTURES, picture_of
from checklist.pictures.plots import Plot
from checklist.pictures.rings import Rings
from checklist.rulebook import Book
from tests.calculations.examples import WITHIN

LOADS, LINE = WITHIN["generator-load"], WITHIN["power-line-distance"]


def bars(book: Book, **changed: str) -> Bars:
    made = picture_of(run("generator-load", {**LOADS, **changed}, book))

    assert isinstance(made, Bars)
    return made


def rings(book: Book, **changed: str) -> Rings:
    typed = {**LINE, **{key.replace("_", "-"): value for key, value in changed.items()}}
    made = picture_of(run("power-line-distance", typed, book))

    assert isinstance(made, Rings)
    return made


def output(finding: Finding, name: str, unit: str) -> float:
    return next(o.quantity.number(unit) for o in finding.result.outputs if o.name == name)


def test_loads_are_stacked_to_what_was_computed(book: Book) -> None:
    """700 + 900 + 600 W behind each other, 1500 W of the fridge's start on top."""
    finding = run("generator-load", LOADS, book)
    running, starting = bars(book).bars

    assert [(p.start, p.end) for p in running.pieces] == [(0, 700), (700, 1600), (1600, 2200)]
    assert starting.pieces[-1].start == 2200
    assert starting.pieces[-1].end == output(finding, "peak", "W") == 3700
    assert running.mark is not None
    assert starting.mark is not None
    assert running.mark.value == pytest.approx(output(finding, "running-rating", "W"))
    assert starting.mark.value == pytest.approx(output(finding, "surge-rating", "W"))


def test_an_unknown_load_is_not_drawn_and_says_so(book: Book) -> None:
    """A load of unknown watts takes no length, is named in the legend, and the finding stops."""
    made = bars(book, loads="fridge, 700 W, 2200 W, 1, R1, 20 A\npump, ?, ?, 1, R1, 20 A")
    text = "\n".join(picture_text(made, 80))

    assert len(made.bars[0].pieces) == 1
    assert "pump: running unknown, starting unknown (not drawn)" in text
    assert "NOT SHOWN to be safe: stop" in text


def test_an_overload_passes_its_mark_and_says_over(book: Book) -> None:
    """6000 W on a set of 4776 W: the bar runs past the line, and the words say over."""
    made = bars(book, loads="heater, 6000 W, 6000 W, both, R3, 30 A")
    mark = made.bars[0].mark

    assert mark is not None
    assert made.bars[0].pieces[-1].end > mark.value
    assert any(note.startswith("OVER: stop.") for note in made.notes)


def test_the_circles_are_the_distances_and_the_line_stands_where_it_was_measured(
    book: Book,
) -> None:
    """Mast 40 ft, 67.5 ft by the height, 69 ft of all that can fall; the line at 90 ft."""
    made = rings(book)

    assert [ring.radius for ring in made.rings] == pytest.approx([40, 67.5, 69])
    assert made.line_at == pytest.approx(90)
    assert made.unit == "ft"


def test_an_unknown_distance_draws_no_line(book: Book) -> None:
    """Nothing is drawn where nothing was measured, and both drawings say what is missing."""
    made = rings(book, ground_distance="unknown")

    assert made.line_at is None
    assert "#" not in "".join(picture_text(made, 60, 20)[1:21])
    assert "whose distance on the ground is unknown" in picture_svg(made).replace("\n", " ")


def test_the_density_falls_to_the_limit_where_it_was_computed(book: Book) -> None:
    """The curve meets the limit where the finding says, and stops where the formula does.

    A wavelength over 2 pi is 0.327 m at 146 MHz.
    """
    finding = run("power-density", WITHIN["power-density"], book)
    made = picture_of(finding)

    assert isinstance(made, Plot)
    spot, level = made.spots[0], made.levels[0]
    shown = [(x, y) for x, y in made.curves[0].points if y is not None]
    nearest = min(shown, key=lambda p: abs(p[1] / level.value - 1))

    assert (spot.x, spot.y) == pytest.approx((20, output(finding, "density", "mW/cm2")))
    assert level.value == pytest.approx(0.2)
    assert nearest[0] == pytest.approx(output(finding, "meets", "m"), rel=0.05)
    assert all(y is None for x, y in made.curves[0].points if x < 0.3268)
    assert min(x for x, _ in shown) == pytest.approx(0.3268, rel=0.1)


def test_unknown_parts_say_that_the_circles_are_larger(book: Book) -> None:
    """Without a voltage the least clearance is drawn, and is said to be the least."""
    assert any("larger than drawn" in note for note in rings(book, line_voltage="?").notes)


@pytest.mark.parametrize("name", sorted(HAVE_PICTURES))
def test_a_finding_read_back_from_a_record_has_the_same_picture(name: str, book: Book) -> None:
    """What was stored is drawn as what was just run."""
    finding = run(name, WITHIN[name], book)

    assert picture_of(from_data(as_data(finding))) == picture_of(finding)


def test_other_findings_have_none(book: Book) -> None:
    """No picture for another calculation, another version, or inputs that no longer parse."""
    finding = run("power-line-distance", LINE, book)
    ladder = run("ladder-set-back", WITHIN["ladder-set-back"], book)

    assert picture_of(ladder) is None
    assert picture_of(replace(finding, version=99)) is None
    assert picture_of(replace(finding, given={"mast-height": "tall"})) is None


@pytest.mark.parametrize(("width", "height"), [(40, 9), (78, 21), (120, 40)])
def test_the_circles_as_text_fit_and_are_round(width: int, height: int, book: Book) -> None:
    """The plan keeps to its columns, and as far across as down, cells being twice as high."""
    made = rings(book)
    lines = picture_text(made, width, height)
    marked = [line for line in lines[1 : height + 1] if "o" in line]
    across = max(line.rindex("o") for line in marked) - min(line.index("o") for line in marked)

    assert max(map(len, lines[1:height])) <= width
    assert across / 2 == pytest.approx(len(marked) - 1, abs=1.5)
