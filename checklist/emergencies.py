"""What to do first when someone is hurt, read in seconds; needs nothing configured."""

from __future__ import annotations

from dataclasses import dataclass

FIRST = "Do not become the second one."
"""Stands before everything else that is said."""

CALL = "CALL 911 (in Europe 112) now, speaker on, and stay on the line."


@dataclass(frozen=True, slots=True)
class Emergency:
    """What to do first, in order; read in seconds."""

    key: str
    name: str
    what: str
    do: tuple[str, ...]
    rests_on: str
    """Where this was read; a first-aid course goes before all of it."""


EMERGENCIES = (
    Emergency(
        "1",
        "shock",
        "Electric shock",
        (
            "Do not touch the person while the power may be on.",
            "POWER OFF FIRST: breaker, plug, generator stop. One person does only this.",
            f"{CALL} Say: electric shock.",
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
            "STAY AWAY: 35 ft (11 m) or more, also from fences and wires that touch it.",
            "No stick, no rope, no rescue: the ground itself can be live.",
            f"{CALL} Say: power line. They call the utility.",
            "A person on the tower or in a vehicle stays there, unless it burns; then jumps clear "
            "with both feet together and shuffles away.",
            "Nobody goes near until the utility says that the line is dead and grounded.",
        ),
        "ESFI and utility pages, read 2026-11: 35 ft; some say 50 ft, wet ground more",
    ),
    Emergency(
        "3",
        "carbon-monoxide",
        "Carbon monoxide: headache, dizzy, sick, alarm sounding",
        (
            "DO NOT GO IN. Shout; everybody comes out into fresh air, and stays out.",
            f"{CALL} Say: carbon monoxide. Say how many are inside.",
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
            f"{CALL} Say: fall from height, or hanging on a tower.",
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
            f"{CALL} Say: fire, or burns.",
            "Burning clothes: stop, drop, roll; smother the flames.",
            "Cool a burn under running water for 20 minutes; no ice, no ointment; cover loosely.",
            "Small fire, clear way out behind you: extinguisher. Otherwise leave it.",
            "RF and electrical burns go deep: they are seen by a doctor.",
        ),
        "first-aid pages read 2026-11: 10 to 20 minutes, the longer taken; else practice",
    ),
)


def where_text(told: str) -> str:
    """Return what to tell the emergency operator about the place; `told` is what a walk knows."""
    return f"Where: {told}" if told else "Where: say the address or the coordinates, and the gate."


def numbered(emergency: Emergency) -> list[str]:
    """Return what to do, the first words before all, each with its number."""
    return [f"{n}. {line}" for n, line in enumerate((FIRST, *emergency.do), start=1)]
