"""Current through a body, ground-fault interrupters, and instruments against circuits."""

from __future__ import annotations

import pytest

from checklist.calculations import CALCULATIONS, Outcome, Result, run
from checklist.rulebook import Book
from tests.rulebook.clubs import book_with, overlay

_TOUCH = {
    "voltage": "120 V",
    "kind": "ac",
    "body": "iec-479-1994",
    "skin": "dry",
    "effects": "osha-3075",
}
_METER = {
    "circuit": "fixed-wiring",
    "circuit-voltage": "240 V",
    "meter-category": "III",
    "meter-voltage": "600 V",
}


def touch(book: Book, **more: str) -> Result:
    return run("body-current", {**_TOUCH, **more}, book).result


def meter(book: Book, **more: str) -> Result:
    changed = {name.replace("_", "-"): value for name, value in more.items()}
    return run("meter-category", {**_METER, **changed}, book).result


def milliamperes(result: Result) -> float:
    return {o.name: o.quantity for o in result.outputs}["current"].number("mA")


def test_the_edition_of_the_table_is_named_and_matters(book: Book) -> None:
    """100 V through 1200 ohm (1994) is 83 mA, through 990 ohm (2005, from memory) 101 mA."""
    old = touch(book, voltage="100 V")
    new = touch(book, voltage="100 V", body="iec-60479-2005")

    assert milliamperes(old) == pytest.approx(83.3333, abs=1e-3)
    assert milliamperes(new) == pytest.approx(101.0101, abs=1e-3)
    assert any("1994" in line for line in old.lines)
    assert any("2005" in line for line in new.lines)


def test_between_two_rows_the_strict_one_is_taken(book: Book) -> None:
    """120 V lies between 100 V (1200 ohm) and 220 V (1000 ohm): 1000 ohm, the larger current."""
    assert milliamperes(touch(book)) == pytest.approx(120)


def test_above_the_table_it_is_not_shown_and_still_over(book: Book) -> None:
    """At 240 V the table has ended: said so, and over by its last row."""
    result = touch(book, voltage="240 V")

    assert result.outcome is Outcome.OVER
    assert any("not printed above 220 V" in stop for stop in result.stops)


def test_wet_skin_doubles_the_current(book: Book) -> None:
    """A wet body may have half the impedance (IEC 60479-1); unknown skin counts as wet."""
    dry, wet = touch(book), touch(book, skin="wet")

    assert milliamperes(wet) == pytest.approx(2 * milliamperes(dry))
    assert milliamperes(touch(book, skin="unknown")) == milliamperes(wet)


@pytest.mark.parametrize(
    ("kind", "voltage", "outcome"),
    [
        ("ac", "49.9 V", Outcome.WITHIN),
        ("ac", "50 V", Outcome.OVER),
        ("dc", "99.9 V", Outcome.WITHIN),
        ("dc", "100 V", Outcome.OVER),
    ],
)
def test_where_the_thresholds_begin(kind: str, voltage: str, outcome: Outcome, book: Book) -> None:
    """LBNL and NFPA 70E 350.9: 50 V and 5 mA AC, 100 V and 40 mA DC, both together."""
    assert touch(book, kind=kind, voltage=voltage).outcome is outcome


def test_the_two_tables_of_effects_disagree_and_are_named(book: Book) -> None:
    """120 mA: extreme pain in OSHA 3075, beyond the fibrillation threshold in NIOSH 98-131."""
    osha = " ".join(touch(book).cautions)
    niosh = " ".join(touch(book, effects="niosh-98-131").cautions)

    assert "OSHA 3075" in osha
    assert "extreme pain" in osha
    assert "NIOSH 98-131" in niosh
    assert "fibrillation" in niosh


def test_a_current_below_every_row_is_said_to_be(book: Book) -> None:
    """NIOSH's table begins at 16 mA; below it nothing is made up."""
    result = touch(book, voltage="5 V", effects="niosh-98-131")

    assert "below every row" in " ".join(result.cautions)


@pytest.mark.parametrize("name", ["body-current", "ground-fault-trip"])
def test_pictures_never_permit(name: str) -> None:
    """A band of a table and a trip time are no permission."""
    assert CALCULATIONS[name].only_stops


