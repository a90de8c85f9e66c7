"""How fast carbon monoxide fills a room: a picture that warns and never permits."""

from __future__ import annotations

from fractions import Fraction
from math import expm1, log1p

from checklist.calculations.judging import Computed, Judgement, near
from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.quantities import Quantity
from checklist.rulebook import Book

_ALL_OF_IT = 1_000_000.0  # parts per million: there is nothing beyond the whole

_INPUTS = (
    Input(
        "place",
        "where the engine runs",
        example="inside",
        choices={
            "inside": "any room, garage, shed, porch, carport, tent, vehicle or walled canopy, "
            "with doors open or shut",
            "open-air": "outdoors, with no roof and no walls around",
        },
    ),
    Input("volume", "the volume of the room", "volume", "3200 ft3", most="1000000 m3"),
    Input(
        "air-changes",
        "how often the air is changed; 0 1/h for a closed room",
        "air changes",
        "0.5 1/h",
        least="0 1/h",
        most="1000 1/h",
    ),
    Input("minutes", "how long the engine runs", "time", "10 min", most="30 d"),
    Input(
        "emission",
        "what the engine gives off, if it was measured; the worst published otherwise",
        "mass flow",
        "4000 g/h",
        optional=True,
        most="100 kg/h",
    ),
)


def concentration(
    emission: float, volume: float, air_changes: float, hours: float, milligrams_per_ppm: float
) -> float:
    """Return the carbon monoxide in a well-mixed room, in ppm, at most the whole of its air.

    `emission` in mg/h, `volume` in m3, `air_changes` per hour. C = E/(a V) (1 - exp(-a t)),
    and E t/V in a closed room. Mass balance of one well-mixed zone.
    """
    exchanged = air_changes * hours
    # expm1 keeps the limit of a closed room exact where the exponential would cancel.
    times = hours if exchanged == 0 else -expm1(-exchanged) / air_changes
    return min(emission * times / volume / milligrams_per_ppm, _ALL_OF_IT)


def hours_until(
    ppm: float, emission: float, volume: float, air_changes: float, milligrams_per_ppm: float
) -> float | None:
    """Return after how many hours a level is reached; None where it never is.

    Units as in `concentration`. The inverse of the same mass balance.
    """
    mass = ppm * milligrams_per_ppm * volume
    if air_changes == 0:
        return mass / emission
    share = mass * air_changes / emission
    return None if share >= 1 else -log1p(-share) / air_changes


def _compute(inputs: Given, book: Book) -> Result:
    judgement = Judgement()
    place = inputs.word("place")
    if place == "inside":
        judgement.over(
            "The engine runs inside: no engine runs in any room, tent or shelter, whatever is "
            "computed and with any door open.",
            "place",
        )
    elif place == "open-air":
        judgement.unknown("the open air", "is not covered by this picture; distance decides there")
    else:
        judgement.unknown("where the engine runs")
    _picture(judgement, inputs, book)
    return judgement.result()


def _picture(judgement: Judgement, inputs: Given, book: Book) -> None:
    volume, air = inputs.quantity("volume"), inputs.quantity("air-changes")
    minutes = inputs.quantity("minutes")
    for name, known in (("volume", volume), ("air changes", air), ("running time", minutes)):
        if known is None:
            judgement.unknown(f"the {name}")
    if volume is None or air is None or minutes is None or "emission" in inputs.unknown:
        return
    if inputs.word("place") == "open-air":
        return
    emission = inputs.quantity("emission") or judgement.value(
        book.value("generator/emission-worst")
    )
    per_ppm = judgement.value(book.value("carbon-monoxide/milligrams-per-ppm")).number("mg/m3")
    room = (emission.number("g/h") * 1000, volume.number("m3"), air.number("1/h"))
    after = concentration(*room, minutes.number("h"), per_ppm)
    settled = concentration(*room, 1e9, per_ppm)
    judgement.lines += _arithmetic((emission, volume, air, minutes), per_ppm, after, settled)
    judgement.output("after", "carbon monoxide after that time", _ppm(after))
    judgement.output("settled", "carbon monoxide it climbs to in the end", _ppm(settled))
    for name in ("ceiling", "idlh"):
        _until(judgement, name, room, per_ppm, book)


