"""Every number that is printed elsewhere, by its case; the case names document and standing."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from checklist.calculations.exposure import Figures, LimitSet, NotCovered, Tier, exempt, far
from checklist.calculations.exposure.builders import small_loop
from checklist.calculations.exposure.categories import category
from checklist.calculations.exposure.constants import IMPEDANCE as ETA
from checklist.calculations.exposure.constants import SPEED_OF_LIGHT
from checklist.calculations.exposure.fields import magnitudes
from checklist.calculations.exposure.figures import Cable
from checklist.calculations.exposure.held import Contribution, hold, totals
from checklist.calculations.exposure.limits import Limit
from checklist.calculations.exposure.model import Feed, FeedLine, Periodic, Wire, Wires
from checklist.calculations.exposure.moments import currents
from checklist.calculations.exposure.near import greatest_gain
from checklist.calculations.exposure.power import (
    Power,
    line_loss_db,
    mismatched_loss_db,
    on_fraction,
    power_at_antenna,
)
from checklist.calculations.exposure.strength import Sort, Strength
from checklist.quantities import Quantity
from checklist.rulebook import Book
from checklist.strictyaml import read_yaml
from tests.calculations.exposure import closed_form
from tests.calculations.exposure.making import dipole, emission

_FILE = Path(__file__).parent / "published" / "exposure.yaml"
_CASES: list[dict[str, Any]] = read_yaml(_FILE.read_text("utf-8"), _FILE.name).data["cases"]
_TIERS = {"occupational": Tier.CONTROLLED, "occ": Tier.CONTROLLED}


@dataclass(frozen=True)
class Rules:
    """What the checks read from."""

    book: Book
    numbers: Figures
    sets: dict[str, LimitSet]


Check = Callable[[dict[str, Any], dict[str, Any], float, Rules], None]


@pytest.mark.parametrize("case", [pytest.param(c, id=f"{c['id']}: {c['source']}") for c in _CASES])
def test_the_printed_number(
    case: dict[str, Any], book: Book, numbers: Figures, sets: dict[str, LimitSet]
) -> None:
    """The engine gives the number of the case within the tolerance that the case states."""
    check = _CHECKS[case["id"].split("-")[0]]
    inputs = case["inputs"] if isinstance(case["inputs"], dict) else {}
    check(inputs, case["expected"], _tolerance(case["tolerance"]), Rules(book, numbers, sets))


@pytest.mark.parametrize("case", [pytest.param(c, id=c["id"]) for c in _CASES])
def test_every_case_says_where_it_is_from(case: dict[str, Any]) -> None:
    """No number is held against the engine without source and standing."""
    assert case["source"]
    assert case["standing"].split(" ")[0].rstrip(",") in {
        "read",
        "computed",
        "from",
        "second-hand",
        "rule",
    }


def _tolerance(text: str) -> float:
    """Return the relative tolerance; an absolute one below zero; 0 for exact."""
    words = text.split()
    if words[0] == "rel":
        return float(words[1])
    if words[0] == "abs":
        return -float(words[1])
    return 1.5e-3 if text.startswith("E: accept") else 0.0


def _near(got: float | None, want: str, tolerance: float) -> None:
    assert got is not None
    if tolerance < 0:
        assert got == pytest.approx(float(want), abs=-tolerance)
    else:
        assert got == pytest.approx(float(want), rel=tolerance or 1e-9)


def _limit(name: str, inputs: dict[str, Any], rules: Rules, tier: str = "tier") -> Limit:
    hz = float(inputs.get("f_MHz", 0)) * 1e6 or float(inputs["f_GHz"]) * 1e9
    which = _TIERS.get(inputs.get(tier, ""), Tier.UNCONTROLLED)
    return rules.sets[name].at(hz, which)[0]


def _lim(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, rules: Rules) -> None:
    if "wb_W_per_kg" in want:
        row = rules.book.table("exposure/sar").row("controlled")

        assert [row[c].number("1") for c in ("whole", "peak", "extremities")] == [
            float(want[k]) for k in ("wb_W_per_kg", "peak_1g_W_per_kg", "extremity_10g_W_per_kg")
        ]
        return
    if "result" in want:
        with pytest.raises(NotCovered):
            _limit("fcc-1310", inputs, rules)
        return
    limit = _limit("fcc-1310", inputs, rules)
    for key, got in (("E_V_per_m", limit.e_v_m), ("H_A_per_m", limit.h_a_m)):
        if key in want:
            _near(got, want[key], tolerance)
        else:
            assert got is None
    assert limit.s_w_m2 is not None
    _near(limit.s_w_m2 / 10, want["S_mW_per_cm2"], tolerance)

    assert limit.averaging_s == 60 * float(want["averaging_min"])


def _con(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, rules: Rules) -> None:
    ohm = rules.numbers["plane_wave_ohm"]
    if "E_V_per_m" in inputs:
        _near(float(inputs["E_V_per_m"]) ** 2 / ohm / 10, want["S_mW_per_cm2"], tolerance)
        return
    density = float(inputs["S_mW_per_cm2"]) * 10
    _near(math.sqrt(density * ohm), want["E_V_per_m"], tolerance)
    _near(math.sqrt(density / ohm), want["H_A_per_m"], tolerance)


def _exm(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, rules: Rules) -> None:
    if "coeff" in want:
        table = rules.book.table("exemption/erp").rows.values()
        printed = [r["factor"].number("1") for r in table if r["power"].number("1") in (0, -2)]

        assert printed == [float(c) for c in want["rule_coeff"]]
        for density, coefficient in zip(inputs["S_W_per_m2"], printed, strict=True):
            full, gain = rules.numbers["full_reflection"], rules.numbers["dipole_gain"]
            erp = 1 / far.density_w_m2(1, gain, 1, full) * float(density)
            _near(erp, str(coefficient), tolerance)
        return
    if "P_avail_avg_mW" in inputs:
        watts = float(inputs["P_avail_avg_mW"]) / 1000
        source = exempt.Radiator("x", float(inputs["f_MHz"]) * 1e6, 0.0, watts, watts)

        assert exempt.share(source, rules.book).is_exempt is (want["exempt"] == "true")
        return
    hz, metres = float(inputs["f_MHz"]) * 1e6, float(inputs["R_m"])
    threshold = exempt.threshold_erp_w(hz, metres, rules.book)
    _near(exempt.quasi_static_m(hz), want["lambda_over_2pi_m"], tolerance)
    if want["R_allowed"] == "true":
        _near(threshold, want["threshold_ERP_W"], tolerance)
    else:
        assert threshold is None


def _pth(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, rules: Rules) -> None:
    hz, metres = float(inputs["f_GHz"]) * 1e9, float(inputs["d_cm"]) / 100
    watts = exempt.threshold_power_w(hz, metres, rules.book)
    if "result" in want:
        assert watts is None
    else:
        assert watts is not None
        _near(watts * 1000, want["Pth_mW"], tolerance)


def _mul(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, rules: Rules) -> None:
    if "limit_E_V_per_m" in inputs:
        share = rules.book.value("exposure/shared-responsibility").quantity.number("1")
        _near(
            math.sqrt(share) * float(inputs["limit_E_V_per_m"]),
            want["E_at_5pct_V_per_m"],
            tolerance,
        )
        return
    if "fractions" in want:
        found = [_fraction(s, rules) for s in inputs["sources"]]
        _near(found[0], want["fractions"][0], tolerance)
        _near(found[1], want["fractions"][1], tolerance)
        _near(sum(found), want["sum"], tolerance)
        return
    terms = [_term(s, rules) for s in inputs["sources"]]
    for got, wanted in zip(terms, want["terms"], strict=True):
        _near(got, wanted, tolerance)
    _near(sum(terms), want["ratio"], tolerance)
    if all("kind" not in s for s in inputs["sources"]):
        sources = [
            exempt.Radiator(
                str(i),
                float(s["f_MHz"]) * 1e6,
                float(s["R_m"]),
                float(s["ERP_W"]) / 2,
                float(s["ERP_W"]),
            )
            for i, s in enumerate(inputs["sources"])
        ]
        together = exempt.together(sources, rules.book)
        assert together.total is not None
        _near(together.total, want["ratio"], tolerance)

        assert together.is_exempt is (want["exempt"] == "true")


def _term(source: dict[str, Any], rules: Rules) -> float:
    if source.get("kind") == "evaluated":
        return float(source["S_mW_per_cm2"]) / float(source["limit_mW_per_cm2"])
    if source.get("kind") == "Pth":
        watts = float(source["P_mW"]) / 1000
        radiator = exempt.Radiator(
            "x", float(source["f_GHz"]) * 1e9, float(source["d_cm"]) / 100, watts, watts
        )
    else:
        watts = float(source["ERP_W"])
        radiator = exempt.Radiator(
            "x", float(source["f_MHz"]) * 1e6, float(source["R_m"]), watts, watts
        )
    ratio = exempt.share(radiator, rules.book).ratio
    assert ratio is not None
    return ratio


def _fraction(source: dict[str, Any], rules: Rules) -> float:
    """Return the fraction of a density in mW/cm2, by way of the engine's own sum."""
    hz = float(source["f_MHz"]) * 1e6
    density = float(source["S"]) * 10
    one = emission(frequency_hz=hz, power_w=1.0)
    found = Strength(Sort.PLANE_WAVE, density, density, 1.0, "", "")
    (limit,) = rules.sets["fcc-1310"].at(hz, Tier.UNCONTROLLED)
    held = hold(found, Power(1.0, 1.0, 0.0), one, Tier.UNCONTROLLED, limit, rules.numbers)
    contribution = Contribution("x", "x", "x", 1.0, None, found, (held,))
    return totals([contribution])[limit.table]


