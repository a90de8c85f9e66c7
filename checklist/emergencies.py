"""What to do first when someone is hurt, read in seconds; needs nothing configured."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache

from checklist.quantities import Quantity, both
from checklist.quantities.display import unrounded
from checklist.shipped import shipped_rules
from checklist.strictyaml import read_yaml

TABLE = "tables/emergencies.yaml"
"""Where the numbers stand, with their sources: read alone, since no other file must keep help back.
"""

FIRST = "Do not become the second one."
"""Stands before everything else that is said."""


@dataclass(frozen=True, slots=True)
class Emergency:
    """What to do first, in order; read in seconds."""

    key: str
    name: str
    what: str
    do: tuple[str, ...]
    rests_on: str
    """Where this was read; a first-aid course goes before all of it."""


_WORDED = (
    Emergency(
        "1",
        "shock",
        "Electric shock",
        (
            "Do not touch the person while the power may be on.",
            "POWER OFF FIRST: breaker, plug, generator stop. One person does only this.",
            "{call} Say: electric shock.",
            "When the power is off: not breathing normally, start CPR, hard and fast; fetch the "
            "AED and do what it says.",
            "Capacitors may still be charged: pull the person clear of the open equipment.",
            "Cool burns with water. Anyone who had a shock is seen by a doctor, even if well.",
        ),
        "OSHA 3075 and first-response pages of several agencies and utilities, read by 2026-11",
    ),
    Emergency(
        "2",
        "line",
        "Power line down, or touching the tower, mast, wire or a vehicle",
        (
            "STAY AWAY: {stay_away} or more, also from fences and wires that touch it.",
            "No stick, no rope, no rescue: the ground itself can be live.",
            "{call} Say: power line. They call the utility.",
            "A person on the tower or in a vehicle stays there, unless it burns; then jumps clear "
            "with both feet together and shuffles away.",
            "Nobody goes near until the utility says that the line is dead and grounded.",
        ),
        "ESFI and utility pages, read by 2026-11; some say farther, and more on wet ground",
    ),
    Emergency(
        "3",
        "carbon-monoxide",
        "Carbon monoxide: headache, dizzy, sick, alarm sounding",
        (
            "DO NOT GO IN. Shout; everybody comes out into fresh air, and stays out.",
            "{call} Say: carbon monoxide. Say how many are inside.",
            "Stop the generator from outside if you can do it in fresh air.",
            "Not breathing normally, out in fresh air: start CPR.",
            "Everyone who was inside is seen by a doctor, even if better.",
        ),
        "CDC and CPSC pages on generators and carbon monoxide, read by 2026-11",
    ),
    Emergency(
        "4",
        "fall",
        "A fall, or somebody hanging in a harness",
        (
            "Radios and power off. Look for what can still fall.",
            "{call} Say: fall from height, or hanging on a tower.",
            "Hanging: the rescue you practised begins NOW, minutes count. Legs moving, feet in a "
            "loop if there is one.",
            "Fallen: do not move the person unless something else threatens. Hold the head still.",
            "Not breathing normally: start CPR.",
        ),
        "29 CFR 1926.502(d)(20) for prompt rescue; the rest is common practice, no source",
    ),
    Emergency(
        "5",
        "burn",
        "A burn, or a fire",
        (
            "Everybody out and away; power and fuel off only if the way is clear.",
            "{call} Say: fire, or burns.",
            "Burning clothes: stop, drop, roll; smother the flames.",
            "Cool a burn under running water for {cool_burn}; no ice, no ointment; cover loosely.",
            "Small fire, clear way out behind you: extinguisher. Otherwise leave it.",
            "RF and electrical burns go deep: they are seen by a doctor.",
        ),
        "first-aid pages read by 2026-11, the longest time that they name; else practice",
    ),
)
"""In our own words, with the places where the numbers go."""


@dataclass(frozen=True, slots=True)
class Numbers:
    """The numbers of `rules/tables/emergencies.yaml`, as they are said."""

    call: str
    """Whom to call: `911 (in Europe 112)`."""

    stay_away: str
    cool_burn: str


@cache
def hurt_numbers() -> Numbers:
    """Return the numbers, read once; raises StandclearError where the table is not right."""
    text = (shipped_rules() / TABLE).read_text(encoding="utf-8")
    values = read_yaml(text, TABLE).data["values"]
    own, europe = (_plain(values, a) for a in ("emergencies/number", "emergencies/number-europe"))
    return Numbers(
        f"{own} (in Europe {europe})",
        both(_quantity(values, "emergencies/stay-away"), 2, "up"),
        _plain(values, "emergencies/cool-burn"),
    )


def _quantity(values: Mapping[str, Mapping[str, str]], address: str) -> Quantity:
    number, _, unit = values[address.partition("/")[2]]["value"].partition(" ")
    return Quantity.of(number, unit)


def _plain(values: Mapping[str, Mapping[str, str]], address: str) -> str:
    return unrounded(_quantity(values, address))


@cache
def call() -> str:
    """Return whom to call, and how."""
    return f"CALL {hurt_numbers().call} now, speaker on, and stay on the line."


@cache
def emergencies() -> tuple[Emergency, ...]:
    """Return what can have happened, the keys in order."""
    numbers = hurt_numbers()
    said = {"call": call(), "stay_away": numbers.stay_away, "cool_burn": numbers.cool_burn}
    return tuple(replace(one, do=tuple(line.format(**said) for line in one.do)) for one in _WORDED)


def where_text(told: str) -> str:
    """Return what to tell the emergency operator about the place; `told` is what a walk knows."""
    return f"Where: {told}" if told else "Where: say the address or the coordinates, and the gate."


def numbered(emergency: Emergency) -> list[str]:
    """Return what to do, the first words before all, each with its number."""
    return [f"{n}. {line}" for n, line in enumerate((FIRST, *emergency.do), start=1)]
