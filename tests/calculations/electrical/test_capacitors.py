"""Capacitors: energy thresholds kept apart, the wait, and the bleeders."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checklist.calculations import CALCULATIONS, Outcome, Result, as_text, run
from checklist.calculations.electrical.bleed_down import bleed_time, in_parallel, voltage_after
from checklist.rulebook import Book

_BANK = {"capacitance": "40 uF", "start-voltage": "2500 V", "bleeders": "R1, 100 kohm"}


def energy(book: Book, capacitance: str, voltage: str) -> Result:
    return run("stored-energy", {"capacitance": capacitance, "voltage": voltage}, book).result


def bleed(book: Book, **more: str) -> Result:
    changed = {name.replace("_", "-"): value for name, value in more.items()}
    return run("bleed-down", {**_BANK, **changed}, book).result


def output(result: Result, name: str, unit: str) -> float:
    return {o.name: o.quantity for o in result.outputs}[name].number(unit)


def test_the_stricter_source_decides(book: Book) -> None:
    """9.9 J at 120 V is below LBNL's 10 J and over NFPA 70E's 1 J (from memory): it stops."""
    result = energy(book, "1375 uF", "120 V")

    assert output(result, "energy", "J") == pytest.approx(9.9)
    assert result.outcome is Outcome.OVER
    assert result.stops == ("Stored energy 9.9 J, at most 1 J (NFPA 70E 360.3: 100 V and more).",)


def test_each_source_that_is_passed_is_named(book: Book) -> None:
    """450 J at 3 kV passes shock and reflex of LBNL and two rows of NFPA 70E, each said apart."""
    stops = " ".join(energy(book, "100 uF", "3000 V").stops)

    for named in ("LBNL and DOE: shock", "LBNL and DOE: reflex", "NFPA 70E 360.3: 400 V"):
        assert named in stops


@pytest.mark.parametrize(
    ("capacitance", "voltage", "outcome"),
    [
        ("2000 uF", "99.9 V", Outcome.WITHIN),  # 9.98 J below 100 V
        ("0.0201 F", "99.9 V", Outcome.OVER),  # 100.3 J
        ("0.02 F", "100 V", Outcome.OVER),  # 100 J, a shock from 10 J on
        ("200 uF", "100 V", Outcome.WITHIN),  # 1.0 J, not over 1.0 J
        ("3.125 uF", "400 V", Outcome.WITHIN),  # 0.25 J, not over 0.25 J
        ("3.126 uF", "400 V", Outcome.OVER),
    ],
)
def test_thresholds_at_their_edges(
    capacitance: str, voltage: str, outcome: Outcome, book: Book
) -> None:
    """The classes begin at 100 V and 400 V; what equals an energy is over only in LBNL's shock."""
    assert energy(book, capacitance, voltage).outcome is outcome


def test_below_the_thresholds_permits_nothing(book: Book) -> None:
    """`Within` says that it is no permission, and that it rests on memory."""
    result = energy(book, "1 nF", "3000 V")

    assert result.outcome is Outcome.WITHIN
    assert "no permission to touch" in " ".join(result.cautions)
    assert "from memory" in " ".join(result.cautions)
    assert CALCULATIONS["stored-energy"].only_stops


def test_a_computed_time_permits_nothing(book: Book) -> None:
    """The wait says on every finding that it never permits and that a meter closes the step."""
    text = as_text(run("bleed-down", _BANK, book))

    assert "only plans the wait: a meter reading closes the step" in text
    assert text.splitlines()[-1].endswith("it never permits it.")


@given(
    st.floats(1e2, 1e7), st.floats(1e-7, 1e-2), st.floats(60, 1e4), st.floats(0.1, 59),
)  # fmt: skip
def test_time_and_voltage_are_each_others_inverse(
    resistance: float, capacitance: float, start: float, target: float
) -> None:
    """After the time to a voltage, that voltage is left."""
    time = bleed_time(resistance, capacitance, start, target)

    assert voltage_after(resistance, capacitance, start, time) == pytest.approx(target, rel=1e-6)


def test_the_decay_agrees_with_small_steps() -> None:
    """A second route: dV = -V dt / (R C), a million small steps of 100 kohm and 40 uF."""
    steps, time = 1_000_000, bleed_time(1e5, 4e-5, 2500, 50)
    volts, shrink = 2500.0, 1 - time / steps / (1e5 * 4e-5)
    for _ in range(steps):
        volts *= shrink

    assert volts == pytest.approx(50, rel=1e-5)


