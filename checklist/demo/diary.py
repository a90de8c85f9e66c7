"""The year of the invented club, day by day: what everybody did, and what went wrong on purpose."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from checklist.demo.cast import LAPTOPS
from checklist.demo.happenings import (
    ClockSet,
    Corrected,
    End,
    Happening,
    HungUp,
    LogsRead,
    Received,
    Revoked,
    SignedLate,
    StationChanged,
    TakenOff,
    TakenOffByOthers,
    Walked,
)

DAYS = 364
"""From the first day to the last."""

TAMSIN, JUNIPER, WREN, MOSS, BRAM = (
    "Tamsin Oakes", "Juniper Vale", "Wren Holloway", "Moss Tarrant", "Bram Sorrel",
)  # fmt: skip
OFFICER = "Corin Ashby"

TOWER_BACK = {"locks-off": {"points": ["breaker 14", "plug of transceiver 1"], "others": "none"}}
DESK_BACK = {"locks-off": {"points": ["plug behind the desk"], "others": "none"}}
FIELD_BACK = {"locks-off": {"points": ["feed line plug"], "others": "read"}}
WIRE = "raising a wire from the ground, everything in order"
AMPLIFIER = "an amplifier, everything in order"
TOWER_GOES_BACK = "a tower goes back, everything in order"
HERE = "worked out here, everything in order"


def diary(*, whole_year: bool) -> tuple[Happening, ...]:
    """Return everything that happens, in order; without the whole year only what is planted."""
    found = [*_hill(), *_cellar(), *_field(), *_officer()]
    if whole_year:
        found += _ordinary_days()
    return tuple(sorted(found, key=lambda one: (one.day, one.at)))


def _hill() -> Iterator[Happening]:
    at = "hill"
    yield Walked(day=20, at="09:00", laptop=at, nick="climb", rule="tower-work")
    yield TakenOff(day=20, at="13:10", laptop=at, person=TAMSIN)
    yield Walked(
        day=20, at="13:30", laptop=at, nick="climb back", rule="release",
        example=TOWER_GOES_BACK, answers=TOWER_BACK,
    )  # fmt: skip
    yield Walked(
        day=33, at="19:00", laptop=at, nick="amplifier", rule="inside-equipment", example=AMPLIFIER
    )
    yield TakenOff(day=33, at="21:30", laptop=at, person=TAMSIN)
    yield Walked(
        day=33, at="21:40", laptop=at, nick="amplifier back", rule="release", answers=DESK_BACK
    )
    yield Walked(
        day=40, at="10:00", laptop=at, nick="line too near", rule="tower-work",
        answers={
            "lines": {
                "mast-height": "60 ft", "above-top": "10 ft", "sideways-reach": "15 ft",
                "line-voltage": "7.2 kV", "ground-distance": "41 ft",
            }
        },
    )  # fmt: skip
    yield Walked(
        day=80, at="09:30", laptop=at, nick="dropped wrench", rule="tower-work",
        near_miss="A wrench fell from 30 ft beside the drop zone. Nobody was under it.",
    )  # fmt: skip
    yield TakenOff(day=80, at="12:00", laptop=at, person=TAMSIN)
    yield Walked(
        day=120, at="15:00", laptop=at, nick="bonding", rule="station-bonding", signers=(WREN,)
    )
    yield Walked(
        day=150, at="20:00", laptop=at, nick="evaluation", rule="exposure-review", example=HERE,
        answers={"filed": "station folder, tab 4"}, signers=(WREN,),
    )  # fmt: skip
    yield Walked(
        day=170, at="10:00", laptop=at, nick="clock set back", rule="tower-work", example=WIRE,
        clock_step=timedelta(minutes=-67),
    )  # fmt: skip
    yield ClockSet(day=170, at="11:50", laptop=at)
    yield TakenOff(day=170, at="12:00", laptop=at, person=TAMSIN)
    yield StationChanged(
        day=200, at="11:00", laptop=at,
        before="centre: [0 m, 12 m, 12 m]", after="centre: [0 m, 12 m, 9 m]",
    )  # fmt: skip
    yield HungUp(
        day=230, at="17:00", laptop=at, point="rotator supply", lock="7", person=TAMSIN,
        why="the rotator is apart", until="4 h",
    )  # fmt: skip
    yield TakenOffByOthers(
        day=232, at="10:15", laptop=at, lock="7", by=(WREN, OFFICER),
        facts={
            "absent": "The site was searched, her car is not there, the house was asked.",
            "contact": "Called 09:40 and 09:55, reached at 10:02: the work is done.",
            "told": "Wren tells her at the gate before she works here again.",
        },
    )  # fmt: skip
    yield Corrected(
        day=250, at="18:00", laptop=at, nick="amplifier", step="dead", answer="12 V",
        reason="The meter stood on the wrong range; the paper log has 12 V.",
        signer=TAMSIN, role="worker",
    )  # fmt: skip
    yield Walked(day=346, at="19:00", laptop=at, nick="last box", rule="inside-equipment")
    yield TakenOff(day=346, at="20:30", laptop=at, person=TAMSIN)
    yield Walked(day=348, at="09:00", laptop=at, nick="last climb", rule="tower-work")
    yield TakenOff(day=348, at="13:00", laptop=at, person=TAMSIN)
    yield Walked(
        day=348, at="13:20", laptop=at, nick="last climb back", rule="release",
        example=TOWER_GOES_BACK, answers=TOWER_BACK,
    )  # fmt: skip
    yield HungUp(
        day=355, at="16:00", laptop=at, point="mast light supply", lock="9", person=TAMSIN,
        why="the mast light is apart", until="6 h",
    )  # fmt: skip
    yield Walked(
        day=363, at="16:30", laptop=at, nick="unfinished", rule="tower-work", end=End.LEFT, after=6
    )


def _cellar() -> Iterator[Happening]:
    at = "cellar"
    yield Walked(
        day=47, at="18:00", laptop=at, nick="set moved", rule="emergency-power",
        answers={"openings": "34 ft"}, at_first={"openings": "12 ft"},
        because="The set was carried to the far side of the yard and measured again.",
    )  # fmt: skip
    yield Walked(
        day=70, at="18:00", laptop=at, nick="rod not known", rule="emergency-power",
        answers={
            "openings": "34 ft", "electrode": "don't know",
            "crew": [f"{MOSS}, in charge", f"{BRAM}, helper"],
        },
        end=End.ONE_MISSING,
    )  # fmt: skip
    yield SignedLate(
        day=71, at="19:00", laptop=at, nick="rod not known", person=BRAM, role="helper"
    )
    yield Walked(
        day=90, at="20:00", laptop=at, nick="one missing", rule="inside-equipment",
        end=End.ONE_MISSING,
    )  # fmt: skip
    yield TakenOff(day=90, at="21:30", laptop=at, person=JUNIPER)
    yield Walked(
        day=95, at="10:00", laptop=at, nick="given up", rule="tower-work", end=End.GIVEN_UP, after=5
    )
    yield Corrected(
        day=100, at="18:00", laptop=at, nick="set moved", step="voltage", answer="119 V",
        reason="The paper log has 119 V; 121 V was read before the load came on.",
        signer=MOSS, role="in charge",
    )  # fmt: skip
    yield Walked(
        day=121, at="15:00", laptop=at, nick="cellar bonding", rule="station-bonding",
        signers=(MOSS,),
    )  # fmt: skip
    yield Walked(
        day=151, at="20:00", laptop=at, nick="cellar evaluation", rule="exposure-review",
        example=HERE, answers={"filed": "station folder, tab 1"}, signers=(MOSS,),
    )  # fmt: skip
    yield Walked(
        day=215, at="18:00", laptop=at, nick="revoked key", rule="emergency-power",
        answers={"openings": "34 ft", "crew": [f"{MOSS}, in charge", f"{BRAM}, helper"]},
    )  # fmt: skip
    yield Walked(
        day=345, at="18:00", laptop=at, nick="low voltage", rule="emergency-power",
        answers={"openings": "34 ft", "voltage": "112 V"},
    )  # fmt: skip


def _field() -> Iterator[Happening]:
    day = 190
    yield Walked(day=day, at="08:00", laptop="field-1", nick="field day", rule="field-event")
    yield Walked(
        day=day, at="08:40", laptop="field-3", nick="field masts", rule="tower-work", example=WIRE
    )
    yield Walked(
        day=day, at="09:30", laptop="field-2", nick="field power", rule="emergency-power",
        answers={"openings": "40 ft"},
    )  # fmt: skip
    yield LogsRead(day=day, at="11:00", laptop="field-1", of=("field-2", "field-3"))
    yield TakenOff(day=day, at="17:00", laptop="field-3", person=JUNIPER)
    yield LogsRead(day=day, at="17:05", laptop="field-3", of=("field-1", "field-2"))
    yield Walked(
        day=day, at="17:10", laptop="field-3", nick="field masts back", rule="release",
        example=TOWER_GOES_BACK, answers=FIELD_BACK,
    )  # fmt: skip
    yield LogsRead(day=day, at="18:00", laptop="field-1", of=("field-2", "field-3"))
    yield Walked(
        day=day + 1, at="08:00", laptop="field-1", nick="thunder", rule="field-event",
        answers={"thunder": "no"},
    )  # fmt: skip


def _officer() -> Iterator[Happening]:
    for day in (60, 160, 192, 280, 362):
        yield from _visits(day)
    yield Revoked(
        day=205, at="12:00", laptop="officer", person=BRAM, of_laptop="cellar",
        reason="The passphrase stood on a note beside the laptop.",
    )  # fmt: skip


def _visits(day: int) -> Iterator[Happening]:
    """Yield the receipts of one round; the officer's own ledger comes last."""
    names = [laptop.name for laptop in LAPTOPS[1:] if day > 190 or not laptop.is_for_the_field]
    for hour, name in enumerate([*names, LAPTOPS[0].name]):
        yield Received(day=day, at=f"{hour + 10}:00", laptop=name)


