"""Power density and exemption for a class, held against the numbers printed elsewhere."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from checklist.calculations import InputRefused, Outcome, run
from checklist.rulebook import Book
from checklist.strictyaml import read_yaml

_FILE = Path(__file__).parents[1] / "exposure" / "published" / "exposure.yaml"
_CASES: list[dict[str, Any]] = read_yaml(_FILE.read_text("utf-8"), _FILE.name).data["cases"]
_GROUND = {"4": "full", "4.0": "full", "2.56": "partial", "1": "none", "1.0": "none"}


def _those(prefix: str, *needed: str) -> list[Any]:
    """Return the cases of a series that give all the inputs named."""
    return [
        pytest.param(case, id=f"{case['id']}: {case['source']}")
        for case in _CASES
        if case["id"].startswith(prefix)
        and isinstance(case["inputs"], dict)
        and set(needed) <= set(case["inputs"])
    ]


def _number(result: Any, name: str, unit: str) -> float:
    return next(float(o.quantity.to(unit)) for o in result.outputs if o.name == name)


@pytest.mark.parametrize("case", _those("DEN", "gain_dBi", "reflection_factor", "R_m"))
def test_the_printed_power_density(case: dict[str, Any], book: Book) -> None:
    """S = F P G / (4 pi R^2) gives the number of the case."""
    given = case["inputs"]
    typed = {
        "power": f"{given['P_avg_W']} W",
        "gain": f"{given['gain_dBi']} dBi",
        "distance": f"{given['R_m']} m",
        "frequency": "1000 MHz",
        "ground": _GROUND[str(given["reflection_factor"])],
        "limit": "1 mW/cm2",
    }
    found = _number(run("power-density", typed, book).result, "density", "mW/cm2")

    assert found == pytest.approx(float(case["expected"]["S_mW_per_cm2"]), rel=1e-3)


def test_the_distance_at_which_a_limit_is_met(book: Book) -> None:
    """At the distance that is given out, the density is the limit: the inverse of the formula."""
    typed = {
        "power": "1500 W", "gain": "8.5 dBi", "distance": "40 m", "frequency": "28 MHz",
        "ground": "full", "limit": "0.2 mW/cm2",
    }  # fmt: skip
    first = run("power-density", typed, book).result
    meets = _number(first, "meets", "m")
    again = run("power-density", {**typed, "distance": f"{meets:.9f} m"}, book).result

    assert first.outcome is Outcome.OVER
    assert _number(again, "density", "mW/cm2") == pytest.approx(0.2, rel=1e-6)


def test_nearer_than_a_wavelength_over_two_pi_nothing_is_shown(book: Book) -> None:
    """At 3.7 MHz that is 12.9 m (c / f / 2 pi): 10 m are not shown, however little the power."""
    typed = {
        "power": "0.1 W", "gain": "0 dBi", "distance": "10 m", "frequency": "3.7 MHz",
        "ground": "full", "limit": "13 mW/cm2",
    }  # fmt: skip
    near = run("power-density", typed, book).result
    far = run("power-density", {**typed, "distance": "13 m"}, book).result

    assert near.outcome is Outcome.NOT_SHOWN
    assert "12.9" in near.says
    assert far.outcome is Outcome.WITHIN
    assert 10 < 299792458 / 3.7e6 / (2 * math.pi) < 13


@pytest.mark.parametrize("case", _those("EXM", "f_MHz", "R_m"))
def test_the_printed_threshold_of_erp(case: dict[str, Any], book: Book) -> None:
    """47 CFR 1.1307(b)(3)(i)(C), table 1: the threshold, or none nearer than wavelength/2pi."""
    given, expected = case["inputs"], case["expected"]
    typed = {"power": "0.1 W", "gain": "0 dBd", "distance": f"{given['R_m']} m",
             "frequency": f"{given['f_MHz']} MHz"}  # fmt: skip
    result = run("exposure-exemption", typed, book).result
    names = {output.name for output in result.outputs}
    printed = [float(v) for k, v in expected.items() if "ERP" in k and _is_number(v)]

    assert result.outcome is Outcome.NOT_SHOWN
    if printed:
        assert _number(result, "threshold", "W") == pytest.approx(printed[0], rel=2e-3)
    else:
        assert "threshold" not in names


def _is_number(value: object) -> bool:
    try:
        float(str(value))
    except ValueError:
        return False
    return True


def test_exempt_is_never_within(book: Book) -> None:
    """What is exempt is said to be so, and is no statement about the limits."""
    typed = {"power": "1 mW", "gain": "0 dBd", "distance": "1 m", "frequency": "146 MHz"}
    by_a = run("exposure-exemption", typed, book).result
    by_c = run("exposure-exemption", {**typed, "power": "1 W"}, book).result
    over = run("exposure-exemption", {**typed, "power": "100 W"}, book).result

    assert [r.outcome for r in (by_a, by_c, over)] == [Outcome.NOT_SHOWN] * 3
    assert "exempt up to 1 mW (A)" in by_a.says
    assert "exempt up to 3.83 W" in by_c.says
    assert "evaluate" in over.says


@pytest.mark.parametrize("case", _those("LIM", "f_MHz", "tier"))
def test_the_limit_of_a_tier_is_the_printed_one(case: dict[str, Any], book: Book) -> None:
    """47 CFR 1.1310, table 1: the limit read from rules/limits is that of the case."""
    tier = "controlled" if case["inputs"]["tier"].startswith("occ") else "uncontrolled"
    typed = {
        "power": "1 W", "gain": "0 dBi", "distance": "1000 m", "ground": "full", "tier": tier,
        "frequency": f"{case['inputs']['f_MHz']} MHz",
    }  # fmt: skip
    result = run("power-density", typed, book).result
    cited = [c for c in result.used if c.address.startswith("limits/")]

    if "S_mW_per_cm2" in case["expected"]:
        assert [float(c.value.split(" ")[0]) for c in cited] == pytest.approx(
            [float(case["expected"]["S_mW_per_cm2"])], rel=1e-3
        )
        assert all("47 CFR 1.1310" in c.citation for c in cited)
    else:  # outside the table, where nothing is extrapolated
        assert cited == []
        assert result.outcome is Outcome.NOT_SHOWN


def test_without_a_set_at_hand_nothing_is_within(book: Book) -> None:
    """A book without limits, as in a walk, does not show the limit; a typed one is taken."""
    typed = {
        "power": "1 W", "gain": "0 dBi", "distance": "100 m", "frequency": "146 MHz",
        "ground": "full", "tier": "uncontrolled",
    }  # fmt: skip
    bare = replace(book, limit_texts={})
    with pytest.raises(InputRefused, match="one of the two"):
        run("power-density", {**typed, "limit": "0.2 mW/cm2"}, book)

    assert run("power-density", typed, book).result.outcome is Outcome.WITHIN
    assert run("power-density", typed, bare).result.outcome is Outcome.NOT_SHOWN


def test_a_limit_that_is_not_at_hand_is_not_guessed(book: Book) -> None:
    """Without the file of limits a tier has none: not shown, and the way out is said."""
    typed = {"power": "100 W", "gain": "6 dBi", "distance": "20 m", "frequency": "146 MHz",
             "ground": "full", "tier": "uncontrolled"}  # fmt: skip
    result = run("power-density", typed, replace(book, limit_texts={})).result

    assert result.outcome is Outcome.NOT_SHOWN
    assert result.says == "Not shown: the limit is not at hand here; give it as power density."


def test_the_table_of_erp_begins_at_its_first_frequency(book: Book) -> None:
    """47 CFR 1.1307(b)(3)(i)(C), 0.3 to 1.34 MHz: 1920 R^2; at 0.3 MHz and 200 m 76.8 MW."""
    typed = {"power": "10 W", "gain": "0 dBd", "distance": "200 m", "frequency": "0.3 MHz"}
    outputs = {o.name: o.quantity for o in run("exposure-exemption", typed, book).result.outputs}
    below = run("exposure-exemption", {**typed, "frequency": "0.29 MHz"}, book).result

    assert outputs["threshold"].number("W") == pytest.approx(76.8e6)
    assert "threshold" not in {output.name for output in below.outputs}