def test_bleeders_lie_in_parallel(book: Book) -> None:
    """Two of 100 kohm are 50 kohm: half of 15.65 s; with one open it is 15.65 s again."""
    result = bleed(book, bleeders="R1, 100 kohm\nR2, 100 kohm")

    assert in_parallel([]) is None
    assert output(result, "time", "s") == pytest.approx(15.6481 / 2, abs=1e-4)
    assert output(result, "one-open", "s") == pytest.approx(15.6481, abs=1e-4)


def test_one_open_means_the_strongest(book: Book) -> None:
    """Of 10 kohm and 100 kohm the smaller resistance may be the one that opened."""
    result = bleed(book, bleeders="R1, 100 kohm\nR2, 10 kohm")

    assert output(result, "one-open", "s") == pytest.approx(15.6481, abs=1e-4)


def test_a_bleeder_that_was_not_measured_counts_as_open(book: Book) -> None:
    """It adds nothing to the time, and the finding is not shown."""
    result = bleed(book, bleeders="R1, 100 kohm\nR2, unknown")

    assert result.outcome is Outcome.NOT_SHOWN
    assert output(result, "time", "s") == pytest.approx(15.6481, abs=1e-4)
    assert "bleeder R2 was not measured, counts as open" in result.stops[0]
    assert "One bleeder alone" in " ".join(result.cautions)


@pytest.mark.parametrize("bleeders", ["unknown", "R1, unknown"])
def test_no_known_bleeder_gives_no_time(bleeders: str, book: Book) -> None:
    """Where no bleeder is known there is no wait after which anything is reached."""
    result = bleed(book, bleeders=bleeders)

    assert result.outcome is Outcome.NOT_SHOWN
    assert "time" not in {o.name for o in result.outputs}


def test_no_bleeder_is_over(book: Book) -> None:
    """Without any the charge stays: a stop."""
    result = run("bleed-down", {k: v for k, v in _BANK.items() if k != "bleeders"}, book).result

    assert result.outcome is Outcome.OVER
    assert "the charge stays" in result.says


@pytest.mark.parametrize(
    ("start", "resistance", "outcome"),
    [
        ("1000 V", "500 kohm", Outcome.WITHIN),  # 59.9 s
        ("1000 V", "501 kohm", Outcome.OVER),  # 60.03 s
        ("1001 V", "501 kohm", Outcome.WITHIN),  # five minutes from there on
        ("1001 V", "2502 kohm", Outcome.WITHIN),  # 299.9 s
        ("1001 V", "2504 kohm", Outcome.OVER),  # 300.2 s
    ],
)
def test_the_benchmark_changes_above_1000_volts(
    start: str, resistance: str, outcome: Outcome, book: Book
) -> None:
    """NEC 460.6(A): 50 V in a minute up to 1000 V; part II (from memory): five minutes above."""
    result = bleed(book, capacitance="40 uF", start_voltage=start, bleeders=f"R, {resistance}")

    assert result.outcome is outcome


def test_five_time_constants_are_not_enough_at_high_voltage(book: Book) -> None:
    """They leave 0.674 %: 20 V of 3 kV pass without a word, 67 V of 10 kV do not."""
    low = " ".join(bleed(book, start_voltage="3000 V").cautions)
    high = " ".join(bleed(book, start_voltage="10 kV").cautions)

    assert "time constants" not in low
    assert "Five time constants would leave 67.4 V" in high


@pytest.mark.parametrize(
    ("rating", "outcome"), [("125 W", Outcome.WITHIN), ("124.9 W", Outcome.OVER)]
)
def test_a_bleeder_is_rated_for_twice_its_power(rating: str, outcome: Outcome, book: Book) -> None:
    """62.5 W asks for 125 W (common practice, no source)."""
    typed = {"voltage": "2500 V", "resistance": "100 kohm", "power-rating": rating}

    assert run("bleeder-power", typed, book).result.outcome is outcome


def test_a_bleeder_fails_by_voltage_too(book: Book) -> None:
    """A voltage rating below the voltage stops; one that was not given cautions."""
    typed = {"voltage": "2500 V", "resistance": "100 kohm", "power-rating": "200 W"}
    low = run("bleeder-power", {**typed, "voltage-rating": "2 kV"}, book).result
    none = run("bleeder-power", typed, book).result

    assert low.outcome is Outcome.OVER
    assert "voltage too" in " ".join(none.cautions)


def test_a_long_wait_leaves_a_microvolt_at_most(book: Book) -> None:
    """After a day the formula's digits mean nothing: a microvolt is shown, not rows of zeros."""
    assert output(bleed(book, waited="1 d"), "left", "V") == 1e-6
