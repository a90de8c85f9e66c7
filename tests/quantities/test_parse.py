"""Reading quantities as people type them."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checklist.quantities import DIMENSIONS, UNITS, Quantity, QuantityRefused, parse_quantity


@pytest.mark.parametrize(
    ("typed", "dimension", "value", "unit"),
    [
        ("35 ft", "length", "35", "ft"),
        ("35ft", "length", "35", "ft"),
        ("  35   feet ", "length", "35", "ft"),
        ("35.5 FT", "length", "35.5", "ft"),
        (".5 m", "length", "0.5", "m"),
        ("+3 m", "length", "3", "m"),
        ("-4 degF", "temperature", "-4", "degF"),
        ("-4 F", "temperature", "-4", "degF"),
        ("20 °C", "temperature", "20", "degC"),
        ("1.5 kW", "power", "1.5", "kW"),
        ("1e3 W", "power", "1000", "W"),
        ("35 ft 6 in", "length", "426", "in"),
        ("35'6\"", "length", "426", "in"),
        ("5' 11.5\"", "length", "71.5", "in"),
        ("80 %", "ratio", "80", "%"),
        ("0.8", "ratio", "0.8", "1"),
        ("0.5 per hour", "air changes", "0.5", "1/h"),
        ("100 sq ft", "area", "100", "ft2"),
        ("10 1/2 ft", "length", "10.5", "ft"),
        ("10½ ft", "length", "10.5", "ft"),
        ("1/2 in", "length", "0.5", "in"),
        ("-1/4 in", "length", "-0.25", "in"),
        ("5 ft 6 3/64 in.", "length", "66.046875", "in"),
        ("5′ 11″", "length", "71", "in"),
        ("5’ 11”", "length", "71", "in"),
        ("5'11''", "length", "71", "in"),
        ("40 ft.", "length", "40", "ft"),
        ("6 weeks", "time", "6", "week"),
    ],
)
def test_what_people_type(typed: str, dimension: str, value: str, unit: str) -> None:
    """The usual ways of writing a quantity are read as what they mean."""
    quantity = parse_quantity(typed, dimension)

    assert (quantity.value, quantity.unit) == (Decimal(value), UNITS[unit])
    assert quantity.typed == " ".join(typed.split())


@pytest.mark.parametrize(
    ("typed", "dimension", "says"),
    [
        ("", "length", "nothing"),
        ("   ", "length", "nothing"),
        ("35", "length", "no unit"),
        ("35 kg", "length", "a mass"),
        ("35 parsec", "length", "not a unit"),
        ("1,5 m", "length", "comma"),
        ("1,000 ft", "length", "comma"),
        ("ft", "length", "begin with a number"),
        ("nan m", "length", "begin with a number"),
        ("inf m", "length", "begin with a number"),
        ("NaN", "ratio", "begin with a number"),
        ("1/3 m", "length", "a fraction"),
        ("1/2/4 m", "length", "a fraction"),
        ("5/4 ft", "length", "a fraction"),
        ("1/2 kW", "power", "a fraction"),
        ("10 1/3 ft", "length", "a fraction"),
        ("1 250 m", "length", "two numbers"),
        ("1_000 m", "length", "not a unit"),
        ("9**9**9 m", "length", "not a unit"),
        ("5 ft 12 in", "length", "12 inches in a foot"),
        ("5'11", "length", "what the 11 is"),
        ("5 ft 11", "length", "what the 11 is"),
        ("1e999 m", "length", "too many digits"),
        ("1234567890123456 m", "length", "too many digits"),
        ("1 " + "m" * 50, "length", "longer than"),
        ("5 MW", "power", "not a unit"),
        ("44", "speed", "no unit"),
        ("6 dBi", "ratio", "is a gain"),
    ],
)
def test_what_is_refused(typed: str, dimension: str, says: str) -> None:
    """What could be read in two ways, or in none, is refused with what would be right."""
    with pytest.raises(QuantityRefused) as refused:
        parse_quantity(typed, dimension, where="height")

    assert says in refused.value.what
    assert refused.value.right
    assert refused.value.sentence().startswith("height: ")
    assert "\n" not in refused.value.sentence()


_NUMBERS = st.decimals(-(10**9), 10**9, places=6, allow_nan=False, allow_infinity=False)


@given(_NUMBERS, st.sampled_from(sorted(UNITS)))
def test_the_stored_form_reads_back(value: Decimal, symbol: str) -> None:
    """Any quantity written as it is stored is read back as the same one."""
    quantity = Quantity.of(value, symbol)

    assert parse_quantity(quantity.text(), quantity.unit.dimension) == quantity


@given(_NUMBERS, st.data())
def test_conversion_there_and_back_is_exact(value: Decimal, data: st.DataObject) -> None:
    """Through any other unit of the dimension and back, not a digit is lost."""
    dimension = data.draw(st.sampled_from(sorted(DIMENSIONS)))
    first, other = (data.draw(st.sampled_from(DIMENSIONS[dimension])) for _ in range(2))
    there = Quantity.of(value, first.symbol).to(other.symbol)
    back = (there * other.factor + other.offset - first.offset) / first.factor

    assert back == Fraction(value)


@given(st.text(max_size=45), st.sampled_from(sorted(DIMENSIONS)))
def test_any_text_gives_a_quantity_or_one_sentence(text: str, dimension: str) -> None:
    """Whatever is typed: a quantity of the dimension, or a refusal with what would be right."""
    try:
        quantity = parse_quantity(text, dimension)
    except QuantityRefused as refused:
        right = refused.right
    else:
        right = "read"
        assert quantity.unit.dimension == dimension
        assert quantity.value.is_finite()

    assert right
