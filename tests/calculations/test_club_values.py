"""A club's value that may be laxer is a caution wherever a calculation rests on it."""

from __future__ import annotations

import json
from decimal import Decimal

import pytest

from checklist.calculations import CALCULATIONS, Outcome, as_data, as_text, from_data, run
from checklist.calculations.reads import addresses_read
from checklist.quantities import Quantity
from checklist.rulebook import Book, Stricter, Strictness
from checklist.rulebook.values import Value
from tests.calculations.examples import OTHERS, WITHIN
from tests.rulebook.clubs import NOTE, book_with, overlay

CORD = "conductors/flexible-cord/12"
TYPED = {"awg": "12", "current-carrying": "2", "plug": "30 A", "continuous": "no"}


@pytest.mark.parametrize(
    ("row", "current", "outcome", "said"),
    [
        ("[18, 23]", "22 A", Outcome.WITHIN, 0),
        ("[18, 23]", "24 A", Outcome.OVER, 0),
        ("[20, 28]", "26 A", Outcome.WITHIN, 1),
        ("[20, 28]", "unknown", Outcome.NOT_SHOWN, 1),
        ("[20, 28]", "29 A", Outcome.OVER, 0),
    ],
)
def test_a_laxer_value_is_said_as_a_caution(
    row: str, current: str, outcome: Outcome, said: int
) -> None:
    """12 AWG cord, 25 A in the NEC: a club's 23 A stops sooner, its 28 A is never unsaid."""
    book = book_with(overlay(CORD, row, key="row"))
    result = run("cord-current", {**TYPED, "current": current}, book).result
    cautions = [c for c in result.cautions if "club value" in c]

    assert result.outcome is outcome
    assert len(cautions) == said
    assert all("two 28 A instead of three 20 A, two 25 A (laxer)" in c for c in cautions)


def test_the_finding_shows_both_values_and_is_stored_with_both() -> None:
    """Text and record of a finding hold the club's value, the shipped one, who and when."""
    book = book_with(overlay("generator/high-load", "70 %"))
    finding = run("cord-current", WITHIN["cord-current"], book)
    text = as_text(finding)
    back = from_data(json.loads(json.dumps(as_data(finding))))

    assert f"club value 70 % instead of 80 % (stricter), {NOTE}" in text
    assert "shipped: [Common practice" in text
    assert back == finding
    assert as_text(back) == text


def times(value: Value, factor: Decimal) -> str:
    """Return the value so many times larger, in its own unit."""
    quantity = value.quantity
    return Quantity(quantity.value * factor, quantity.unit).text()


def directed(book: Book) -> list[tuple[str, str]]:
    """Return each value that says which way it is stricter, with a calculation that reads it."""
    return [
        (address, name)
        for name, calculation in CALCULATIONS.items()
        for address in sorted(addresses_read(calculation, book))
        if address in book.values and book.values[address].stricter
    ]


def stops(name: str, book: Book) -> list[bool]:
    """Return for each example of a calculation whether it stops."""
    typed = [e[name] for e in (WITHIN, OTHERS) if name in e]
    return [not run(name, one, book).is_clear for one in typed]


@pytest.mark.parametrize("factor", ["1.25", "9"])
def test_the_stricter_way_never_lets_more_pass(book: Book, factor: str) -> None:
    """What a table calls stricter is so in every calculation that reads it, and the reverse.

    Each value is made larger and smaller by a factor; in the way called stricter nothing that
    stopped may pass, in the other way nothing that passed may stop.
    """
    pairs = directed(book)
    for address, name in pairs:
        value = book.values[address]
        up = Decimal(factor)
        larger = book_with(overlay(address, times(value, up)))
        smaller = book_with(overlay(address, times(value, 1 / up)))
        higher = value.stricter is Stricter.HIGHER
        strict, lax = (larger, smaller) if higher else (smaller, larger)
        replaced = strict.values[address].cited.replaced

        assert replaced is not None
        assert replaced.strictness is Strictness.STRICTER
        for a, b, c in zip(stops(name, lax), stops(name, book), stops(name, strict), strict=True):
            assert a <= b <= c, (address, name)
    assert len(pairs) > 15
