"""Axes and plots as text: where values land, what is written beside them, how wide it is."""

from __future__ import annotations

import pytest

from checklist.pictures.axes import Axis
from checklist.pictures.plots import MORE, Curve, Level, Plot, Spot, letter
from checklist.pictures.plottext import plot_text

X = Axis("metres, m", 0.0, 10.0)
Y = Axis("share", 0.01, 100.0, is_log=True)


def _field(lines: tuple[str, ...], rows: int) -> list[str]:
    return [line[10:] for line in lines[2 : 2 + rows]]


@pytest.mark.parametrize(
    ("value", "share"),
    [(0.01, 0.0), (1.0, 0.5), (100.0, 1.0), (1e6, 1.0), (1e-9, 0.0), (0.0, 0.0), (-1.0, 0.0)],
)
def test_a_power_of_ten_lies_halfway_and_what_is_beyond_at_the_end(
    value: float, share: float
) -> None:
    """On an axis by powers of ten equal ratios are equal steps; nothing leaves the field."""
    assert Y.share(value) == pytest.approx(share)


@pytest.mark.parametrize(
    ("axis", "most", "ticks"),
    [
        (X, 5, (0, 2, 4, 6, 8, 10)),
        (Axis("", -7.3, 12.9), 5, (-5, 0, 5, 10)),
        (Y, 5, (0.01, 0.1, 1, 10, 100)),
        (Axis("", 1.0, 50.0, is_log=True), 5, (1, 2, 5, 10, 20, 50)),
        (Axis("", 0.1, 1e5, is_log=True), 4, (0.1, 10, 1000, 1e5)),
    ],
)
def test_ticks_are_round_values_inside(axis: Axis, most: int, ticks: tuple[float, ...]) -> None:
    """Ticks are 1, 2 or 5 by powers of ten, none outside the range."""
    assert axis.ticks(most) == pytest.approx(ticks)


def test_a_value_stands_in_its_row_and_column() -> None:
    """The limit of 1 is the middle row of four decades; a point at 5 of 10 the middle column."""
    plot = Plot("t", X, Y, (Curve("a", "a", ((5.0, 10.0),)),), (Level(1.0, "the limit"),))
    lines = plot_text(plot, 35, 9)
    field = _field(lines, 9)

    assert [row for row, text in enumerate(field) if set(text) == {"-"}] == [4]
    assert [(r, t.index("a")) for r, t in enumerate(field) if "a" in t] == [(2, 12)]
    assert lines[2].split()[0] == "100"
    assert lines[-2:] == ("  a  a", "  -  the limit")


def test_two_curves_in_one_place_and_what_is_not_shown_are_told_without_colour() -> None:
    """Where curves meet stands =, where a curve has no value stands ?, each in the legend."""
    one = Curve("first", "a", ((0.0, 1.0), (5.0, 1.0), (10.0, None)))
    two = Curve("second", "b", ((0.0, 1.0), (5.0, 50.0)))
    lines = plot_text(Plot("t", X, Y, (one, two)), 35, 9)
    field = _field(lines, 9)

    assert field[4][0] == "="
    assert field[8][-1] == "?"
    assert "  =  two curves in one place" in lines
    assert "  ?  not shown there" in lines


@pytest.mark.parametrize("width", [34, 60, 80, 130])
def test_no_drawn_line_is_wider_than_asked(width: int) -> None:
    """Field, axis and numbers stay inside the width, at any width."""
    x = Axis("frequency, MHz", 0.1, 1e5, is_log=True)
    lines = plot_text(Plot("t", x, Y, spots=(Spot("A", 1e5, 1.0, "x"),)), width, 8)

    assert max(map(len, lines)) <= width
    assert "100000" in lines[-3].split() or width < 60


def test_letters_do_not_run_out() -> None:
    """After the last letter every spot is called by one common mark."""
    assert (letter(0), letter(25), letter(26), letter(400)) == ("A", "Z", MORE, MORE)
