"""Bonding conductors, antenna wire, leads to ground, metals in a joint, side flash."""

from __future__ import annotations

import math

import pytest

from checklist.calculations import CALCULATIONS, InputRefused, Outcome, Result, run
from checklist.calculations.bonding.gauge import (
    SIZES,
    area_cmil,
    diameter_in,
    gauge_number,
    gauge_text,
)
from checklist.calculations.bonding.lead_inductance import strap_inductance, wire_inductance
from checklist.rulebook import Book


def calculate(name: str, typed: dict[str, str], book: Book) -> Result:
    return run(name, typed, book).result


def output(result: Result, name: str, unit: str) -> float:
    return {o.name: o.quantity for o in result.outputs}[name].number(unit)


@pytest.mark.parametrize(
    ("text", "number"),
    [("6 AWG", 6), ("6AWG", 6), (" 6  awg ", 6), ("1/0 AWG", 0), ("4/0 AWG", -3), ("40 AWG", 40)],
)
def test_a_gauge_is_read(text: str, number: int) -> None:
    """Written as the trade writes it, in any case."""
    assert gauge_number(text) == number


@pytest.mark.parametrize("text", ["6", "AWG", "41 AWG", "0 AWG", "5/0 AWG", "0/0 AWG", "6 mm", ""])
def test_what_is_no_gauge_is_not_read(text: str) -> None:
    """A bare number is not one, nor what lies beyond the scale."""
    assert gauge_number(text) is None


@pytest.mark.parametrize(("name", "number"), SIZES.items())
def test_a_gauge_is_written_as_it_is_read(name: str, number: int) -> None:
    """Every size that can be chosen is written back the same."""
    assert gauge_text(number) == f"{name} AWG"
    assert gauge_number(gauge_text(number)) == number


@pytest.mark.parametrize(
    ("number", "printed", "last_digit"),
    [
        pytest.param(12, 6530, 10, id="NEC chapter 9 table 8, 12 AWG, read"),
        pytest.param(8, 16510, 10, id="NEC chapter 9 table 8, 8 AWG, from memory"),
        pytest.param(-3, 211600, 100, id="NEC chapter 9 table 8, 4/0 AWG, from memory"),
    ],
)
def test_areas_are_the_printed_ones(number: int, printed: int, last_digit: int) -> None:
    """The gauge's definition gives the circular mils that the code prints."""
    assert area_cmil(number) == pytest.approx(printed, abs=last_digit / 2)


def test_the_gauge_is_what_its_two_ends_say() -> None:
    """ASTM B258: 36 AWG is 0.0050 in, 4/0 is 0.4600 in."""
    assert diameter_in(36) == pytest.approx(0.0050)
    assert diameter_in(-3) == pytest.approx(0.4600)


@pytest.mark.parametrize(
    ("typed", "outcome"),
    [
        ({"purpose": "jumper", "awg": "6"}, Outcome.WITHIN),
        ({"purpose": "jumper", "awg": "2/0"}, Outcome.WITHIN),
        ({"purpose": "jumper", "awg": "8"}, Outcome.OVER),
        ({"purpose": "antenna", "awg": "10"}, Outcome.WITHIN),
        ({"purpose": "antenna", "awg": "12"}, Outcome.OVER),
        ({"purpose": "antenna", "awg": "17", "material": "copper-clad steel"}, Outcome.WITHIN),
        ({"purpose": "antenna", "awg": "18", "material": "bronze"}, Outcome.OVER),
        ({"purpose": "antenna", "awg": "6", "material": "aluminium"}, Outcome.NOT_SHOWN),
        ({"purpose": "jumper", "awg": "2", "material": "bronze"}, Outcome.NOT_SHOWN),
        ({"purpose": "equipment", "awg": "10", "device": "60 A"}, Outcome.WITHIN),
        ({"purpose": "equipment", "awg": "10", "device": "61 A"}, Outcome.OVER),
        ({"purpose": "equipment", "awg": "4/0", "device": "401 A"}, Outcome.NOT_SHOWN),
        ({"purpose": "rod-alone", "awg": "6"}, Outcome.WITHIN),
        ({"purpose": "service-electrode", "awg": "4/0", "service": "unknown"}, Outcome.NOT_SHOWN),
        ({"purpose": "service-electrode", "awg": "2/0", "service": "over 1100"}, Outcome.OVER),
        ({"purpose": "service-electrode", "awg": "3/0", "service": "over 1100"}, Outcome.WITHIN),
        ({"purpose": "jumper", "awg": "unknown"}, Outcome.NOT_SHOWN),
    ],
)
def test_bonding_conductors(typed: dict[str, str], outcome: Outcome, book: Book) -> None:
    """810.21(H) and (J), 250.66, 250.122: a larger number is thinner, the oughts are thicker."""
    assert calculate("bonding-conductor", {"material": "copper", **typed}, book).outcome is outcome