@pytest.mark.parametrize(
    ("current", "seconds"), [("6 mA", 5.594), ("264 mA", 0.02498), ("5 A", 0.02498)]
)
def test_the_curve_stops_falling_at_its_end(current: str, seconds: float, book: Book) -> None:
    """UL 943: from 264 mA on the time is 25 ms, not less."""
    result = run("ground-fault-trip", {"current": current, "path": "to-ground"}, book).result
    time = {o.name: o.quantity for o in result.outputs}["time"].number("s")

    assert time == pytest.approx(seconds, rel=1e-3)


@pytest.mark.parametrize(
    ("current", "word"), [("3.999 mA", "must not open"), ("4 mA", "may open or not")]
)
def test_below_six_milliamperes_nothing_is_promised(current: str, word: str, book: Book) -> None:
    """Class A: below 4 mA it must not open, from 6 mA it must; between, nobody knows."""
    result = run("ground-fault-trip", {"current": current, "path": "to-ground"}, book).result

    assert result.outcome is Outcome.NOT_SHOWN
    assert word in result.says


@pytest.mark.parametrize(
    ("more", "outcome"),
    [
        ({}, Outcome.WITHIN),
        ({"meter_category": "IV"}, Outcome.WITHIN),
        ({"meter_category": "II", "meter_voltage": "1000 V"}, Outcome.OVER),
        ({"meter_category": "none"}, Outcome.OVER),
        ({"meter_voltage": "150 V"}, Outcome.OVER),
        ({"circuit": "service"}, Outcome.OVER),
        ({"circuit": "plugged-in", "meter_category": "II"}, Outcome.WITHIN),
        ({"circuit_voltage": "700 V"}, Outcome.OVER),
        ({"meter_category": "unknown"}, Outcome.NOT_SHOWN),
        ({"circuit_voltage": "unknown"}, Outcome.NOT_SHOWN),
    ],
)
def test_category_voltage_and_impulse_each_count(
    more: dict[str, str], outcome: Outcome, book: Book
) -> None:
    """IEC 61010-1: fixed wiring asks for CAT III; 1000 V CAT II is not as good as 600 V CAT III."""
    assert meter(book, **more).outcome is outcome


def test_a_rating_between_two_rows_bears_the_lower_one(book: Book) -> None:
    """A 500 V CAT III meter is credited with the 4000 V of the 300 V row, not with 6000 V."""
    result = meter(book, meter_voltage="500 V", circuit_voltage="480 V")
    outputs = {o.name: o.quantity.number("V") for o in result.outputs}

    assert outputs == {"impulse-needed": 6000, "impulse-borne": 4000}
    assert result.outcome is Outcome.OVER


@pytest.mark.parametrize(
    ("probe", "outcome"),
    [
        ("15 kV", Outcome.WITHIN),
        ("3001 V", Outcome.WITHIN),
        ("3000 V", Outcome.OVER),
        ("1000 V", Outcome.OVER),
        ("unknown", Outcome.NOT_SHOWN),
        ("", Outcome.OVER),
    ],
)
def test_inside_an_amplifier_only_a_probe_counts(probe: str, outcome: Outcome, book: Book) -> None:
    """No category covers it: a probe rated above the supply, whatever the meter says."""
    more = {"circuit": "inside-high-voltage", "circuit_voltage": "3000 V", "probe_rating": probe}

    assert meter(book, **more).outcome is outcome


def test_above_a_kilovolt_a_category_is_no_answer(book: Book) -> None:
    """1001 V on fixed wiring has no row: a probe is asked for there too."""
    assert meter(book, circuit_voltage="1001 V", meter_category="IV").outcome is Outcome.OVER


@pytest.mark.parametrize(
    ("voltage", "outcome", "says"),
    [
        (
            "50 V",
            Outcome.WITHIN,
            "Current 34.5 mA, at most 50 mA (shock hazard from 50 V and 50 mA AC on)",
        ),
        ("120 V", Outcome.OVER, "reaches 50 mA (shock hazard from 50 V and 50 mA AC on)"),
    ],
)
def test_from_the_threshold_of_voltage_on_the_current_decides(
    voltage: str, outcome: Outcome, says: str
) -> None:
    """A club's threshold of current is held as the shipped one is, below it and from it on."""
    result = touch(book_with(overlay("shock/ac-current", "50 mA")), voltage=voltage)

    assert (result.outcome, says in result.says) == (outcome, True), result
    assert result.decided_by.endswith("shock hazard from 50 V and 50 mA AC on")