def _cat(inputs: dict[str, Any], want: dict[str, Any], _: float, rules: Rules) -> None:
    density = float(inputs["S_mW_per_cm2"])
    uncontrolled, controlled = float(inputs["gp_limit"]), float(inputs["occ_limit"])
    found = category(density / uncontrolled, density / controlled, rules.numbers["severe"])
    word, colour = want["sign"].replace(" optional", "").split(" (")[0].split("/")

    assert found.number == int(want["category"])
    assert word in found.sign
    assert colour in found.sign


def _his(_: dict[str, Any], want: dict[str, Any], __: float, rules: Rules) -> None:
    rows = rules.book.table("exemption/former-amateur").rows
    printed = {
        "VHF all": "all VHF bands",
        "SHF all": "all SHF bands",
        "EHF all": "all EHF bands",
    }

    assert len(rows) == len(want)
    for key, watts in want.items():
        name = printed.get(key) or f"{key.rstrip('cm')} {'cm' if key.endswith('cm') else 'm'}"

        assert rows[name]["pep"] == Quantity.of(watts, "W")


def _den(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, rules: Rules) -> None:
    if "ERP_W" in inputs:
        _near(float(inputs["ERP_W"]) * rules.numbers["dipole_gain"], want["EIRP_W"], tolerance)
        return
    gain = 10 ** (float(inputs["gain_dBi"]) / 10)
    density = far.density_w_m2(
        float(inputs["P_avg_W"]), gain, float(inputs["R_m"]), float(inputs["reflection_factor"])
    )
    _near(density / 10, want["S_mW_per_cm2"], tolerance)