def test_aluminium_keeps_off_the_earth(book: Book) -> None:
    """810.21(A): 18 in outdoors, whatever its gauge; touching earth or masonry is 0 in."""
    typed = {"purpose": "antenna", "awg": "4/0", "material": "aluminium"}

    for height, outcome in (("18 in", Outcome.WITHIN), ("0 in", Outcome.OVER)):
        result = calculate("bonding-conductor", {**typed, "above-earth": height}, book)

        assert result.outcome is outcome


@pytest.mark.parametrize(
    ("purpose", "field"),
    [
        ("equipment", "device"),
        ("service-electrode", "service"),
        ("transmitter-protective", "lead-in"),
    ],
)
def test_each_purpose_asks_for_what_it_needs(purpose: str, field: str, book: Book) -> None:
    """The row cannot be found without it: nothing is assumed."""
    with pytest.raises(InputRefused) as refused:
        calculate("bonding-conductor", {"purpose": purpose, "awg": "6", "material": "copper"}, book)

    assert refused.value.field == field


def test_choices_are_the_rows_of_their_tables(book: Book) -> None:
    """Every service, material, metal and medium that is offered has its row."""
    for name, wanted, table in (
        ("bonding-conductor", "service", "bonding/service-electrode"),
        ("bonding-conductor", "material", "bonding/antenna-ground"),
        ("dissimilar-metals", "first", "metals/index"),
        ("dissimilar-metals", "place", "metals/gap"),
        ("side-flash", "down-conductors", "bonding/down-conductors"),
        ("side-flash", "medium", "bonding/side-flash-medium"),
    ):
        choices = next(i for i in CALCULATIONS[name].inputs if i.name == wanted).choices

        assert set(choices or {}) == set(book.table(table).rows)


@pytest.mark.parametrize(
    ("material", "span", "awg", "outcome"),
    [
        ("hard-drawn copper", "149.9 ft", "14", Outcome.WITHIN),
        ("hard-drawn copper", "150 ft", "14", Outcome.OVER),
        ("hard-drawn copper", "151 ft", "10", Outcome.WITHIN),
        ("bronze", "151 ft", "14", Outcome.OVER),
        ("other", "20 ft", "10", Outcome.NOT_SHOWN),
    ],
)
def test_antenna_wire(material: str, span: str, awg: str, outcome: Outcome, book: Book) -> None:
    """Table 810.52 splits at 150 ft; exactly there the strict side is taken."""
    typed = {"material": material, "span": span, "awg": awg}

    assert calculate("antenna-wire", typed, book).outcome is outcome


def test_a_wire_agrees_with_neumanns_integral() -> None:
    """A second route: the mutual inductance of two filaments a radius apart, l = 96 in.

    At radio frequency the current is on the surface: mu0 / (2 pi) times
    l asinh(l/a) - sqrt(l2 + a2) + a, a the radius (Neumann; Rosa 1908).
    """
    inches, diameter = 96.0, 0.162
    length, radius = inches * 0.0254, diameter * 0.0254 / 2
    exact = length * math.asinh(length / radius) - math.hypot(length, radius) + radius
    microhenries = 2e-7 * exact * 1e6

    assert wire_inductance(inches, diameter, 1.0) == pytest.approx(microhenries, rel=2e-3)


def test_low_frequency_adds_the_field_inside_the_wire() -> None:
    """The two constants differ by mu0 / (8 pi) per metre, the inside of a round wire: 50 nH/m."""
    more = wire_inductance(96, 0.162, 0.75) - wire_inductance(96, 0.162, 1.0)

    assert more / (96 * 0.0254) == pytest.approx(0.05, rel=1e-3)


def test_a_strap_is_better_than_a_wire() -> None:
    """3 in of strap have two thirds of the inductance of 6 AWG, and more width has less."""
    strap = strap_inductance(96, 3, 0.022)

    assert strap / wire_inductance(96, diameter_in(6), 0.75) == pytest.approx(0.664, abs=0.005)
    assert strap_inductance(96, 6, 0.022) < strap


def test_gauge_and_diameter_say_the_same(book: Book) -> None:
    """6 AWG is 0.1620 in; length in feet, inches or metres is one length."""
    by_gauge = calculate("lead-inductance", {"shape": "wire", "length": "8 ft", "awg": "6"}, book)
    metric = {"shape": "wire", "length": "2.4384 m", "diameter": "4.1154 mm"}

    assert output(by_gauge, "inductance", "uH") == pytest.approx(
        output(calculate("lead-inductance", metric, book), "inductance", "uH"), rel=1e-4
    )


def test_a_lead_is_never_found_short_enough(book: Book) -> None:
    """There is no published limit: the numbers are told, and nothing is within."""
    typed = {"shape": "wire", "length": "1 ft", "awg": "4/0", "frequency": "1.8 MHz"}
    result = calculate("lead-inductance", typed, book)

    assert result.outcome is Outcome.NOT_SHOWN
    assert not any("wavelength" in c for c in result.cautions)


