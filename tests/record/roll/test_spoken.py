"""A code of the paper log is understood as it was written: with its number, blanks or dashes."""

from __future__ import annotations

import pytest

from checklist.record.errors import KeyRefused
from checklist.record.roll.spoken import code_readings, head_code

HASH = "1234567890abcdef" * 4
CODE = "1234567890abcdef"


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        (head_code(HASH), (None, CODE)),
        (f"7 {head_code(HASH)}", (7, CODE)),
        (f"  12  {head_code(HASH).upper()} ", (12, CODE)),
        ("1234 5678 90ab cdef", (None, CODE)),
        ("1234 1234 5678 90ab cdef", (1234, CODE)),
        ("1234 5678", (None, "12345678")),
    ],
)
def test_what_is_typed_can_be_what_was_written(typed: str, meant: tuple[int | None, str]) -> None:
    """The meaning is among those that are tried, whatever else the digits could stand for."""
    assert meant in code_readings(typed)


def test_a_first_group_of_digits_is_no_number_alone() -> None:
    """A code typed with blanks whose first group could be a number is tried both ways."""
    assert code_readings("1234 5678 90ab cdef") == ((1234, "567890abcdef"), (None, CODE))


@pytest.mark.parametrize("typed", ["", "7", "7 12", "zz", "7 zzzz-zzzz", "a" * 65, "٣ 1234"])
def test_what_is_no_code_is_refused(typed: str) -> None:
    """One sentence says what a code is made of."""
    with pytest.raises(KeyRefused, match="this is no code"):
        code_readings(typed)


@pytest.mark.parametrize(("digits", "number"), [("12345678", 12345678), ("123456789", None)])
def test_a_number_has_at_most_eight_digits(digits: str, number: int | None) -> None:
    """Nine digits before a code are no number of an entry: the whole is then the code."""
    assert code_readings(f"{digits} {head_code(HASH)}")[0][0] == number
