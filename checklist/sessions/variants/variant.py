"""Variants of a station: its file with some values changed, kept beside the station as it is."""

from __future__ import annotations

import copy
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path as FilePath
from typing import Any

from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.sessions.desk import Desk
from checklist.sessions.stations.exposing import Described, describe
from checklist.sessions.stations.stationread import station_bytes, station_text
from checklist.station import Known, Station, StationRefused, known_in
from checklist.station.loader import station_of
from checklist.station.scene import scene_of
from checklist.strictyaml import Document, Path, read_yaml

AS_IT_IS = "as it is"
"""What the station itself is called beside its variants."""


class VariantRefused(StandclearError):
    """A change of the station cannot be meant, or does not fit the station any more."""


@dataclass(frozen=True, slots=True)
class Change:
    """One value of the station file put in the place of another."""

    path: Path
    value: Any
    """As plain data: a text, a list or a mapping; None takes the key out."""


@dataclass(frozen=True, slots=True)
class Step:
    """One thing that would be done at the station."""

    says: str
    """What would be done, as `evening-net: 250 W instead of 500 W`."""

    costs: str
    """What is given up or moved by it, as `3.0 dB less power`."""

    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class Variant:
    """The station as it is, or with some steps taken one after the other."""

    name: str
    steps: tuple[Step, ...]
    data: Any
    """The station file as plain data, with every step in it."""

    described: Described


@dataclass(frozen=True, slots=True)
class Source:
    """A station file as it was read, with what variants of it are read against."""

    path: FilePath
    text: str
    known: Known
    origin: Variant
    """The station as it is."""


def source_of(desk: Desk, path: FilePath) -> Source:
    """Return the station in the file, ready to be varied.

    Raises StandclearError for a file, a set of limits or a geometry that cannot be used.
    """
    described = describe(desk, path)
    text = station_text(station_bytes(path), path.name)
    data = read_yaml(text, shown(path.name)).data
    known = known_in(described.book)
    if station_from(data, known, path.name) != described.station:
        raise StandclearError(
            "the file was saved while it was read", where=shown(path.name), right="Read it again."
        )
    return Source(path, text, known, Variant(AS_IT_IS, (), data, described))


def with_step(source: Source, before: Variant, step: Step, name: str, where: str = "") -> Variant:
    """Return a variant with one more step; `where` is how a refusal calls what was changed.

    Raises VariantRefused in one sentence where the station would then not be right.
    """
    data = changed(before.data, step.changes)
    station = station_from(data, source.known, where or name)
    described = replace(
        before.described,
        station=station,
        scene_made=scene_of(station, before.described.figures),
    )
    return Variant(name, (*before.steps, step), data, described)


def with_steps(source: Source, steps: Sequence[Step], name: str) -> Variant:
    """Return the variant of the station as it is now in which all these steps are taken."""
    variant = replace(source.origin, name=name)
    for step in steps:
        variant = with_step(source, variant, step, name)
    return variant


def changed(data: Any, changes: Sequence[Change]) -> Any:
    """Return a copy of plain data with the changes in it; raises VariantRefused for a lost way."""
    result = copy.deepcopy(data)
    for change in changes:
        *way, last = change.path
        here: Any = result
        for at in way:
            here = _inside(here, at, change.path)
        if change.value is None:
            here.pop(last, None)
        else:
            if isinstance(here, list):  # a mapping may get a new key; a list is never made longer
                _inside(here, last, change.path)
            here[last] = copy.deepcopy(change.value)
    return result


def station_from(data: Any, known: Known, where: str) -> Station:
    """Return the station in plain data; raises VariantRefused with the first thing wrong."""
    try:
        return station_of(Document(shown(where), data), known)
    except StationRefused as refused:
        raise VariantRefused(refused.errors[0].rstrip(".")) from None


def _inside(here: Any, at: str | int, path: Path) -> Any:
    try:
        return here[at]
    except (KeyError, IndexError, TypeError):
        named = " / ".join(str(part) for part in path)
        raise VariantRefused(
            "this is no longer in the station file", where=shown(named), right="Drop the variant."
        ) from None
