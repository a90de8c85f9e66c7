"""Tells whether a station changed, and says in words where.

A part is one entry, such as one antenna, or one section without entries. Its fingerprint is
the SHA-256 of everything in it with exact values: another unit for the same value, another
order of entries or another layout of the file is no change.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping

from checklist.station.loader import STATION
from checklist.station.records import EntryName
from checklist.station.shapes import Leaf, Steps
from checklist.station.station import Station

_CALLED = {
    "location": "the location",
    "law": "the law in force",
    "name": "the station's name",
    "people": "the person",
    "instruments": "the instrument",
    "kit": "the kit",
    "isolation-points": "the isolation point",
    "places": "the place",
    "transmitters": "the transmitter",
    "feed-lines": "the feed line",
    "antennas": "the antenna",
    "emissions": "the emission",
    "never-together": "what is never on together",
    "nodes": "the node",
    "bonds": "the bond",
    "generators": "the generator",
    "loads": "the load",
    "cords": "the cord",
}


def fingerprints(station: Station) -> dict[str, str]:
    """Return the fingerprint of each part, by its name: `antennas/dipole-40`, `location`."""
    parts: dict[str, list[tuple[str, str]]] = {}
    for steps, compared, _ in STATION.leaves(station):
        part = _part(steps)
        parts.setdefault("/".join(part), []).append(("/".join(steps[len(part) :]), compared))
    return {
        name: hashlib.sha256(json.dumps(sorted(held), ensure_ascii=True).encode()).hexdigest()
        for name, held in sorted(parts.items())
    }


def fingerprint(station: Station, parts: Iterable[str] | None = None) -> str:
    """Return one fingerprint for the named parts, or for the whole station.

    A part that is not there counts as such, so that its coming or going is a change.
    """
    every = fingerprints(station)
    chosen = every if parts is None else {part: every.get(part, "") for part in parts}
    return hashlib.sha256(json.dumps(sorted(chosen.items())).encode()).hexdigest()


def changed_parts(old: Mapping[str, str], new: Mapping[str, str]) -> tuple[str, ...]:
    """Return one sentence for each part whose fingerprint differs, came or went."""
    said = []
    for part in sorted(old.keys() | new.keys()):
        if old.get(part) == new.get(part):
            continue
        what = "is new" if part not in old else "is gone" if part not in new else "changed"
        said.append(f"{_called(part.split('/'))} {what}")
    return tuple(said)


def changes(old: Station, new: Station) -> tuple[str, ...]:
    """Return one sentence for each value that changed, with both values as they are written."""
    before, after = _by_steps(old), _by_steps(new)
    said = []
    told: set[Steps] = set()
    for steps in sorted(before.keys() | after.keys()):
        one, other = before.get(steps), after.get(steps)
        part = _part(steps)
        if part in told or (one and other and one[1] == other[1]):
            continue
        if _is_whole(part, before) != _is_whole(part, after):
            told.add(part)
            said.append(f"{_called(part)} is {'gone' if _is_whole(part, before) else 'new'}")
            continue
        key = ", ".join(steps[len(part) :])
        named = f"{_called(part)}: {key}" if key else _called(part)
        said.append(f"{named} {_from_to(one, other)}")
    return tuple(said)


def _from_to(one: Leaf | None, other: Leaf | None) -> str:
    if one is None:
        return f"was added: {other[2] if other else ''}"
    if other is None:
        return f"was taken out: {one[2]}"
    return f"changed, {one[2]} to {other[2]}"


def _by_steps(station: Station) -> dict[Steps, Leaf]:
    return {leaf[0]: leaf for leaf in STATION.leaves(station)}


def _is_whole(part: Steps, leaves: Mapping[Steps, Leaf]) -> bool:
    return any(steps[: len(part)] == part for steps in leaves)


def _part(steps: Steps) -> Steps:
    for end, step in enumerate(steps, start=1):
        if isinstance(step, EntryName):
            return steps[:end]
    return steps[:1]


def _called(part: Iterable[str]) -> str:
    steps = list(part)
    section = steps[-2] if len(steps) > 1 else steps[0]
    word = _CALLED.get(section, section)
    return f"{word} {steps[-1]}" if len(steps) > 1 else word
