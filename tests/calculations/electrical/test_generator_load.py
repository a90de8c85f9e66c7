"""Loads on a generator: every rating, at its edge."""

from __future__ import annotations

import pytest

from checklist.calculations import InputRefused, Outcome, Result, run
from checklist.rulebook import Book

_NO_LOSS = {
    "altitude": "0 ft",
    "altitude-rule": "3.5 %, 1000 ft, 0 ft",
    "air-temperature": "20 degC",
    "heat-rule": "1 %, 10 degF, 77 degF",
}
_SMALL = {"running-rating": "3500 W", "surge-rating": "4000 W", "output": "120", **_NO_LOSS}
_LARGE = {"running-rating": "5000 W", "surge-rating": "6250 W", "output": "120/240", **_NO_LOSS}


def loaded(book: Book, *loads: str, **more: str) -> Result:
    changed = {name.replace("_", "-"): value for name, value in more.items()}
    rating = _LARGE if changed.pop("size", "small") == "large" else _SMALL
    return run("generator-load", {**rating, "loads": list(loads), **changed}, book).result


@pytest.mark.parametrize(
    ("watts", "outcome", "cautions"),
    [
        ("2800 W", Outcome.WITHIN, 0),
        ("2.8 kW", Outcome.WITHIN, 0),
        ("2800.01 W", Outcome.WITHIN, 1),
        ("3500 W", Outcome.WITHIN, 1),
        ("3500.01 W", Outcome.OVER, 0),
    ],
)
def test_running_watts_at_the_edge(watts: str, outcome: Outcome, cautions: int, book: Book) -> None:
    """Up to 80 % of the running rating nothing, to the rating a caution, above it a stop.

    The 80 %: common practice, no source; 2800 W of 3500 W is its check value.
    """
    result = loaded(book, f"heater, {watts}, {watts}, 1, R1, 60 A")

    assert result.outcome is outcome
    assert len(result.cautions) == cautions


@pytest.mark.parametrize(
    ("starting", "outcome"), [("3500 W", Outcome.WITHIN), ("3500.1 W", Outcome.OVER)]
)
def test_the_largest_start_counts_on_top_of_all_running(
    starting: str, outcome: Outcome, book: Book
) -> None:
    """All running plus the largest start: 1000 + 500 + (3500 - 1000) = 4000 W, no more."""
    result = loaded(
        book,
        f"pump, 1000 W, {starting}, 1, R1, 20 A",
        "fridge, 500 W, 1500 W, 1, R2, 20 A",
    )

    assert result.outcome is outcome


def test_only_one_start_is_added(book: Book) -> None:
    """Two equal starts are not added to each other: one load starts at a time."""
    pump = "pump, 500 W, 2500 W, 1, R1, 20 A"
    peak = {o.name: o.quantity.text() for o in loaded(book, pump, pump).outputs}["peak"]

    assert peak == "3000 W"


def test_one_leg_may_not_carry_more_than_half(book: Book) -> None:
    """A total within the rating is over where it hangs on one leg."""
    one_leg = loaded(book, "heater, 2501 W, 2501 W, 1, R1, 30 A", size="large")
    both = loaded(book, "heater, 2501 W, 2501 W, both, R1, 30 A", size="large")

    assert one_leg.outcome is Outcome.OVER
    assert one_leg.decided_by == "leg 1: half of the running rating"
    assert both.outcome is Outcome.WITHIN


def test_each_leg_is_held_against_its_breaker(book: Book) -> None:
    """2400 W on one leg are 20 A: within a 20 A breaker and over 19.9 A."""
    heater = "heater, 2400 W, 2400 W, 2, R1, 30 A"

    assert loaded(book, heater, size="large", main_breaker="20 A").outcome is Outcome.WITHIN
    assert loaded(book, heater, size="large", main_breaker="19.9 A").outcome is Outcome.OVER


def test_each_receptacle_is_held_against_its_breaker(book: Book) -> None:
    """Two loads on one receptacle add up; on two receptacles they do not."""
    heater, kettle = "heater, 1500 W, 1500 W, 1, {}, 15 A", "kettle, 400 W, 400 W, 1, {}, 15 A"
    together = loaded(book, heater.format("R1"), kettle.format("r1"))
    apart = loaded(book, heater.format("R1"), kettle.format("R2"))

    assert together.outcome is Outcome.OVER
    assert together.decided_by == "receptacle R1: its breaker"
    assert apart.outcome is Outcome.WITHIN


def test_a_240_volt_load_draws_its_watts_over_240_volts(book: Book) -> None:
    """4800 W at 240 V are 20 A through its receptacle."""
    pump = "pump, 4800 W, 4800 W, both, R3, {}"

    assert loaded(book, pump.format("20 A"), size="large").outcome is Outcome.WITHIN
    assert loaded(book, pump.format("19 A"), size="large").outcome is Outcome.OVER


@pytest.mark.parametrize("column", range(1, 6))
def test_each_unknown_cell_is_not_shown(column: int, book: Book) -> None:
    """Any unknown of a load keeps the whole from being within."""
    cells = ["rig", "500 W", "500 W", "1", "R1", "20 A"]
    cells[column] = "?"
    result = loaded(book, ", ".join(cells), size="large")

    assert result.outcome is Outcome.NOT_SHOWN
    assert "rig" in result.decided_by


