"""The sentences of an evaluation: the number beside its limit, rounded to the strict side."""

from __future__ import annotations

import math
from collections.abc import Callable

from checklist.calculations.exposure.held import DENSITY, UNITS, Contribution
from checklist.calculations.exposure.limits import LimitSet
from checklist.calculations.exposure.model import Place
from checklist.calculations.exposure.places import Total
from checklist.quantities.display import figures
from checklist.rulebook import Standing


def place_says(place: Place, total: Total, limits: LimitSet) -> str:
    """Return one sentence: fraction, deciding emission, quantity beside limit, method."""
    deciding = total.deciding
    refused = [c for c in total.contributions if c.refused]
    if total.fraction is None or deciding is None:
        reasons = "; ".join(f"{c.emission}: {c.refused.reason}" for c in refused if c.refused)
        return f"{place.name}: not shown. {reasons or 'Nothing was evaluated'}."
    held = next(h for h in deciding.held if h.table == total.table)
    unit, times = UNITS[held.quantity], 1.0
    if held.quantity == "S":
        unit, times = limits.density_unit, DENSITY[limits.density_unit]
    rest = " Not everything is shown." if refused else ""
    value, limit = _up(held.value * times), _down(held.limit * times)
    return (
        f"{place.name}: {total.outcome}, {percent(total.fraction)} of the limit ({total.table}, "
        f"{limits.citation()}); {deciding.emission} decides, {held.quantity} "
        f"{value} {unit}, at most {limit} {unit}, {deciding.method}.{rest}"
    )


def not_shown(place: Place, contribution: Contribution) -> str:
    """Return why one emission is not shown at a place, and what would be right."""
    if contribution.refused is None:
        return ""
    refused = contribution.refused
    return f"{place.name}: {contribution.emission} is not shown, {refused.reason}. {refused.right}"


def unverified(total: Total, limits: LimitSet) -> tuple[str, ...]:
    """Return a caution for each value from memory that took part."""
    found = []
    if limits.is_unverified:
        found.append(f"The limits are from memory: unverified. {limits.title}, {limits.edition}.")
    memory = {
        u.address: u for c in total.contributions for u in c.used if u.standing is Standing.MEMORY
    }
    found += [f"From memory, unverified: {u.means}, {u.value} ({a})." for a, u in memory.items()]
    return tuple(found)


def clubs_own(limits: LimitSet) -> tuple[str, ...]:
    """Return a caution where the limits are a club's own: what the law asks is another question."""
    if not limits.is_clubs:
        return ()
    return (
        f"The limits are the club's own set, “{limits.name}”. Whether the law asks for more was "
        "not looked at: evaluate with the limits in force as well.",
    )


def percent(fraction: float) -> str:
    """Return a fraction in percent to three digits, rounded up: never milder than it is."""
    number = fraction * 100
    if number <= 0:
        return "0 %"
    digits = max(0, 2 - math.floor(math.log10(number)))
    scale = 10.0**digits
    return f"{math.ceil(number * scale - 1e-9) / scale:.{digits}f} %"


def _up(value: float) -> str:
    return _rounded(value, math.ceil, -1e-9)


def _down(value: float) -> str:
    return _rounded(value, math.floor, 1e-9)


def _rounded(value: float, side: Callable[[float], int], slack: float) -> str:
    if value <= 0:
        return "0"
    scale = 10.0 ** (3 - math.floor(math.log10(value)))
    return figures(side(value * scale + slack) / scale, 6)