def _arithmetic(
    given: tuple[Quantity, Quantity, Quantity, Quantity],
    per_ppm: float,
    after: float,
    settled: float,
) -> list[str]:
    """Return the lines from what was given to the level after the time, and in the end."""
    emission, volume, air, minutes = given
    mass, room, hours = emission.number("g/h") * 1000, volume.number("m3"), minutes.number("h")
    lines = [
        f"given off: {emission.text()} = {mass:.7g} mg/h",
        f"room: {volume.text()} = {room:.5g} m3",
        f"time: {minutes.text()} = {hours:.5g} h",
    ]
    per = f"{per_ppm:.5g} mg/m3 for each ppm"
    most = f"not above {_ALL_OF_IT:.7g} ppm, all of the air"
    capped = f", {most}" if after >= _ALL_OF_IT else ""
    if not air.value:
        return [
            *lines,
            f"no air comes in: {mass:.7g} mg/h x {hours:.5g} h / {room:.5g} m3 / {per}{capped} = "
            f"{near(_ppm(after))}",
            f"in the end, no air coming in: {near(_ppm(settled))}",
        ]
    free = mass / air.number("1/h") / room / per_ppm
    reached = f"in the end: {mass:.7g} mg/h / ({air.text()} x {room:.5g} m3) / {per}"
    return [
        *lines,
        f"{reached} = {free:.5g} ppm",
        *([f"in the end, {most}: {near(_ppm(settled))}"] if free > settled else []),
        f"after {minutes.text()}: {free:.5g} ppm x (1 - exp(-{air.text()} x {hours:.5g} h))"
        f"{capped} = {near(_ppm(after))}",
    ]


def _until(
    judgement: Judgement,
    name: str,
    room: tuple[float, float, float],
    per_ppm: float,
    book: Book,
) -> None:
    level = book.value(f"carbon-monoxide/{name}")
    limit: Quantity = judgement.value(level)
    hours = hours_until(limit.number("ppm"), *room, per_ppm)
    if hours is None:
        judgement.lines.append(f"{limit.text()} ({level.cited.means}) is never reached")
        return
    minutes = Computed(Fraction(hours) * 60, "min")
    meaning = f"time until {limit.text()}: {level.cited.means}"
    judgement.output(f"until-{name}", meaning, minutes, "down")
    judgement.lines.append(
        f"{limit.text()} ({level.cited.means}): {_until_words(limit, room, per_ppm)} = "
        f"{near(minutes)}"
    )


def _until_words(limit: Quantity, room: tuple[float, float, float], per_ppm: float) -> str:
    mass, volume, air = room
    held = f"{limit.text()} x {per_ppm:.5g} mg/m3 x {volume:.5g} m3"
    if air == 0:
        return f"{held} / {mass:.7g} mg/h x 60 min/h"
    return f"-ln(1 - {held} x {air:.5g} 1/h / {mass:.7g} mg/h) / {air:.5g} 1/h x 60 min/h"


def _ppm(value: float) -> Computed:
    return Computed(Fraction(value), "ppm")


CARBON_MONOXIDE = Calculation(
    name="carbon-monoxide",
    title="Carbon monoxide in a room",
    version=1,
    inputs=_INPUTS,
    formula="C = E / (a V) x (1 - exp(-a t)), and E t / V in a closed room; C in mg/m3, E what the "
    "set gives off (mg/h), a air changes per hour, V the room (m3), t the time (h); "
    "ppm = mg/m3 / 1.1456",
    sources=("nist-co-2014", "niosh-co", "co-molar-volume", "cdc-generator"),
    assumptions=(
        "One well-mixed room: near the engine it is far worse.",
        "The worst published emission of unmodified sets, unless another was given; a worn or "
        "choked engine gives off more.",
        "It never permits: any room is a stop, and the open air is not covered.",
    ),
    compute=_compute,
    only_stops=True,
)