def _dis(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, rules: Rules) -> None:
    gain = 10 ** (float(inputs["gain_dBi"]) / 10)
    for tier in Tier:
        limit = rules.sets["fcc-1310"].at(float(inputs["f_MHz"]) * 1e6, tier)[0]
        assert limit.s_w_m2 is not None
        metres = far.distance_m(
            float(inputs["P_avg_W"]), gain, limit.s_w_m2, float(inputs["reflection_factor"])
        )
        _near(metres, want[f"{tier}_m"], tolerance)


def _tab(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, rules: Rules) -> None:
    gain = 10 ** (float(inputs["gain_dBi"]) / 10)
    factor = rules.numbers["partial_reflection"]
    for tier in Tier:
        limit = rules.sets["fcc-1310"].at(float(inputs["f_MHz"]) * 1e6, tier)[0]
        assert limit.s_w_m2 is not None
        feet = far.distance_m(float(inputs["P_W"]), gain, limit.s_w_m2, factor) / 0.3048
        _near(feet, want[f"{tier}_ft"], tolerance)


def _avg(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, rules: Rules) -> None:
    one = emission(power_w=float(inputs["PEP_W"]), own_duty=float(inputs["duty"]))
    power = power_at_antenna(one, rules.numbers)
    assert power is not None
    average = power.always_on_w * float(inputs["on_fraction"])
    _near(average, want["P_avg_W"], tolerance)
    _near(average, want["exact"], 1e-5)


