"""An exposure evaluation as lines of text: for the shell, and for the tabs of the screen."""

from __future__ import annotations

import math
from collections.abc import Sequence

from checklist.calculations.exposure import Evaluation, PlaceResult, Remedies
from checklist.calculations.exposure.categories import CATEGORIES, SIGN_CONTENT, Category
from checklist.calculations.exposure.held import DENSITY, Contribution
from checklist.calculations.exposure.limits import Tier
from checklist.calculations.exposure.saying import percent
from checklist.calculations.exposure.strength import Sort
from checklist.calculations.exposure.zones import Zone
from checklist.calculations.kinds import Outcome
from checklist.quantities.display import figures, power
from checklist.sessions.stations.exposing import AtPoint, Described, Exposed

WORDS = {
    Outcome.WITHIN: "WITHIN the limits, by what was described",
    Outcome.OVER: "OVER: stop",
    Outcome.NOT_SHOWN: "NOT SHOWN to be within the limits: stop",
}
"""How an outcome is said at the head of a page."""

NO_REMEDY = (
    "The share of no place is over the limit, near it, or not shown.",
    "A stop of another kind stands with its place, and is answered there.",
)
"""What the remedies say where there is nothing to bring down."""

_MARKS = {Outcome.OVER: "OVER", Outcome.NOT_SHOWN: "NOT SHOWN", Outcome.WITHIN: "within"}
_WORST_FIRST = tuple(_MARKS)


def head_lines(exposed: Exposed) -> list[str]:
    """Return what stands first: the station, the outcome, the limits and how they are trusted."""
    found = exposed.evaluation
    return [
        f"RF exposure around {exposed.described.station.name}",
        WORDS[found.outcome],
        found.says,
        limits_line(exposed.described),
    ]


def limits_line(described: Described) -> str:
    """Return the set of limits with its edition and standing."""
    limits = described.limits
    return f"Limits: {limits.name}, {limits.citation()}; standing: {limits.standing.value}"


def stop_lines(found: Evaluation) -> list[str]:
    """Return what stops, then what wants care."""
    return [*_part("Stops", found.stops), *_part("Cautions", found.cautions)]


def places_lines(found: Evaluation) -> list[str]:
    """Return what was found at each place, the worst first."""
    lines = []
    for result in sorted(found.places, key=_how_bad):
        lines += ["", *_place(result)]
    return lines[1:] or ["No place where people can be was given."]


def zones_lines(found: Evaluation) -> list[str]:
    """Return the zone around each antenna, and what each category asks for."""
    lines = ["Zones, from the nearest part of the antenna, each on without a pause:"]
    lines += [f"  {_zone(zone)}" for zone in found.zones] or ["  There is no antenna."]
    lines += ["", "What each category asks for (47 CFR 1.1307(b)(4)):"]
    lines += [f"  {_category(one)}" for one in CATEGORIES]
    return [*lines, f"  {SIGN_CONTENT}"]


def remedy_lines(found: Sequence[Remedies]) -> list[str]:
    """Return the remedies of each place, each alone enough, and what is not."""
    if not found:
        return list(NO_REMEDY)
    lines: list[str] = []
    for place in found:
        aim = percent(place.share)
        alone = f"{place.place}: each of these alone brings it to {aim} of the limit or less"
        none = f"{place.place}: no single change was found that brings it to {aim} of the limit"
        lines += ["", alone if place.found else none]
        lines += [f"  {r.says.rstrip('.')}. Then {percent(r.fraction)}." for r in place.found]
        lines += [f"  {said}" for said in place.not_enough]
    return lines[1:]


def basis_lines(exposed: Exposed) -> list[str]:
    """Return what the result rests on: exemption, assumptions, and what was not modelled."""
    found = exposed.evaluation
    exempt = [f"{s.name}: {s.says}" for s in found.exemption.shares] if found.exemption else []
    said = [found.exemption.says] if found.exemption else []
    return [
        *_part("Exemption from routine evaluation, 47 CFR 1.1307(b)(3)", [*said, *exempt]),
        *_part("Assumed", exposed.assumptions),
        *_part("Not modelled", found.not_modelled),
        *_part(
            "Values used",
            [f"{c.means}: {_bare(c.value)} [{c.address}; {c.citation}]" for c in found.used],
        ),
    ]


