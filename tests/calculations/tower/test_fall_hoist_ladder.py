"""Falls, hoisting and ladders at their edges."""

from __future__ import annotations

import pytest

from checklist.calculations import InputRefused, Outcome, run
from checklist.rulebook import Book

_FALL = {"clear-height": "18.5 ft", "connector": "lanyard", "anchor-at": "level", "lanyard": "6 ft"}
_SRL = {"clear-height": "18 ft", "connector": "retractable", "anchor-at": "above"}
_HOIST = {"load": "100 lb", "haul": "ground"}


@pytest.mark.parametrize(
    ("more", "outcome"),
    [
        ({}, Outcome.WITHIN),
        ({"clear-height": "18.49 ft"}, Outcome.OVER),
        ({"clear-height": "5.6388 m"}, Outcome.WITHIN),
        ({"clear-height": "5.638 m"}, Outcome.OVER),
        ({"clear-height": "0 ft"}, Outcome.OVER),
        ({"clear-height": "unknown"}, Outcome.NOT_SHOWN),
        ({"lanyard": "4 ft", "clear-height": "16.5 ft"}, Outcome.WITHIN),
        ({"lanyard": "6.1 ft", "clear-height": "50 ft"}, Outcome.OVER),
        ({"lanyard": "unknown", "clear-height": "50 ft"}, Outcome.NOT_SHOWN),
        ({"anchor-at": "below", "clear-height": "50 ft"}, Outcome.OVER),
        ({"anchor-at": "unknown"}, Outcome.NOT_SHOWN),
        ({"connector": "unknown"}, Outcome.NOT_SHOWN),
        ({"maker-clearance": "19 ft"}, Outcome.OVER),
        ({"maker-clearance": "10 ft"}, Outcome.WITHIN),
    ],
)
def test_a_lanyard(more: dict[str, str], outcome: Outcome, book: Book) -> None:
    """6 + 3.5 + 1 + 5 + 3 = 18.5 ft (OSHA Technical Manual) = 5.6388 m, and 6 ft of free fall."""
    assert run("fall-clearance", {**_FALL, **more}, book).result.outcome is outcome


@pytest.mark.parametrize(
    ("more", "outcome", "cautions"),
    [
        ({"maker-clearance": "18 ft"}, Outcome.WITHIN, 0),
        ({"maker-clearance": "18.1 ft"}, Outcome.OVER, 0),
        ({"maker-clearance": "unknown"}, Outcome.NOT_SHOWN, 0),
        ({"maker-clearance": "10 ft", "anchor-at": "level"}, Outcome.WITHIN, 1),
        ({"maker-clearance": "10 ft", "anchor-at": "below"}, Outcome.OVER, 0),
    ],
)
def test_a_retractable(more: dict[str, str], outcome: Outcome, cautions: int, book: Book) -> None:
    """A retractable is judged by its maker's figure alone."""
    result = run("fall-clearance", {**_SRL, **more}, book).result

    assert result.outcome is outcome
    assert len(result.cautions) == cautions


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        (_SRL, "maker-clearance"),
        ({**_SRL, "maker-clearance": "10 ft", "lanyard": "6 ft"}, "lanyard"),
        ({name: text for name, text in _FALL.items() if name != "lanyard"}, "lanyard"),
    ],
)
def test_each_connector_needs_its_own_figure(typed: dict[str, str], field: str, book: Book) -> None:
    """A lanyard needs its length, a retractable its maker's clearance and no lanyard on top."""
    with pytest.raises(InputRefused) as refused:
        run("fall-clearance", typed, book)

    assert refused.value.field == field


@pytest.mark.parametrize(
    ("pieces", "more", "outcome"),
    [
        (["r, line, 100 lb", "b, block, 200 lb"], {}, Outcome.WITHIN),
        (["r, line, 99 lb", "b, block, 200 lb"], {}, Outcome.OVER),
        (["r, line, 100 lb", "b, block, 199 lb"], {}, Outcome.OVER),
        (["r, line, 100 lb"], {}, Outcome.NOT_SHOWN),
        (["b, block, 200 lb"], {}, Outcome.NOT_SHOWN),
        (["r, line, 100 lb"], {"haul": "straight"}, Outcome.WITHIN),
        (["r, line, 100 lb", "b, block, ?"], {}, Outcome.NOT_SHOWN),
        (["r, line, 99 lb", "b, block, ?"], {}, Outcome.OVER),
        (["r, line, 100 lb", "b, ?, 200 lb"], {}, Outcome.NOT_SHOWN),
        (["r, line, 100 lb", "b, block, 0.89 kN"], {}, Outcome.WITHIN),
        (["r, line, 100 lb", "b, block, 0.88 kN"], {}, Outcome.OVER),
        (["r, line, 50 kg", "b, block, 100 kg"], {}, Outcome.WITHIN),
        (["r, line, 45 kg", "b, block, 100 kg"], {}, Outcome.OVER),
        (["r, line, 100 lb", "b, block, 200 lb", "s, bridle, 9 lb"], {}, Outcome.NOT_SHOWN),
        (["r, line, 9 kN", "b, block, 9 kN", "s, bridle, 9 kN"], {"bridle-angle": "30 deg"},
         Outcome.WITHIN),
        (["r, line, 9 kN", "b, block, 9 kN", "s, bridle, 9 kN"], {"bridle-angle": "29.9 deg"},
         Outcome.OVER),
        (["r, line, 9 kN", "b, block, 9 kN"], {"bridle-angle": "60 deg"}, Outcome.NOT_SHOWN),
        (["r, line, 9 kN", "b, block, 9 kN"], {"bridle-angle": "unknown"}, Outcome.NOT_SHOWN),
        (["r, line, 9 kN", "b, block, 9 kN"], {"load": "unknown"}, Outcome.NOT_SHOWN),
        (["r, line, 9 kN", "b, block, 9 kN"], {"haul": "unknown"}, Outcome.NOT_SHOWN),
        (["unknown"], {}, Outcome.NOT_SHOWN),
    ],
)  # fmt: skip
def test_each_piece_of_the_hoist(
    pieces: list[str], more: dict[str, str], outcome: Outcome, book: Book
) -> None:
    """Every piece at its edge; a piece that carries and is not listed is not shown.

    The block sees twice the load; 100 lb weigh 444.82 N (NIST SP 811).
    """
    typed = {**_HOIST, **more, "pieces": pieces}

    assert run("hoist-loads", typed, book).result.outcome is outcome


