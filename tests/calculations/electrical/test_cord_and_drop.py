"""Cords: what they carry, and what they take away."""

from __future__ import annotations

import pytest

from checklist.calculations import InputRefused, Outcome, Result, run
from checklist.rulebook import Book

_CORD = {"awg": "14", "current-carrying": "2", "plug": "50 A", "continuous": "no"}
_RUN = {
    "awg": "12",
    "wire": "stranded",
    "length": "100 ft",
    "length-is": "one-way",
    "current": "15 A",
    "supply-voltage": "120 V",
}


def cord(book: Book, **more: str) -> Result:
    changed = {name.replace("_", "-"): value for name, value in more.items()}
    return run("cord-current", {**_CORD, **changed}, book).result


def drop(book: Book, **more: str) -> Result:
    changed = {name.replace("_", "-"): value for name, value in more.items()}
    return run("voltage-drop", {**_RUN, **changed}, book).result


def _number(result: Result, name: str, unit: str) -> float:
    return {o.name: o.quantity for o in result.outputs}[name].number(unit)


@pytest.mark.parametrize(
    ("carrying", "current", "outcome"),
    [
        ("2", "18 A", Outcome.WITHIN),
        ("2", "18.001 A", Outcome.OVER),
        ("3", "15 A", Outcome.WITHIN),
        ("3", "15.001 A", Outcome.OVER),
        ("unknown", "15 A", Outcome.NOT_SHOWN),
        ("unknown", "18 A", Outcome.NOT_SHOWN),
        ("unknown", "18.001 A", Outcome.OVER),
    ],
)
def test_the_cord_at_its_edge(carrying: str, current: str, outcome: Outcome, book: Book) -> None:
    """14 AWG carries 18 A with two and 15 A with three conductors; NEC table 400.5(A)(1)."""
    assert cord(book, current_carrying=carrying, current=current).outcome is outcome


@pytest.mark.parametrize(
    ("continuous", "current", "outcome", "cautions"),
    [
        ("no", "12 A", Outcome.WITHIN, 0),
        ("no", "12.01 A", Outcome.WITHIN, 1),
        ("no", "15 A", Outcome.WITHIN, 1),
        ("no", "15.01 A", Outcome.OVER, 0),
        ("yes", "12 A", Outcome.WITHIN, 1),
        ("yes", "12.01 A", Outcome.OVER, 0),
        ("unknown", "12 A", Outcome.NOT_SHOWN, 0),
    ],
)
def test_the_smaller_of_cord_and_plug_decides(
    continuous: str, current: str, outcome: Outcome, cautions: int, book: Book
) -> None:
    """A 15 A plug is the limit of an 18 A cord, and for hours 15 A / 125 % = 12 A."""
    result = cord(book, plug="15 A", continuous=continuous, current=current)

    assert result.outcome is outcome
    assert len(result.cautions) == cautions


def test_power_over_voltage(book: Book) -> None:
    """2160 W at 120 V are 18 A exactly; half the voltage is twice the current."""
    assert cord(book, power="2160 W", voltage="120 V").outcome is Outcome.WITHIN
    assert cord(book, power="2.16 kW", voltage="60 V").outcome is Outcome.OVER
    assert cord(book, power="2160 VA", voltage="120 V").outcome is Outcome.WITHIN


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({}, "current"),
        ({"current": "5 A", "power": "600 W", "voltage": "120 V"}, "current"),
        ({"power": "600 W"}, "voltage"),
        ({"voltage": "120 V"}, "current"),
        ({"current": "5 A", "awg": "8"}, "awg"),
    ],
)
def test_the_load_is_given_once(more: dict[str, str], field: str, book: Book) -> None:
    """Current, or power with voltage: nothing else, and no gauge beyond the table."""
    with pytest.raises(InputRefused) as refused:
        cord(book, **more)

    assert refused.value.field == field


def test_an_unknown_load_is_not_shown(book: Book) -> None:
    """Neither the current nor the power may be unknown."""
    assert cord(book, current="?").outcome is Outcome.NOT_SHOWN
    assert cord(book, power="?", voltage="120 V").outcome is Outcome.NOT_SHOWN


def test_the_circular_mil_form_agrees(book: Book) -> None:
    """A second road to the same drop: 2 K I L / cmil with K = 12.9 and 6530 cmil for 12 AWG.

    Handbook form; the constant is rounded to three digits, so half a percent is allowed.
    """
    by_mils = 2 * 12.9 * 15 * 100 / 6530

    assert _number(drop(book), "drop", "V") == pytest.approx(by_mils, rel=0.005)


def test_stranded_and_solid_differ(book: Book) -> None:
    """The solid wire of the same gauge loses less: 2 x 15 A x 1.93 ohm/kft x 100 ft = 5.79 V."""
    assert _number(drop(book, wire="solid"), "drop", "V") == pytest.approx(5.79)


def test_a_size_without_a_solid_row_is_not_shown(book: Book) -> None:
    """No solid value is made up where the table here has none."""
    assert drop(book, wire="solid", awg="2").outcome is Outcome.NOT_SHOWN


def test_there_and_back_is_half_of_one_way(book: Book) -> None:
    """The same length read as the loop gives half of the drop."""
    loop = _number(drop(book, length_is="there-and-back"), "drop", "V")

    assert loop == pytest.approx(_number(drop(book), "drop", "V") / 2)


def test_temperature_changes_the_resistance(book: Book) -> None:
    """R2 = R1 (1 + 0.00323 (T2 - 75)), NEC chapter 9 table 8: at 25 degC 0.8385 of it."""
    cool = _number(drop(book, conductor_temperature="25 degC"), "drop", "V")
    same = _number(drop(book, conductor_temperature="167 degF"), "drop", "V")

    assert cool == pytest.approx(5.94 * 0.8385)
    assert same == pytest.approx(5.94)


@pytest.mark.parametrize(
    ("current", "outcome", "cautions"),
    [
        ("9 A", Outcome.WITHIN, 0),
        ("9.1 A", Outcome.WITHIN, 1),
        ("15.1 A", Outcome.WITHIN, 1),
        ("15.2 A", Outcome.WITHIN, 1),
        ("30.3 A", Outcome.WITHIN, 1),
        ("30.4 A", Outcome.OVER, 1),
    ],
)
def test_three_and_five_percent_are_cautions(
    current: str, outcome: Outcome, cautions: int, book: Book
) -> None:
    """3 % (9.09 A here) and 5 % (15.15 A) caution as notes; 10 % (30.3 A) stops."""
    result = drop(book, current=current)

    assert result.outcome is outcome
    assert len(result.cautions) == cautions


def test_the_five_percent_note_is_named(book: Book) -> None:
    """Above 5 % it is that note, and no longer the one of 3 %, that is shown."""
    assert "over 3 %" in drop(book, current="15.1 A").cautions[0]
    assert "over 5 %" in drop(book, current="15.2 A").cautions[0]


@pytest.mark.parametrize(("volts", "cautions"), [("66 V", 0), ("65.9 V", 1)])
def test_a_drop_of_just_three_per_cent_needs_no_advice(
    volts: str, cautions: int, book: Book
) -> None:
    """NEC 210.19(A) note: over 3 %. 10 A x 1.98 ohm/kft x 100 ft are 1.98 V, 3 % of 66 V."""
    result = drop(book, current="10 A", length="50 ft", supply_voltage=volts)

    assert len(result.cautions) == cautions, result
