"""Runs the calculations that take a whole station, and makes a finding of what they say. Pure."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction

from checklist.calculations.exposure.evaluate import Evaluation, PlaceResult, evaluate
from checklist.calculations.exposure.figures import figures
from checklist.calculations.exposure.held import DENSITY, UNITS, Held
from checklist.calculations.exposure.limits import LimitSet
from checklist.calculations.fromstation import BONDING, EXPOSURE, StationCalculation
from checklist.calculations.judging import Computed
from checklist.calculations.kinds import Finding, Outcome, Output, Result
from checklist.calculations.run import eased_is_said
from checklist.errors import StandclearError
from checklist.rulebook import Book, Cited
from checklist.station.fingerprint import fingerprints
from checklist.station.scene import parts_used, scene_of
from checklist.station.station import Station

Progress = Callable[[int, int], None]
"""Told how many places are done, and of how many."""

_BROKEN = (ArithmeticError, ValueError, LookupError, TypeError, RuntimeError, MemoryError)
"""What numbers nobody thought of may raise inside an engine; none of it reaches people."""


Evaluated = Callable[[Evaluation, tuple[str, ...]], None]
"""Given the evaluation of exposure with the assumptions of its scene, where one was made."""


def finding_of(
    calculation: StationCalculation,
    station: Station,
    book: Book,
    limits: LimitSet | None,
    progress: Progress | None = None,
    evaluated: Evaluated | None = None,
) -> Finding:
    """Return what the calculation finds about the station.

    `limits` is the set that the station's law names; the bonding network needs none. Raises
    StandclearError where the station describes nothing to look at or what cannot be. Where the
    engine itself fails, the finding is *not shown* and says so.
    """
    given = {"station": station.name}
    if limits is not None:
        given["limits"] = limits.citation()
    try:
        is_bonding = calculation is BONDING
        result = (
            _bonding(station, book)
            if is_bonding
            else _exposure(station, book, limits, progress, evaluated)
        )
    except _BROKEN as error:
        says = f"Not shown: the engine could not work it out ({type(error).__name__})."
        result = Result(Outcome.NOT_SHOWN, says, stops=(says,), decided_by="the engine")
    return Finding(calculation.name, calculation.version, given, eased_is_said(result))


def parts_of(calculation: str, station: Station) -> dict[str, str]:
    """Return the fingerprint of each part of the station that the calculation looks at."""
    every = fingerprints(station)
    if calculation == EXPOSURE.name:
        looked_at = set(parts_used(station, station.places))
        return {name: mark for name, mark in every.items() if name in looked_at}
    return {name: mark for name, mark in every.items() if name.split("/")[0] == "bonding"}


def _bonding(station: Station, book: Book) -> Result:
    from checklist.calculations.bonding.network_findings import ASSUMPTIONS, as_result, examine

    if station.bonding is None:
        raise StandclearError("it describes no bonding network", right="Add bonding: to it.")
    found = as_result(examine(station.bonding.network(), book))
    return Result(
        found.outcome, found.says, found.outputs, found.stops, found.cautions,
        found.decided_by, found.used, found.lines, ASSUMPTIONS,
    )  # fmt: skip


def _exposure(
    station: Station,
    book: Book,
    limits: LimitSet | None,
    progress: Progress | None,
    evaluated: Evaluated | None,
) -> Result:
    if limits is None:
        raise StandclearError("no limits are at hand for it", where="law")
    made = scene_of(station, figures(book))
    found = evaluate(made.scene, limits, book, progress)
    if evaluated:
        evaluated(found, made.assumptions)
    stops = found.stops
    if found.outcome is not Outcome.WITHIN and not stops:
        stops = (found.says,)
    return Result(
        outcome=found.outcome,
        says=found.says,
        outputs=tuple(_share(place) for place in found.places if _is_number(place)),
        stops=stops,
        cautions=found.cautions,
        decided_by=_decided(found),
        used=tuple({c.address: c for c in (*_limits_used(found), *found.used)}.values()),
        lines=tuple(_lines(found)),
        assumptions=(
            *made.assumptions,
            *found.assumptions,
            *(f"Not modelled: {what}" for what in found.not_modelled),
        ),
    )


def _is_number(place: PlaceResult) -> bool:
    return place.total.fraction is not None and math.isfinite(place.total.fraction)


def _share(place: PlaceResult) -> Output:
    share = Computed(Fraction(place.total.fraction or 0.0) * 100, "%")
    name = place.place.name
    return Output(f"share-{name}", f"share of the limit at {name}", share.quantity)


def _decided(found: Evaluation) -> str:
    shown = [place for place in found.places if _is_number(place)]
    worst = max(shown, key=lambda place: place.total.fraction or 0.0, default=None)
    if worst is None or worst.total.deciding is None:
        return ""
    return f"{worst.total.deciding.emission} at {worst.place.name}"


def _lines(found: Evaluation) -> Iterator[str]:
    for place in found.places:
        yield place.says
        if place.farther_m:
            yield f"{place.place.name}: it would be met {place.farther_m:.3g} m farther away."
        if place.higher_m:
            yield f"{place.place.name}: it would be met by {place.higher_m:.3g} m more height."
    if found.exemption is not None:
        yield found.exemption.says


def _limits_used(found: Evaluation) -> Iterable[Cited]:
    """Yield each limit as it was resolved: at which frequency band, for whom, and how much."""
    limits = found.limits
    for place in found.places:
        for contribution in place.total.contributions:
            for held in contribution.held:
                yield Cited(
                    f"limits/{limits.name}/{held.table}/{place.tier}/{contribution.emission}"
                    f"/{held.quantity}",
                    _limit_text(held, limits),
                    f"limit for {contribution.emission}, {place.tier} tier, {held.quantity}",
                    limits.citation(),
                    limits.standing,
                )


def _limit_text(held: Held, limits: LimitSet) -> str:
    if held.quantity == "S":
        return f"{held.limit * DENSITY[limits.density_unit]:.6g} {limits.density_unit}"
    return f"{held.limit:.6g} {UNITS[held.quantity]}"