def test_a_load_may_be_given_as_a_force(book: Book) -> None:
    """A weight in newtons counts like the mass that weighs as much."""
    pieces = ["r, line, 50 kg", "b, block, 100 kg"]
    just = {**_HOIST, "load": "490.3325 N", "pieces": pieces}

    assert run("hoist-loads", just, book).is_clear
    assert not run("hoist-loads", {**just, "load": "490.34 N"}, book).is_clear


@pytest.mark.parametrize(
    ("more", "outcome"),
    [
        ({}, Outcome.WITHIN),
        ({"set-back": "4.5 ft"}, Outcome.WITHIN),
        ({"set-back": "4.49 ft"}, Outcome.OVER),
        ({"set-back": "5.5 ft"}, Outcome.WITHIN),
        ({"set-back": "5.51 ft"}, Outcome.OVER),
        ({"set-back": "20 ft"}, Outcome.OVER),
        ({"set-back": "30 ft"}, Outcome.OVER),
        ({"set-back": "1.524 m"}, Outcome.WITHIN),
        ({"working-length": "unknown"}, Outcome.NOT_SHOWN),
        ({"set-back": "unknown"}, Outcome.NOT_SHOWN),
        ({"above-landing": "3 ft"}, Outcome.WITHIN),
        ({"above-landing": "2.99 ft"}, Outcome.OVER),
        ({"above-landing": "unknown"}, Outcome.NOT_SHOWN),
    ],
)
def test_a_ladder(more: dict[str, str], outcome: Outcome, book: Book) -> None:
    """A quarter of 20 ft is 5 ft; a tenth of it to either side is accepted (practice)."""
    typed = {"working-length": "20 ft", "set-back": "5 ft", **more}

    assert run("ladder-set-back", typed, book).result.outcome is outcome


@pytest.mark.parametrize(
    ("load", "unit", "weight"),
    [
        ("30 kg", "N", 30 * 9.80665),
        ("30000 g", "N", 30 * 9.80665),
        ("300 N", "N", 300),
        ("0.3 kN", "N", 300),
        ("30 kgf", "N", 30 * 9.80665),
        ("60 lb", "lbf", 60),
    ],
)
def test_a_pull_is_said_in_the_unit_of_the_load(
    load: str, unit: str, weight: float, book: Book
) -> None:
    """Standard gravity is 9.80665 m/s2 (3rd CGPM, 1901); a pound weighs a pound-force."""
    result = run("hoist-loads", {**_HOIST, "load": load, "pieces": "r, line, 9 kN"}, book).result
    pulls = {output.name: output.quantity for output in result.outputs}

    assert pulls["line"].unit.symbol == unit
    assert pulls["line"].number(unit) == pytest.approx(weight)
    assert pulls["block"].number(unit) == pytest.approx(2 * weight)


def test_a_straight_pull_puts_the_load_on_the_block_once(book: Book) -> None:
    """Only a rope that comes down again to the haulers doubles it."""
    typed = {**_HOIST, "haul": "straight", "pieces": "r, line, 900 lb"}
    pulls = {o.name: o.quantity for o in run("hoist-loads", typed, book).result.outputs}

    assert pulls["block"] == pulls["line"]


def test_a_piece_of_unknown_place_hides_no_other(book: Book) -> None:
    """The overloaded rope on the next line is found all the same."""
    typed = {**_HOIST, "pieces": "sling, unknown, 900 lb\nold rope, line, 50 lb"}
    result = run("hoist-loads", typed, book).result

    assert result.outcome is Outcome.OVER
    assert any("Old rope" in stop for stop in result.stops)
    assert any("what sling carries" in stop for stop in result.stops)


def test_a_landing_is_assumed_away_only_where_none_was_named(book: Book) -> None:
    """Left out, nobody steps off; unknown, that is not assumed."""
    typed = {"working-length": "20 ft", "set-back": "5 ft"}
    left_out = run("ladder-set-back", typed, book).result
    unknown = run("ladder-set-back", {**typed, "above-landing": "unknown"}, book).result

    assert left_out.assumptions
    assert not unknown.assumptions
    assert unknown.outcome is Outcome.NOT_SHOWN


def test_a_ladder_that_lies_flat_has_no_angle(book: Book) -> None:
    """Set back by its whole length it leans on nothing, and is over."""
    typed = {"working-length": "20 ft", "set-back": "20 ft"}
    result = run("ladder-set-back", typed, book).result

    assert result.outcome is Outcome.OVER
    assert "angle" not in {output.name for output in result.outputs}