@pytest.mark.parametrize(
    "typed",
    [
        {"shape": "wire"},
        {"shape": "wire", "awg": "6", "diameter": "0.162 in"},
        {"shape": "wire", "awg": "6", "width": "3 in"},
        {"shape": "strap", "width": "3 in"},
        {"shape": "strap", "width": "3 in", "thickness": "0.022 in", "awg": "6"},
        {"shape": "strap", "width": "5 ft", "thickness": "0.022 in"},
    ],
)
def test_a_lead_is_one_thing_and_long(typed: dict[str, str], book: Book) -> None:
    """A wire has a gauge or a diameter, a strap width and thickness, and each is long beside it."""
    with pytest.raises(InputRefused):
        calculate("lead-inductance", {"length": "8 ft", **typed}, book)


@pytest.mark.parametrize(
    ("length", "resonant"),
    [("16.45 ft", 1), ("14.9 ft", 1), ("8 ft", 0), ("32.9 ft", 0), ("49.35 ft", 1)],
)
def test_odd_quarter_waves_are_told(length: str, resonant: int, book: Book) -> None:
    """At 14.2 MHz, VF 0.95: 16.45 ft and three times that; a half wave is none."""
    typed = {"length": length, "frequencies": "14.2 MHz"}
    cautions = calculate("lead-resonance", typed, book).cautions

    assert sum("grounds nothing there" in c for c in cautions) == resonant


def test_every_band_is_held_against_the_lead(book: Book) -> None:
    """16 ft is quiet at 7.1 MHz and resonant at 14.2 MHz; an unknown band is not shown."""
    typed = {"length": "16 ft", "frequencies": "7.1 MHz\n14.2 MHz"}
    both = calculate("lead-resonance", typed, book)
    unknown = calculate("lead-resonance", {**typed, "frequencies": "7.1 MHz\nunknown"}, book)

    assert any("14.2 MHz" in c and "grounds nothing" in c for c in both.cautions)
    assert unknown.outcome is Outcome.NOT_SHOWN


@pytest.mark.parametrize(
    ("first", "second", "place", "outcome", "cautions"),
    [
        ("copper", "copper", "outdoors", Outcome.WITHIN, 0),
        ("copper", "zinc", "outdoors", Outcome.OVER, 0),
        ("zinc", "brass", "controlled", Outcome.OVER, 0),
        ("copper", "aluminium", "indoors", Outcome.OVER, 0),
        ("copper", "steel", "outdoors", Outcome.WITHIN, 1),
        ("copper", "steel", "controlled", Outcome.WITHIN, 0),
        ("tin", "brass", "indoors", Outcome.WITHIN, 0),
        ("tin", "brass", "outdoors", Outcome.WITHIN, 1),
        ("copper", "unknown", "outdoors", Outcome.NOT_SHOWN, 0),
    ],
)
def test_metals(
    first: str, second: str, place: str, outcome: Outcome, cautions: int, book: Book
) -> None:
    """Over the figure of the place it cautions, over 0.50 V, the most of all, it stops."""
    typed = {"first": first, "second": second, "place": place, "joint": "direct"}
    result = calculate("dissimilar-metals", typed, book)

    assert result.outcome is outcome
    assert len(result.cautions) == cautions


def test_a_range_of_indices_is_taken_at_its_worst(book: Book) -> None:
    """Aluminium 0.90 to 0.95 against steel 0.85: 0.10 V, whichever is named first."""
    for first, second in (("aluminium", "steel"), ("steel", "aluminium")):
        typed = {"first": first, "second": second, "place": "outdoors", "joint": "direct"}

        assert output(calculate("dissimilar-metals", typed, book), "gap", "V") == pytest.approx(0.1)


def test_a_listed_piece_between_ends_the_question(book: Book) -> None:
    """Copper on galvanized steel through a listed clamp is within, with a caution to look."""
    typed = {"first": "copper", "second": "zinc", "place": "outdoors", "joint": "separated"}
    result = calculate("dissimilar-metals", typed, book)

    assert result.outcome is Outcome.WITHIN
    assert result.cautions


def test_a_wall_is_counted_as_air(book: Book) -> None:
    """Sources differ in sign: through a wall no less is asked than through air."""
    typed = {"height": "30 ft", "down-conductors": "1", "medium": "solid", "distance": "4.9 ft"}
    result = calculate("side-flash", typed, book)

    assert result.outcome is Outcome.OVER
    assert output(result, "through-wall", "ft") == 2.5


def test_an_unknown_number_of_conductors_counts_as_one(book: Book) -> None:
    """The strictest distance is shown, and the finding is not."""
    typed = {"height": "30 ft", "down-conductors": "?", "medium": "air", "distance": "30 ft"}
    result = calculate("side-flash", typed, book)

    assert result.outcome is Outcome.NOT_SHOWN
    assert output(result, "needed", "ft") == 5
