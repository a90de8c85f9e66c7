"""Power lines: everything that can fall, and the larger of two rules."""

from __future__ import annotations

import pytest

from checklist.calculations import Outcome, Result, run
from checklist.rulebook import Book

_MAST = {
    "mast-height": "40 ft",
    "above-top": "5 ft",
    "sideways-reach": "0 ft",
    "line-voltage": "7.2 kV",
    "ground-distance": "90 ft",
}


def line(book: Book, **more: str) -> Result:
    changed = {name.replace("_", "-"): value for name, value in more.items()}
    return run("power-line-distance", {**_MAST, **changed}, book).result


def _needed(result: Result, unit: str = "ft") -> float:
    return {o.name: o.quantity for o in result.outputs}["needed"].number(unit)


@pytest.mark.parametrize(
    ("distance", "outcome"),
    [
        ("67.5 ft", Outcome.WITHIN),
        ("67 ft 6 in", Outcome.WITHIN),
        ("20.574 m", Outcome.WITHIN),
        ("20.5739 m", Outcome.OVER),
        ("67.49 ft", Outcome.OVER),
        ("unknown", Outcome.NOT_SHOWN),
    ],
)
def test_the_distance_at_its_edge(distance: str, outcome: Outcome, book: Book) -> None:
    """45 ft of mast and antenna need 67.5 ft = 20.574 m; equal passes, in either unit."""
    assert line(book, ground_distance=distance).outcome is outcome


def test_mixed_units_are_added_exactly(book: Book) -> None:
    """20 ft + 6.1 m + 10 ft of clearance is 15.244 m, to the last digit."""
    mixed = {"mast_height": "20 ft", "above_top": "0 ft", "sideways_reach": "6.1 m"}

    assert line(book, **mixed, ground_distance="15.244 m").outcome is Outcome.WITHIN
    assert line(book, **mixed, ground_distance="15.2439999 m").outcome is Outcome.OVER


def test_the_larger_of_the_two_rules_decides(book: Book) -> None:
    """A long sideways reach makes the first rule the larger one: 40 + 5 + 33 + 10 = 88 ft."""
    result = line(book, sideways_reach="33 ft")

    assert _needed(result) == 88
    assert result.decided_by == "ground distance: all that can fall + clearance"


def test_everything_counts(book: Book) -> None:
    """A foot more of anything never asks for less."""
    before = _needed(line(book, sideways_reach="30 ft"))
    for name, more in (
        ("mast_height", "41 ft"),
        ("above_top", "6 ft"),
        ("sideways_reach", "31 ft"),
    ):
        assert _needed(line(book, **{"sideways_reach": "30 ft", name: more})) > before


@pytest.mark.parametrize("distance", ["68 ft", "5000 ft"])
def test_an_unknown_voltage_is_not_shown(distance: str, book: Book) -> None:
    """However far away: until the utility has answered, nothing is shown."""
    result = line(book, line_voltage="unknown", ground_distance=distance)

    assert result.outcome is Outcome.NOT_SHOWN
    assert "utility" in result.says


def test_an_unknown_voltage_too_near_is_over(book: Book) -> None:
    """What is too near for the lowest voltage is too near for any."""
    assert line(book, line_voltage="unknown", ground_distance="60 ft").outcome is Outcome.OVER


@pytest.mark.parametrize(
    ("voltage", "needed"),
    [
        ("240 V", 100),
        ("50 kV", 100),
        ("50.001 kV", 105),
        ("200 kV", 105),
        ("350 kV", 110),
        ("350.001 kV", 140),
        ("1000 kV", 140),
    ],
)
def test_clearance_by_voltage(voltage: str, needed: int, book: Book) -> None:
    """The rows of table A are inclusive; above 350 kV 50 ft are presumed (1926.1409)."""
    assert _needed(line(book, line_voltage=voltage, sideways_reach="45 ft")) == needed


def test_above_the_table_only_the_utility_decides(book: Book) -> None:
    """Above 1000 kV nothing is extrapolated; the utility's figure is taken, and 50 ft at least."""
    typed = {"line_voltage": "1100 kV", "ground_distance": "1000 ft", "sideways_reach": "45 ft"}

    assert line(book, **typed).outcome is Outcome.NOT_SHOWN
    assert _needed(line(book, **typed, utility_clearance="60 ft")) == 150
    assert _needed(line(book, **typed, utility_clearance="10 ft")) == 140


def test_a_utility_can_ask_for_more_but_not_for_less(book: Book) -> None:
    """The larger of the utility's clearance and the table's is taken."""
    assert _needed(line(book, sideways_reach="45 ft", utility_clearance="30 ft")) == 120
    assert _needed(line(book, sideways_reach="45 ft", utility_clearance="3 ft")) == 100


@pytest.mark.parametrize("name", ["mast_height", "above_top", "sideways_reach"])
def test_an_unknown_part_is_not_shown(name: str, book: Book) -> None:
    """Each part that can fall must be known."""
    assert line(book, **{name: "unknown"}).outcome is Outcome.NOT_SHOWN


def test_all_unknown_is_not_shown(book: Book) -> None:
    """Nothing known is not an error."""
    unknown = {name.replace("-", "_"): "?" for name in _MAST}

    assert line(book, **unknown).outcome is Outcome.NOT_SHOWN