def _win(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, _: Rules) -> None:
    on, off, window = (float(inputs[k]) * 60 for k in ("on_min", "off_min", "window_min"))
    found = on_fraction(Periodic(on, off), window)
    _near(found * window / 60, want["max_on_min"], tolerance)
    _near(found, want["fraction"], -1e-5)


def _dut(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, rules: Rules) -> None:
    if "tx_s" in inputs:
        row = rules.book.table("duty/slots").row("FT8")
        on, off = row["on"].number("s"), row["off"].number("s")
        _near(on_fraction(Periodic(on, off), 60 * (on + off)), want["fraction"], tolerance)
        return
    names = {
        "Conversational SSB (no processing)": "SSB",
        "Conversational SSB (heavy processor)": "SSB with heavy processing",
        "Voice FM": "FM voice",
        "FSK or RTTY": "FSK or RTTY",
        "AFSK SSB": "AFSK on SSB",
        "Conversational CW": "CW",
        "Carrier": "carrier",
    }
    rows = rules.book.table("duty/mode").rows

    assert {names[k]: float(v) for k, v in want.items()} == {
        key: row["duty"].number("1") for key, row in rows.items()
    }


def _apr(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, rules: Rules) -> None:
    c = float(inputs.get("c", SPEED_OF_LIGHT))
    if "S_nf_W_m2" in inputs:
        near, end, metres = (float(inputs[k]) for k in ("S_nf_W_m2", "R_nf_m", "R_m"))
        _near(far.aperture_between_w_m2(near, end, metres), want["S_W_m2"], tolerance)
        diameter, wavelength = 1.2, 1.2**2 / 4 / end
        gain = 0.65 * (math.pi * diameter / wavelength) ** 2
        power = near * math.pi * diameter**2 / 16 / 0.65
        model = far.aperture_w_m2(power, gain, diameter, wavelength, metres, rules.numbers)

        # The bulletin's models do not join: the whole model takes the larger, never the smaller.
        assert float(want["S_W_m2"]) <= model <= near
        return
    diameter, wavelength = float(inputs["D_m"]), c / (float(inputs["f_GHz"]) * 1e9)
    start = rules.numbers["aperture_far_start"] * diameter**2 / wavelength
    if "Rff_m" in want:
        _near(start, want["Rff_m"], tolerance)
        return
    power, efficiency = float(inputs["P_W"]), float(inputs["eta"])
    near = far.aperture_near_w_m2(power, efficiency, diameter, rules.numbers)
    _near(far.surface_w_m2(power, diameter), want["S_surface_W_m2"], tolerance)
    _near(near, want["S_nf_W_m2"], tolerance)
    _near(far.density_w_m2(power, float(inputs["G"]), start, 1), want["S_ff_W_m2"], tolerance)


def _cyl(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, _: Rules) -> None:
    density = far.cylinder_w_m2(*(float(inputs[k]) for k in ("P_W", "R_m", "h_m")))
    _near(density / 10, want["S_mW_per_cm2"], tolerance)


def _fields_of(name: str) -> Check:
    def check(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, rules: Rules) -> None:
        hz = float(inputs.get("f_MHz", 0)) * 1e6 or float(inputs["f_GHz"]) * 1e9
        tier = _TIERS.get(inputs.get("tier", ""), Tier.UNCONTROLLED)
        limits = rules.sets[name].at(hz, tier)
        limit = limits[0] if "tier" in inputs or name != "icnirp-2020" else limits[1]
        for key, got in (("E_V_m", limit.e_v_m), ("H_A_m", limit.h_a_m), ("S_W_m2", limit.s_w_m2)):
            if key in want and (want[key] or hz < 30e6):
                if want[key]:
                    _near(got, want[key], tolerance)
                else:
                    assert got is None

    return check


def _icn(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, rules: Rules) -> None:
    # The cases of 1998 name no tier and are those from 6 min; the local one is in GHz.
    old = "tier" not in inputs and "f_MHz" in inputs
    _fields_of("icnirp-1998" if old else "icnirp-2020")(inputs, want, tolerance, rules)


def _sc6(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, rules: Rules) -> None:
    for tier in Tier:
        limit = rules.sets["safety-code-6"].at(float(inputs["f_MHz"]) * 1e6, tier)[0]
        if f"{tier}_W_m2" in want:
            _near(limit.s_w_m2, want[f"{tier}_W_m2"], tolerance)
        elif tier is Tier.UNCONTROLLED:
            _near(limit.e_v_m, want["E_V_m"], tolerance)


