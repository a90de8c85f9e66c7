"""An exposure evaluation as data for scripts: every number in SI units, named with its unit."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from checklist.calculations.exposure import PlaceResult, Remedies
from checklist.calculations.exposure.categories import CATEGORIES
from checklist.calculations.exposure.evaluate import TOLERANCE_DB, VERSION
from checklist.calculations.exposure.exempt import Exemption
from checklist.calculations.exposure.held import Contribution, Held
from checklist.calculations.exposure.zones import Zone
from checklist.pictures.plots import Plot
from checklist.sessions.stations.exposing import AtPoint, Described, Exposed


def whole(exposed: Exposed, remedies: Sequence[Remedies], plots: Sequence[Plot]) -> dict[str, Any]:
    """Return the whole evaluation with its remedies and what its plots show."""
    found = exposed.evaluation
    return {
        "station": exposed.described.station.name,
        "version": VERSION,
        "tolerance_db": TOLERANCE_DB,
        "outcome": found.outcome.value,
        "says": found.says,
        "limits": limits(exposed.described),
        "places": [_place(result) for result in found.places],
        "zones": [_zone(zone) for zone in found.zones],
        "categories": [
            {"number": c.number, "region": c.region, "sign": c.sign, "control": c.control}
            for c in CATEGORIES
        ],
        "remedies": [_remedies(one) for one in remedies],
        "exemption": _exemption(found.exemption),
        "stops": list(found.stops),
        "cautions": list(found.cautions),
        "assumptions": list(exposed.assumptions),
        "not_modelled": list(found.not_modelled),
        "made_from": list(exposed.described.scene_made.parts),
        "plots": [_plot(plot) for plot in plots],
        "used": [
            {"address": c.address, "value": c.value, "means": c.means, "citation": c.citation,
             "standing": c.standing.value}
            for c in found.used
        ],
    }  # fmt: skip


def point(described: Described, at: AtPoint) -> dict[str, Any]:
    """Return E, H and S of each emission at one point."""
    return {
        "station": described.station.name,
        "version": VERSION,
        "limits": limits(described),
        "point_m": list(at.point),
        "outcome": at.outcome.value,
        "shares": {tier.value: share for tier, share in at.shares.items()},
        "emissions": [_fields(found) for found in at.found],
    }


def limits(described: Described) -> dict[str, Any]:
    """Return the set of limits with its edition and standing."""
    limits = described.limits
    return {
        "name": limits.name,
        "title": limits.title,
        "edition": limits.edition,
        "jurisdiction": limits.jurisdiction,
        "standing": limits.standing.value,
        "unverified": limits.is_unverified,
    }


def _place(result: PlaceResult) -> dict[str, Any]:
    place, total = result.place, result.total
    deciding = total.deciding
    return {
        "name": place.name,
        "at_m": [place.x_m, place.y_m, place.low_m],
        "to_m": place.high_m,
        "tier": result.tier.value,
        "outcome": result.outcome.value,
        "fraction": total.fraction,
        "table": total.table or None,
        "deciding": deciding.emission if deciding else None,
        "quantity": deciding.worst.quantity if deciding and deciding.worst else None,
        "method": deciding.method if deciding else None,
        "says": result.says,
        "farther_m": result.farther_m,
        "higher_m": result.higher_m,
        "stops": list(result.stops),
        "cautions": list(result.cautions),
        "emissions": [_contribution(c) for c in total.contributions],
    }


def _contribution(found: Contribution) -> dict[str, Any]:
    strength = found.strength
    return {
        "emission": found.emission,
        "antenna": found.antenna,
        "distance_m": found.distance_m,
        "method": found.method,
        "why": strength.why if strength else None,
        "power_at_antenna_w": found.power.peak_w if found.power else None,
        "duty": found.power.duty if found.power else None,
        "held": [_held(held) for held in found.held],
        "not_shown": found.refused.reason if found.refused else None,
        "remedy": found.refused.right if found.refused else None,
        "sar": found.refused.is_sar if found.refused else False,
    }


def _held(held: Held) -> dict[str, Any]:
    return {
        "table": held.table,
        "averaging_s": held.averaging_s,
        "fraction": held.fraction,
        "always_on": held.always_on,
        "quantity": held.quantity,
        "value": held.value,
        "limit": held.limit,
        "power_w": held.power_w,
        "pauses_count": held.pauses_count,
    }


def _fields(found: Contribution) -> dict[str, Any]:
    is_shown = found.refused is None and found.strength is not None and found.power is not None
    e, h, s = found.fields() if is_shown else (None, None, None)
    return {**_contribution(found), "e_v_m": e, "h_a_m": h, "s_w_m2": s}


def _zone(zone: Zone) -> dict[str, Any]:
    return {
        "antenna": zone.antenna,
        "beyond_uncontrolled_m": zone.beyond_uncontrolled_m,
        "beyond_controlled_m": zone.beyond_controlled_m,
        "beyond_severe_m": zone.beyond_severe_m,
        "says": zone.says,
        "not_shown": zone.not_shown or None,
    }


def _remedies(place: Remedies) -> dict[str, Any]:
    return {
        "place": place.place,
        "share": place.share,
        "emission": place.emission or None,
        "found": [
            {"kind": r.kind, "says": r.says, "amount": r.amount, "unit": r.unit,
             "fraction": r.fraction}
            for r in place.found
        ],
        "not_enough": list(place.not_enough),
    }  # fmt: skip


def _exemption(found: Exemption | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "exempt": found.is_exempt,
        "total": found.total,
        "says": found.says,
        "shares": [
            {"name": s.name, "criterion": s.criterion or None, "ratio": s.ratio, "says": s.says}
            for s in found.shares
        ],
    }


def _plot(plot: Plot) -> dict[str, Any]:
    return {
        "title": plot.title,
        "x": plot.x.label,
        "y": plot.y.label,
        "curves": [
            {"name": curve.name, "points": [list(point) for point in curve.points]}
            for curve in plot.curves
        ],
        "spots": [{"x": s.x, "y": s.y, "says": s.says} for s in plot.spots],
    }
