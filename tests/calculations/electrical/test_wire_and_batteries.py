"""Building wire, batteries, the neutral of a generator, and alarms."""

from __future__ import annotations

import pytest

from checklist.calculations import CALCULATIONS, Outcome, Result, run
from checklist.rulebook import Book

_WIRE = {"awg": "12", "temperature-rating": "75", "device": "20 A", "current": "20 A"}
_FUSE = {
    "voltage": "12.6 V",
    "loop-resistance": "5 mohm",
    "fuse": "40 A",
    "interrupt-rating": "2520 A",
    "wire": "40 A",
    "load": "40 A",
    "distance": "7 in",
}
_AIR = {"kind": "vented", "charge": "float", "cells": "6", "capacity": "100 Ah"}


def calculate(name: str, typed: dict[str, str], book: Book) -> Result:
    return run(name, typed, book).result


@pytest.mark.parametrize(
    ("more", "outcome"),
    [
        ({}, Outcome.WITHIN),
        ({"device": "25 A"}, Outcome.OVER),
        ({"current": "20.1 A"}, Outcome.OVER),
        ({"temperature-rating": "90", "device": "30 A"}, Outcome.OVER),
        ({"awg": "8", "device": "50 A", "current": "50 A"}, Outcome.WITHIN),
        ({"awg": "8", "device": "51 A", "current": "50 A"}, Outcome.OVER),
        ({"temperature-rating": "unknown"}, Outcome.NOT_SHOWN),
        ({"awg": "unknown"}, Outcome.NOT_SHOWN),
    ],
)
def test_wire_and_breaker(more: dict[str, str], outcome: Outcome, book: Book) -> None:
    """12 AWG carries 25 A at 75 °C (NEC 310.16) and still takes no more than 20 A (240.4(D))."""
    assert calculate("conductor-ampacity", {**_WIRE, **more}, book).outcome is outcome


def test_the_gauges_offered_are_those_of_the_table(book: Book) -> None:
    """Nothing can be chosen that has no row."""
    awg = next(i for i in CALCULATIONS["conductor-ampacity"].inputs if i.name == "awg")

    assert set(awg.choices or {}) == set(book.table("ampacity/copper").rows)


@pytest.mark.parametrize(
    ("more", "outcome"),
    [
        ({}, Outcome.WITHIN),
        ({"interrupt-rating": "2519 A"}, Outcome.OVER),
        ({"fuse": "41 A"}, Outcome.OVER),
        ({"load": "41 A"}, Outcome.OVER),
        ({"distance": "7.1 in"}, Outcome.OVER),
        ({"loop-resistance": "unknown"}, Outcome.NOT_SHOWN),
        ({"interrupt-rating": "unknown"}, Outcome.NOT_SHOWN),
    ],
)
def test_the_fuse_at_a_battery(more: dict[str, str], outcome: Outcome, book: Book) -> None:
    """12.6 V through 5 mohm is 2520 A (Ohm): each figure holds by itself, equal passes."""
    assert calculate("battery-fuse", {**_FUSE, **more}, book).outcome is outcome


def test_a_distance_from_memory_gives_a_caution(book: Book) -> None:
    """The 7 in are from memory, unverified: within says so."""
    cautions = " ".join(calculate("battery-fuse", _FUSE, book).cautions)

    assert "from memory" in cautions


@pytest.mark.parametrize(
    ("more", "outcome"),
    [
        ({"opening": "4.2 cm2"}, Outcome.WITHIN),
        ({"opening": "4.19 cm2"}, Outcome.OVER),
        ({"air-flow": "0.15 m3/h"}, Outcome.WITHIN),
        ({"air-flow": "0.149 m3/h"}, Outcome.OVER),
        ({"opening": "9 cm2", "air-flow": "0.149 m3/h"}, Outcome.OVER),
        ({}, Outcome.NOT_SHOWN),
        ({"kind": "other", "opening": "900 cm2"}, Outcome.NOT_SHOWN),
        ({"charge": "unknown", "opening": "900 cm2"}, Outcome.NOT_SHOWN),
    ],
)
def test_air_for_a_battery(more: dict[str, str], outcome: Outcome, book: Book) -> None:
    """IEC 62485-2: 0.15 m3/h and 28 Q = 4.2 cm2; what was given must each be enough."""
    assert calculate("battery-ventilation", {**_AIR, **more}, book).outcome is outcome


def test_hydrogen_agrees_with_the_law_of_electrolysis() -> None:
    """A second route: Faraday, 3600 C / (2 x 96485 C/mol) x 22.414 L/mol is 0.418 L per Ah."""
    litres = 3600 / (2 * 96485.33212) * 22.413969

    assert litres == pytest.approx(0.42, abs=0.005)


@pytest.mark.parametrize(
    ("level", "latest"),
    [("70 ppm", 240), ("149 ppm", 240), ("150 ppm", 50), ("400 ppm", 15), ("5000 ppm", 15)],
)
def test_an_alarm_may_be_silent_that_long(level: str, latest: float, book: Book) -> None:
    """UL 2034: the row of the highest concentration reached; every one is over the workday's 50."""
    result = calculate("co-alarm", {"concentration": level}, book)

    assert {o.name: o.quantity for o in result.outputs}["latest"].number("min") == latest
    assert result.outcome is Outcome.OVER


def test_a_silent_alarm_is_not_clean_air(book: Book) -> None:
    """At 30 and at 60 ppm there is no time by which it sounds; within permits nothing."""
    low = calculate("co-alarm", {"concentration": "30 ppm"}, book)
    more = calculate("co-alarm", {"concentration": "60 ppm"}, book)

    assert not low.outputs
    assert "for 30 d: a silent alarm is not clean air" in low.cautions[0]
    assert "no row says" in more.cautions[0]
    assert more.outcome is Outcome.OVER
    assert CALCULATIONS["co-alarm"].only_stops


@pytest.mark.parametrize("unknown", ["connection", "neutral", "frame"])
def test_an_unknown_of_the_neutral_stops(unknown: str, book: Book) -> None:
    """Each of the three must be known."""
    typed = {"connection": "neutral-solid", "neutral": "floating", "frame": "bonded"}
    result = calculate("generator-neutral", {**typed, unknown: "unknown"}, book)

    assert result.outcome is Outcome.NOT_SHOWN


def test_a_cord_into_a_wall_outlet_stops_whatever_else(book: Book) -> None:
    """NEC 702.5: feeding back is a stop even where the rest is unknown."""
    typed = {"connection": "wall-outlet", "neutral": "unknown", "frame": "unknown"}

    assert calculate("generator-neutral", typed, book).outcome is Outcome.OVER


def test_the_circular_mil_form_agrees_with_the_resistance_table(book: Book) -> None:
    """A second route: 2 K I L / cmil with K = 12.9, a textbook form, 5.93 V against 5.94 V.

    K is rounded and stands for another temperature, so that 3 % is allowed.
    """
    typed = {
        "awg": "12",
        "wire": "stranded",
        "length": "100 ft",
        "length-is": "one-way",
        "current": "15 A",
        "supply-voltage": "120 V",
    }
    drop = {o.name: o.quantity for o in calculate("voltage-drop", typed, book).outputs}["drop"]

    assert drop.number("V") == pytest.approx(2 * 12.9 * 15 * 100 / 6530, rel=0.03)
