"""Below 3.5 MHz: the two-ground bound against spectral integrals over real ground."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from checklist.calculations.exposure import Figures
from checklist.calculations.exposure.comparison import outside_comparison
from checklist.calculations.exposure.constants import SPEED_OF_LIGHT
from checklist.calculations.exposure.model import Ground
from checklist.calculations.exposure.near import densities
from checklist.calculations.exposure.strength import Refused
from tests.calculations.exposure import spectral
from tests.calculations.exposure.making import dipole
from tests.calculations.exposure.spectral import Soil

_FILE = Path(__file__).parent / "published" / "near-field.json"
_CASES = [
    c
    for c in json.loads(_FILE.read_text("utf-8"))["cases"]
    if not isinstance(c["ground"], str) and c["antenna"].startswith("hdip")
]
SOILS = {
    "very poor": Soil(3.0, 0.0001),
    "poor": Soil(5.0, 0.001),
    "average": Soil(13.0, 0.005),
    "good": Soil(20.0, 0.03),
    "sea water": Soil(80.0, 4.0),
}
_SPOTS = ((0.0, 0.0), (0.12, 0.0), (0.238, 0.0), (0.3, 0.05), (0.0, 0.08), (0.1, 0.2))
"""Seen from the middle of the wire, in wavelengths along it and across."""


def shortfall_db(frequency_hz: float, height: float, length: float, soil: Soil) -> float:
    """Return the most by which the envelope, without its margin, is below the spectral route."""
    wavelength = SPEED_OF_LIGHT / frequency_hz
    antenna = dipole("wire", (0.0, 0.0, height * wavelength), length * wavelength, 0.001)
    points = np.array([(x * wavelength, y * wavelength, z) for z in (0.3, 1.8) for x, y in _SPOTS])
    found = densities(antenna, frequency_hz, points, Ground.REAL, 40).se_w_m2
    want = spectral.densities(antenna, frequency_hz, points, soil)
    return float((10 * np.log10(want / found)).max())


@pytest.mark.parametrize("case", [pytest.param(c, id=c["id"]) for c in _CASES])
def test_the_spectral_route_gives_the_reference_cases(case: dict[str, Any]) -> None:
    """Level dipoles over average ground, 3.6 to 50 MHz: near-field-cases.json, tolerance 0.3 dB."""
    start, end = np.array(case["wires"][0]["p1"]), np.array(case["wires"][0]["p2"])
    length, height = math.dist(start, end), float(start[2])
    along = (end - start) / length
    x, y = along[:2] @ case["point_m"][:2], along[0] * case["point_m"][1]
    y -= along[1] * case["point_m"][0]
    antenna = dipole("wire", (0.0, 0.0, height), length, case["wires"][0]["radius_m"])
    soil = Soil(case["ground"]["eps_r"], case["ground"]["sigma_S_per_m"])
    point = np.array([(x, y, case["point_m"][2])])
    got = spectral.densities(antenna, case["frequency_hz"], point, soil)
    watts = case["accepted_power_w"]

    assert abs(10 * math.log10(got[0] * watts / case["S_max"])) <= case["tolerance_dB"]


@pytest.mark.parametrize(("height", "soil"), [(0.05, "poor"), (0.1, "average"), (0.2, "good")])
def test_the_bound_holds_on_160_m(height: float, soil: str, numbers: Figures) -> None:
    """A half-wave wire at 8 to 33 m: the envelope is not below the field by more than its margin.

    The same is implied by scaling: wires and distances in wavelengths, and er - j 60 sigma
    wavelength, make the field; at 1.8 MHz poor to good ground lies between the poor ground and
    the perfect ground of the comparison at 3.5 MHz.
    """
    assert shortfall_db(1.81e6, height, 0.476, SOILS[soil]) <= numbers["envelope_margin_db"]


@pytest.mark.long
@pytest.mark.parametrize("soil", SOILS)
@pytest.mark.parametrize("length", [0.476, 0.25])
@pytest.mark.parametrize("height", [0.02, 0.05, 0.1, 0.2, 0.3])
@pytest.mark.parametrize("frequency_hz", [1.8e6, 2.0e6])
def test_the_bound_holds_on_every_soil(
    frequency_hz: float, height: float, length: float, soil: str, numbers: Figures
) -> None:
    """Half-wave and quarter-wave wires, 1.8 and 2 MHz, five soils from dry sand to the sea."""
    assert shortfall_db(frequency_hz, height, length, SOILS[soil]) <= numbers["envelope_margin_db"]


@pytest.mark.parametrize(("megahertz", "fits"), [(0.475, False), (1.79, False), (1.8, True)])
def test_below_160_m_it_is_refused_with_what_to_do(
    megahertz: float, fits: bool, numbers: Figures
) -> None:
    """On 630 m nothing was compared: not shown, and the sentence says what to do instead."""
    wavelength = SPEED_OF_LIGHT / megahertz / 1e6
    antenna = dipole("wire", (0.0, 0.0, 0.1 * wavelength), 0.4 * wavelength, 0.001)
    found = outside_comparison(antenna, megahertz * 1e6, numbers)
    if fits:
        assert found is None
        return

    assert isinstance(found, Refused)
    assert "1.8 to 450 MHz" in found.reason
    assert "measured" in found.right
