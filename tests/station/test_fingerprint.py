"""Fingerprints: what changed is told, and what did not change is not."""

from __future__ import annotations

import hashlib
import json

import pytest

from checklist.station import changed_parts, changes, fingerprint, fingerprints, load_station
from tests.station.making import WHOLE, loaded, whole


def test_a_changed_height_is_said_with_both_values() -> None:
    """A dipole that was lowered makes an evaluation stale, and the sentence says how."""
    now = loaded(("centre: [0 m, 12 m, 12 m]", "centre: [0 m, 12 m, 9 m]"))

    assert changes(whole(), now) == ("the antenna dipole-40: centre, z changed, 12 m to 9 m",)
    assert changed_parts(fingerprints(whole()), fingerprints(now)) == (
        "the antenna dipole-40 changed",
    )


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("length: 90 ft", "length: 27.432 m"),
        ("frequency: 10.368 GHz", "frequency: 10368 MHz"),
        ("gain: 3 dBd", "gain: 5.15 dBi"),
        ("load-swr: 1.5", "load-swr: 1.50"),
    ],
)
def test_another_unit_for_the_same_value_is_no_change(old: str, new: str) -> None:
    """NIST SP 811 has the foot exactly 0.3048 m, so 90 ft are 27.432 m and nothing is stale."""
    now = loaded((old, new))

    assert fingerprints(now) == fingerprints(whole())
    assert changes(whole(), now) == ()


def test_another_order_of_entries_is_no_change() -> None:
    """Moving an entry in the file changes nothing."""
    line = "  rangefinder-2: {is: laser rangefinder, checked: 2026-03-01}\n"
    other = "  meter-1: {is: multimeter, rating: CAT III 600 V, due: 2027-03-01}\n"
    now = loaded((line + other, other + line))

    assert fingerprints(now) == fingerprints(whole())


def test_what_came_and_what_went_is_named() -> None:
    """An entry that is new or gone is said once, not for each of its keys."""
    line = "  meter-1: {is: multimeter, rating: CAT III 600 V, due: 2027-03-01}\n"
    without = loaded((line, ""))

    assert changes(whole(), without) == ("the instrument meter-1 is gone",)
    assert changes(without, whole()) == ("the instrument meter-1 is new",)
    assert changed_parts(fingerprints(without), fingerprints(whole())) == (
        "the instrument meter-1 is new",
    )


def test_keys_that_come_and_go_are_said() -> None:
    """A key that was added, or taken out, is a change of its entry."""
    without = loaded(("    load-swr: 1.5\n", ""))

    assert changes(whole(), without) == ("the feed line to-dipole: load-swr was taken out: 1.5",)
    assert changes(without, whole()) == ("the feed line to-dipole: load-swr was added: 1.5",)


def test_one_fingerprint_stands_for_the_parts_that_were_used() -> None:
    """A change elsewhere leaves it; a change in a part, or a part that goes, changes it."""
    used = ["antennas/dipole-40", "feed-lines/to-dipole", "law"]
    elsewhere = loaded(("tall: 1.9 m", "tall: 1.8 m"))
    within = loaded(("limits: fcc-1310", "limits: club-1"))

    assert fingerprint(whole(), used) == fingerprint(elsewhere, used)
    assert fingerprint(whole(), used) != fingerprint(within, used)
    assert fingerprint(whole()) != fingerprint(elsewhere)
    assert fingerprint(whole(), ["antennas/none"]) != fingerprint(whole(), ["antennas/dipole-40"])


def test_a_fingerprint_can_be_made_by_hand() -> None:
    """It is SHA-256 (FIPS 180-4) over JSON of each way and its exact value, as documented."""
    held = [["origin", "north-east foot of the tower"]]
    text = "format: 1\nname: a\nlocation: {address: x, origin: north-east foot of the tower}\n"
    station = load_station(text + "law: {jurisdiction: y, limits: z}\n", "s")
    by_hand = hashlib.sha256(json.dumps([["address", "x"], *held]).encode()).hexdigest()

    assert fingerprints(station)["location"] == by_hand
    assert len(by_hand) == 64


def test_every_part_of_the_file_has_a_fingerprint() -> None:
    """Each entry of each section is a part of its own."""
    parts = fingerprints(whole())

    assert {"law", "location", "people/wren", "antennas/dish", "bonding/bonds/jumper"} <= set(parts)
    assert WHOLE.count("enters-as") == sum("coax" in p or "phone" in p for p in parts)