def test_over_without_the_unknown_is_over(book: Book) -> None:
    """An unknown beside a load that is too much already changes nothing."""
    result = loaded(book, "heater, 3600 W, 3600 W, 1, R1, 40 A", "rig, ?, ?, 1, R2, 20 A")

    assert result.outcome is Outcome.OVER


def test_unknown_loads_or_ratings_are_not_shown(book: Book) -> None:
    """Neither a list nor a rating can be unknown and within."""
    assert loaded(book, "unknown").outcome is Outcome.NOT_SHOWN
    for name in ("running-rating", "surge-rating", "output", "altitude", "heat-rule"):
        result = loaded(book, "rig, 5 W, 5 W, 1, R1, 20 A", **{name.replace("-", "_"): "?"})

        assert result.outcome is Outcome.NOT_SHOWN, name


def test_no_rule_of_the_maker_is_a_caution(book: Book) -> None:
    """No rule is invented: nothing is taken off, and that is said."""
    result = loaded(
        book, "rig, 5 W, 5 W, 1, R1, 20 A", altitude_rule="", altitude="9000 ft", heat_rule=""
    )

    assert result.outcome is Outcome.WITHIN
    assert len(result.cautions) == 2


def test_a_rule_without_its_altitude_is_not_shown(book: Book) -> None:
    """A maker's rule needs the altitude that it is about."""
    assert loaded(book, "rig, 5 W, 5 W, 1, R1, 20 A", altitude="").outcome is Outcome.NOT_SHOWN


def test_a_rating_that_is_derated_to_nothing_is_over(book: Book) -> None:
    """Beyond the end of a rule nothing is left, never less than nothing."""
    result = loaded(book, "rig, 5 W, 5 W, 1, R1, 20 A", altitude="29000 ft")

    assert result.outcome is Outcome.OVER
    assert {o.name: o.quantity.text() for o in result.outputs}["running-rating"] == "0 W"


def test_a_start_on_one_leg_is_cautioned_at_half_of_the_surge(book: Book) -> None:
    """A 240 V start falls half on each leg: 50 + 3075 W is half of 6250 W, 50 + 100 + 3025 W over.

    Common practice, no source: each winding gives half of what the set gives.
    """
    pump = "pump, 100 W, {}, both, R1, 20 A"
    pump_and_rig = (pump.format("6150 W"), "rig, 100 W, 100 W, 1, R2, 20 A")

    assert not loaded(book, pump.format("6250 W"), size="large").cautions
    assert len(loaded(book, *pump_and_rig, size="large").cautions) == 1


def test_volt_amperes_of_a_plate_count_as_watts(book: Book) -> None:
    """Volts times amps are never less than the watts, so they stand on the strict side."""
    assert loaded(book, "motor, 3600 VA, 3600 VA, 1, R1, 60 A").outcome is Outcome.OVER


@pytest.mark.parametrize(
    ("loads", "more", "field"),
    [
        (["rig, 500 W, 400 W, 1, R1, 20 A"], {}, "loads line 1, starting"),
        (["rig, 500 W, 500 W, 2, R1, 20 A"], {}, "loads line 1, leg"),
        (["rig, 500 W, 500 W, both, R1, 20 A"], {}, "loads line 1, leg"),
        (["a, 5 W, 5 W, 1, R1, 20 A", "b, 5 W, 5 W, 1, R1, 15 A"], {}, "loads"),
        (["a, 5 W, 5 W, 1, R1, 20 A"], {"surge_rating": "3000 W"}, "surge-rating"),
        (["a, 5 W, 5 W, 1, R1, 20 A"], {"altitude_rule": "3 %, 0 ft, 0 ft"},
         "altitude-rule line 1, per"),
        (["a, 5 W, 5 W, 1, R1, 20 A"], {"heat_rule": "-1 %, 5 degC, 40 degC"},
         "heat-rule line 1, loss"),
    ],
)  # fmt: skip
def test_contradictions_are_refused(
    loads: list[str], more: dict[str, str], field: str, book: Book
) -> None:
    """What cannot be true together is refused, naming the field."""
    with pytest.raises(InputRefused) as refused:
        loaded(book, *loads, **more)

    assert refused.value.field == field
    assert refused.value.right


def test_a_step_of_temperature_is_a_difference(book: Book) -> None:
    """A step of 10 degF is 5.56 kelvins, not the 10 degF of a thermometer."""
    by_fahrenheit = loaded(book, "a, 5 W, 5 W, 1, R1, 20 A", air_temperature="97 degF")
    by_celsius = loaded(
        book, "a, 5 W, 5 W, 1, R1, 20 A", air_temperature="97 degF",
        heat_rule="1.8 %, 10 degC, 25 degC",
    )  # fmt: skip
    left = [{o.name: o.quantity for o in r.outputs}["running-rating"].text()
            for r in (by_fahrenheit, by_celsius)]  # fmt: skip

    assert left == ["3430 W", "3430 W"]
