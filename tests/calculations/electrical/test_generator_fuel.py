"""Fuel: the hours it lasts, and where it may stand."""

from __future__ import annotations

import pytest

from checklist.calculations import InputRefused, Outcome, Result, run
from checklist.rulebook import Book

_FUEL = {"hours": "10 h", "fuel-at-hand": "5 gal", "kept": "outdoors", "local-limit": "10 gal"}


def fuel(book: Book, **more: str) -> Result:
    changed = {name.replace("_", "-"): value for name, value in more.items()}
    return run("generator-fuel", {**_FUEL, "consumption": "0.5 gal/h", **changed}, book).result


def test_just_enough_is_no_caution(book: Book) -> None:
    """Ten hours at half a gallon are five gallons."""
    assert not fuel(book).cautions


def test_too_little_is_a_caution_with_the_hours(book: Book) -> None:
    """What lasts too short is said in hours and in gallons; it endangers nobody by itself."""
    result = fuel(book, hours="10.1 h")

    assert result.outcome is Outcome.WITHIN
    assert "lasts 10 h of 10.1 h" in result.cautions[0]


def test_litres_and_gallons_mix(book: Book) -> None:
    """5 gal are 18.927 L (NIST SP 811): as a limit, a can of 19 L is over."""
    assert fuel(book, largest_can="18.9 L").outcome is Outcome.WITHIN
    assert fuel(book, largest_can="19 L").outcome is Outcome.OVER


@pytest.mark.parametrize(
    ("kept", "amount", "limit", "outcome"),
    [
        ("outdoors", "10 gal", "10 gal", Outcome.WITHIN),
        ("outdoors", "10.1 gal", "10 gal", Outcome.OVER),
        ("outdoors", "26 gal", "100 gal", Outcome.OVER),
        ("detached-room", "25 gal", "25 gal", Outcome.WITHIN),
        ("cabinet", "60 gal", "60 gal", Outcome.WITHIN),
        ("cabinet", "60 gal", "10 gal", Outcome.OVER),
        ("dwelling", "0.1 gal", "10 gal", Outcome.OVER),
        ("dwelling", "unknown", "10 gal", Outcome.OVER),
        ("unknown", "1 gal", "10 gal", Outcome.NOT_SHOWN),
        ("unknown", "11 gal", "10 gal", Outcome.OVER),
        ("outdoors", "unknown", "10 gal", Outcome.NOT_SHOWN),
        ("outdoors", "1 gal", "unknown", Outcome.NOT_SHOWN),
    ],
)
def test_where_and_how_much(
    kept: str, amount: str, limit: str, outcome: Outcome, book: Book
) -> None:
    """The local limit and the federal one both hold; a home takes none at all."""
    result = fuel(book, kept=kept, fuel_at_hand=amount, local_limit=limit)

    assert result.outcome is outcome


@pytest.mark.parametrize("more", [{"consumption": ""}, {"load": "2 kW"}])
def test_consumption_or_load(more: dict[str, str], book: Book) -> None:
    """One of the two, and not both."""
    with pytest.raises(InputRefused, match=r"consumption"):
        fuel(book, **more)


def test_unknown_consumption_is_not_shown(book: Book) -> None:
    """An unknown consumption does not become an assumed one."""
    assert fuel(book, consumption="unknown").outcome is Outcome.NOT_SHOWN