def point_lines(described: Described, at: AtPoint) -> list[str]:
    """Return E, H and S of every emission at one point, and the shares of both tiers."""
    x, y, z = at.point
    lines = [
        f"RF exposure at {x:g} m east, {y:g} m north, {z:g} m up ({described.station.name})",
        WORDS[at.outcome],
        limits_line(described),
        "",
    ]
    for tier in Tier:
        share = at.shares[tier]
        said = "not shown" if share is None else f"{percent(share)} of the limit"
        lines.append(f"  {tier}: {said}")
    for found in at.found:
        lines += ["", *_fields(found, described)]
    return [
        *lines,
        "",
        "While on the air, averaged over the mode; pauses count in the shares alone.",
        "The outcome is that of the uncontrolled limit, the stricter one. It is of one point: "
        "a place is judged over the whole height of a body.",
    ]


def _fields(found: Contribution, described: Described) -> list[str]:
    if found.refused:
        return [f"{found.emission}: not shown, {found.refused.reason}. {found.refused.right}"]
    e, h, s = found.fields()
    unit = described.limits.density_unit
    # Only in free space and over perfect ground are there fields of their own.
    own = found.strength is not None and found.strength.sort is Sort.FIELDS
    follow = "" if own else " (E and H as in a plane wave of that S)"
    lines = [
        f"{found.emission}: E {figures(e, 4)} V/m, H {figures(h, 4)} A/m, "
        f"S {figures(s * DENSITY[unit], 4)} {unit}{follow}",
        f"  {found.method}, {found.distance_m or 0:.2f} m from {found.antenna}",
    ]
    if found.strength:
        lines.append(f"  {found.strength.why}")
    return lines


def _how_bad(result: PlaceResult) -> tuple[int, float]:
    share = result.total.fraction
    return _WORST_FIRST.index(result.outcome), -(math.inf if share is None else share)


def _place(result: PlaceResult) -> list[str]:
    total, place = result.total, result.place
    # The mark before it says the outcome already.
    says = result.says.replace(f"{place.name}: {result.outcome}, ", f"{place.name}: ", 1)
    lines = [
        f"{_MARKS[result.outcome]}  {says}",
        f"  {place.x_m:g} m east, {place.y_m:g} m north, a body from {place.low_m:g} m to "
        f"{place.high_m:g} m; judged as {result.tier}",
    ]
    if total.outcome is not Outcome.WITHIN:
        lines += [f"  Met {_far(result.farther_m, 'farther away')}; {_high(result.higher_m)}."]
    lines += [f"  {_share(c)}" for c in total.contributions]
    lines += [f"  Stop: {stop}" for stop in result.stops]
    return lines + [f"  Caution: {caution}" for caution in result.cautions]


def _share(found: Contribution) -> str:
    if found.refused or found.worst is None or found.strength is None:
        reason = found.refused.reason if found.refused else "it was not evaluated"
        return f"{found.emission}: not shown, {reason}."
    held = found.worst
    pauses = ", pauses counted" if held.pauses_count else ""
    return (
        f"{found.emission}: {percent(held.fraction)}, {held.quantity} decides, {found.method} at "
        f"{found.distance_m or 0:.2f} m, {power(held.power_w)} at the antenna{pauses}. "
        f"{found.strength.why}"
    )


def _far(metres: float | None, how: str) -> str:
    return f"at {_up(metres)} m {how}" if metres is not None else f"not shown at any step {how}"


def _high(metres: float | None) -> str:
    if metres is None:
        return "no greater height of the antenna was shown to meet it"
    return f"with the deciding antenna {_up(metres)} m higher"


def _up(metres: float) -> str:
    """Return metres rounded up: what is shown must suffice."""
    return f"{math.ceil(metres * 100 - 1e-9) / 100:.2f}"


def _zone(zone: Zone) -> str:
    return f"{zone.antenna}: {zone.says}" + (f" ({zone.not_shown})" if zone.not_shown else "")


def _category(one: Category) -> str:
    return f"{one.number}: {one.region}. Sign: {one.sign}. Control: {one.control}."


def _part(heading: str, entries: Sequence[str]) -> list[str]:
    return ["", heading, *(f"  {entry}" for entry in entries)] if entries else []


def _bare(value: str) -> str:
    """Return a value without the unit of a plain ratio."""
    return value.removesuffix(" 1") if value.count(" ") == 1 else value