def _c95(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, rules: Rules) -> None:
    hz = float(inputs["f_MHz"]) * 1e6
    public, restricted = (
        rules.sets["ieee-c95-1"].at(hz, t)[0] for t in (Tier.UNCONTROLLED, Tier.CONTROLLED)
    )
    for key, got in (
        ("E_V_m", public.e_v_m),
        ("H_A_m", public.h_a_m),
        ("S_E_W_m2", public.se_w_m2),
        ("S_H_W_m2", public.sh_w_m2),
        ("unrestricted_W_m2", public.s_w_m2),
        ("restricted_W_m2", restricted.s_w_m2),
    ):
        if key in want:
            _near(got, want[key], tolerance)


def _fdl(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, rules: Rules) -> None:
    if "matched_loss_dB" in inputs:
        matched, swr = float(inputs["matched_loss_dB"]), float(inputs["SWR_at_load"])
        _near(mismatched_loss_db(matched, swr), want["total_dB"], tolerance)
        _near(mismatched_loss_db(matched, swr) - matched, want["extra_dB"], tolerance)
        return
    if "k1" in inputs:
        cited = next(iter(rules.numbers.cables.values())).cited
        cable = Cable(float(inputs["k1"]), float(inputs["k2"]), 0.0, cited)
        numbers = Figures(rules.numbers.numbers, {}, {}, {"x": cable})
        line = FeedLine("x", length_m=30.48)
        loss, _, _ = line_loss_db(line, float(inputs["f_MHz"]) * 1e6, numbers)
        _near(loss, want["dB"], tolerance)
        return
    watts, loss = float(inputs["P_tx_W"]), float(inputs["loss_dB"])
    line = FeedLine(pairs=((28.4e6, loss),), length_m=1.0)
    power = power_at_antenna(emission(power_w=watts, feed_line=line), rules.numbers)
    assert power is not None
    _near(power.peak_w, want["P_W"], tolerance)


def _ant(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, rules: Rules) -> None:
    length = float(inputs.get("L_over_lambda", "0.01"))
    _near(closed_form.directivity(length), want["D"], tolerance)
    _near(10 * math.log10(float(want["D"])), want["dBi"], tolerance)
    if "R_m_ohm" in want:
        _near(closed_form.resistance_ohm(length), want["R_m_ohm"], tolerance)
    if length > 0.6:
        return  # the current on a full-wave wire is not the closed form's sine
    solved = greatest_gain(dipole("d", (0, 0, 0), length * 10, 1e-5), SPEED_OF_LIGHT / 10)
    # The wire of the solver has a radius, and its current differs a little from a sine.
    _near(solved, want["D"], 0.005)


def _nfd(inputs: dict[str, Any], want: dict[str, Any], tolerance: float, rules: Rules) -> None:
    if "h_over_lambda" in inputs:
        _over_perfect_ground(float(inputs["h_over_lambda"]), want, tolerance)
    elif "P_rad_W" in inputs:
        _small_loop(inputs, want, rules)
    elif "max_E_ratio" in want:
        _bounded_by_the_formula(want)
    else:
        _dipole_near_field(inputs, want, tolerance)


def _dipole_near_field(inputs: dict[str, Any], want: dict[str, Any], tolerance: float) -> None:
    length, rho, z = (float(inputs[k]) for k in ("L_m", "rho_m", "z_m"))
    hz = float(inputs["f_MHz"]) * 1e6
    k = 2 * math.pi * hz / SPEED_OF_LIGHT
    amperes = math.sqrt(float(inputs["P_W"]) / closed_form.resistance_ohm(0.5))
    erho, ez, h = closed_form.fields(amperes, length, k, rho, z)
    _near(amperes, inputs["Im_rms_A"], tolerance)
    _near(math.hypot(abs(erho), abs(ez)), want["E_V_m"], tolerance)
    _near(abs(h), want["H_A_m"], tolerance)
    upright = currents(_upright(length), hz, over_ground=False, per_wavelength=80)
    electric, magnetic = magnitudes(upright, np.array([[rho, 0.0, z]]))
    watts = float(inputs["P_W"])
    densest = max(float(electric[0]) ** 2 / ETA, float(magnetic[0]) ** 2 * ETA) * watts
    printed = max(float(want["E_V_m"]) ** 2 / ETA, float(want["H_A_m"]) ** 2 * ETA)
    # A real wire's current is not quite a sine: 0.3 dB in the density that decides.
    _near(densest, str(printed), 0.07)


