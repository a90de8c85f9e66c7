"""Numbers as people read them: written out, and powers in the unit that is shorter."""

from __future__ import annotations

import pytest

from checklist.quantities.display import Side, figures, power


@pytest.mark.parametrize(
    ("value", "digits", "says"),
    [(15561.2, 4, "15560"), (0.00000199, 12, "0.00000199"), (28.98, 4, "28.98"), (0, 4, "0")],
)
def test_no_number_is_written_with_an_exponent(value: float, digits: int, says: str) -> None:
    """What people read has its digits, however large or small it is."""
    assert figures(value, digits) == says


@pytest.mark.parametrize(
    ("watts", "side", "says"),
    [
        (15561.2, "down", "15.56 kW"),
        (15561.2, "up", "15.57 kW"),
        (9999, "nearest", "9999 W"),
        (28.981, "down", "28.98 W"),
        (0.5, "nearest", "0.5 W"),
    ],
)
def test_power_is_in_kilowatts_where_that_is_shorter(watts: float, side: Side, says: str) -> None:
    """From 10 kW on, and rounded to the side that is asked for."""
    assert power(watts, side) == says