def _ordinary_days() -> Iterator[Happening]:
    """Yield what a year is full of: nothing in it is planted."""
    for month in range(12):
        day = 9 + 30 * month
        yield Walked(
            day=day, at="18:00", laptop="cellar", nick=f"power, month {month + 1}",
            rule="emergency-power", answers={"openings": "34 ft"},
        )  # fmt: skip
        if month % 2:
            yield from _at_the_desk(day + 3, month)
        else:
            yield from _up_the_tower(day + 3, month)


def _at_the_desk(day: int, month: int) -> Iterator[Happening]:
    yield Walked(
        day=day, at="19:00", laptop="hill", nick=f"box, month {month + 1}", rule="inside-equipment"
    )
    yield TakenOff(day=day, at="20:30", laptop="hill", person=TAMSIN)
    yield Walked(
        day=day, at="20:40", laptop="hill", nick=f"box back, month {month + 1}", rule="release",
        answers=DESK_BACK,
    )  # fmt: skip


def _up_the_tower(day: int, month: int) -> Iterator[Happening]:
    yield Walked(
        day=day, at="09:00", laptop="hill", nick=f"tower, month {month + 1}", rule="tower-work"
    )
    yield TakenOff(day=day, at="13:00", laptop="hill", person=TAMSIN)
    yield Walked(
        day=day, at="13:20", laptop="hill", nick=f"tower back, month {month + 1}", rule="release",
        example=TOWER_GOES_BACK, answers=TOWER_BACK,
    )  # fmt: skip