def _upright(length_m: float) -> Wires:
    half = length_m / 2
    return Wires("upright", (Wire((0, 0, -half), (0, 0, half), 1e-5),), (Feed(0, 0.5),))


def _over_perfect_ground(height: float, want: dict[str, Any], tolerance: float) -> None:
    mutual = closed_form.mutual_ohm(2 * height)
    _near(mutual, want["R12_ohm"], tolerance)
    _near(closed_form.resistance_ohm(0.5) - mutual, want["R_ohm"], tolerance)
    wire = dipole("d", (0, 0, 10 * height), 5.0, 1e-6)
    solved = currents(wire, SPEED_OF_LIGHT / 10, over_ground=True, per_wavelength=80)
    # The solver's own current against one taken for a sine; they differ by about
    # 1/ln(length/radius), 6.5 % here.
    _near(solved.impedances[0].real, want["R_ohm"], 0.065)


def _small_loop(inputs: dict[str, Any], want: dict[str, Any], rules: Rules) -> None:
    hz, radius = float(inputs["f_MHz"]) * 1e6, float(inputs["radius_m"])
    loop = small_loop("loop", (0, 0, 0), 2 * radius, 0.005, 0)
    solved = currents(loop, hz, over_ground=False, per_wavelength=80)
    watts = float(inputs["P_rad_W"])
    points = np.array([[0.0, d, 0.0] for d in (1.0, 2.127, 2.812)])
    _, magnetic = magnitudes(solved, points)
    at = magnetic * math.sqrt(watts)
    # 16 sides enclose 2.6 % less than the circle, and the true field is up to 8 % above the
    # quasi-static one at the outermost point, as the case says.
    _near(float(at[0]), want["H_at_1m_axis"], 0.05)
    for tier, got in ((Tier.CONTROLLED, at[1]), (Tier.UNCONTROLLED, at[2])):
        limit = rules.sets["fcc-1310"].at(hz, tier)[0]
        _near(float(got), str(limit.h_a_m), 0.1)
        assert limit.s_w_m2 is not None
        gain = 10 ** (float(inputs["gain_dBi"]) / 10)
        formula = far.distance_m(watts, gain, limit.s_w_m2, rules.numbers["partial_reflection"])
        key = "occ" if tier is Tier.CONTROLLED else "gp"
        _near(formula, want[f"far_field_formula_{key}_m"], 0.01)


def _bounded_by_the_formula(want: dict[str, Any]) -> None:
    """Scan the closed form: the formula with R to the nearest point is never below the fields."""
    wavelength, amperes = 1.0, math.sqrt(1 / closed_form.resistance_ohm(0.5))
    worst_e = worst_h = 0.0
    for rho in np.geomspace(0.005, 1, 60):
        for z in np.linspace(0, 1.2, 61):
            beyond = max(0.0, z - wavelength / 4)
            bound = far.density_w_m2(1, 1.641, math.hypot(rho, beyond), 1)
            erho, ez, h = closed_form.fields(amperes, 0.5, 2 * math.pi, float(rho), float(z))
            electric = math.hypot(abs(erho), abs(ez))
            worst_e = max(worst_e, electric / math.sqrt(bound * closed_form.ETA))
            worst_h = max(worst_h, abs(h) / math.sqrt(bound / closed_form.ETA))

    assert worst_e <= 1.001
    assert worst_h <= 1.001
    assert worst_h == pytest.approx(float(want["max_H_ratio"]), abs=1e-3)


_CHECKS: dict[str, Check] = {
    "LIM": _lim,
    "CON": _con,
    "EXM": _exm,
    "PTH": _pth,
    "MUL": _mul,
    "CAT": _cat,
    "HIS": _his,
    "DEN": _den,
    "DIS": _dis,
    "TAB": _tab,
    "AVG": _avg,
    "WIN": _win,
    "DUT": _dut,
    "APR": _apr,
    "CYL": _cyl,
    "ICN": _icn,
    "SC6": _sc6,
    "C95": _c95,
    "FDL": _fdl,
    "ANT": _ant,
    "NFD": _nfd,
}
