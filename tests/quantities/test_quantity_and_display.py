"""Comparing quantities unrounded, and showing them rounded to the strict side."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checklist.errors import StandclearError
from checklist.quantities import DIMENSIONS, Quantity, both, parse_quantity, rounded
from checklist.quantities.display import Side, unrounded


def q(text: str, dimension: str = "length") -> Quantity:
    return parse_quantity(text, dimension)


def test_twenty_feet_and_their_metres() -> None:
    """20 ft is 6.096 m exactly, less than 6.1 m and more than 6.09 m."""
    assert q("20 ft") == q("6.096 m")
    assert q("20 ft") < q("6.1 m")
    assert q("20 ft") > q("6.09 m")
    assert hash(q("20 ft")) == hash(q("6.096 m"))


def test_temperatures_compare_across_scales() -> None:
    """-40 is the same cold on both thermometers (exact by definition)."""
    assert q("-40 degF", "temperature") == q("-40 degC", "temperature")
    assert q("77 F", "temperature") == q("25 C", "temperature")


def test_two_dimensions_do_not_compare() -> None:
    """Feet are neither more nor less than pounds, nor equal to them."""
    assert q("1 ft") != q("1 lb", "mass")
    with pytest.raises(StandclearError, match="mass"):
        assert q("1 ft") < q("1 lb", "mass")
    with pytest.raises(StandclearError, match="length"):
        q("1 ft").to("lb")


def test_what_was_typed_does_not_change_what_it_is() -> None:
    """The typed text is kept for reports and no part of the comparison."""
    assert q("20 feet") == q("20 ft")
    assert q("20 feet").typed == "20 feet"


@pytest.mark.parametrize(
    ("value", "text"),
    [(Decimal("1.500"), "1.5 m"), (Decimal("1E+3"), "1000 m"), (0.1, "0.1 m"), ("20.0", "20 m"),
     (Fraction(1, 4), "0.25 m"), (Decimal("-0.10"), "-0.1 m")],
)  # fmt: skip
def test_the_stored_form_is_plain(value: Decimal | float | str | Fraction, text: str) -> None:
    """No exponent and no idle zeros: the same number always has the same text."""
    assert Quantity.of(value, "m").text() == text


@pytest.mark.parametrize(
    ("text", "side", "shown"),
    [
        ("20 ft", "nearest", "20 ft (6.1 m)"),
        ("20 ft", "up", "20 ft (6.1 m)"),
        ("20 ft", "down", "20 ft (6.09 m)"),
        ("32.1 m", "up", "32.1 m (106 ft)"),
        ("32.1 m", "down", "32.1 m (105 ft)"),
        ("12345 ft", "nearest", "12345 ft (3763 m)"),
        ("0 ft", "nearest", "0 ft (0 m)"),
    ],
)
def test_both_worlds_on_the_strict_side(text: str, side: Side, shown: str) -> None:
    """Feet and metres together, each rounded to the side that is asked for."""
    assert both(q(text), side=side) == shown


def test_a_unit_without_another_habit_stands_alone() -> None:
    """Volts and amperes have one habit."""
    assert both(q("120 V", "voltage")) == "120 V"


def test_a_plain_number_is_shown_without_a_unit() -> None:
    """Nobody writes `3 1` for three of something; what is stored goes on naming the unit."""
    three = q("3", "ratio")

    assert (both(three), rounded(three), unrounded(three)) == ("3", "3", "3")
    assert three.text() == "3 1"
    assert unrounded(q("0.12345678 ft")) == "0.12345678 ft"


_POSITIVE = st.decimals(Decimal("0.001"), 10**7, places=5)


@given(_POSITIVE, st.sampled_from(sorted(u.symbol for u in DIMENSIONS["length"])))
def test_rounding_never_reads_milder(value: Decimal, unit: str) -> None:
    """Rounded up is never below the number, rounded down never above it, in either unit."""
    quantity = Quantity.of(value, unit)
    for target in ("ft", "m"):
        exact = quantity.to(target)
        up, down = (
            Fraction(Decimal(rounded(quantity, side=side, unit=target).split()[0]))
            for side in ("up", "down")
        )

        assert down <= exact <= up
        assert up - down <= exact / 99


def test_a_value_that_must_be_reached_is_rounded_up() -> None:
    """20.01 ft as a need reads 20.1 ft, not 20 ft; as a limit not to pass, 20 ft."""
    need = q("20.01 ft")

    assert rounded(need, side="up") == "20.1 ft"
    assert rounded(need, side="down") == "20 ft"
