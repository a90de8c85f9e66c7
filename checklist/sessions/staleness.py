"""Whether what was found from a station file still holds for the file as it is today."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from checklist.calculations.fromstation import STATION_CALCULATIONS
from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.record.lines import hash_of
from checklist.sessions.stationread import StationFileGone, station_bytes, station_in
from checklist.station import changed_parts
from checklist.station.findings import parts_of
from checklist.walk.answers import Described
from checklist.walk.events import Answered, Event


def staleness(events: Sequence[Event]) -> tuple[str, ...]:
    """Return a sentence for each evaluation of a session that is stale or cannot be told of.

    The last answer of each step counts. Empty where the parts that were looked at are as they
    were, or where nothing was found from a station file.
    """
    last = {event.step: event.answer for event in events if isinstance(event, Answered)}
    found = (said for a in last.values() if isinstance(a, Described) for said in stale(a))
    return tuple(dict.fromkeys(found))


def stale(answer: Described) -> tuple[str, ...]:
    """Return what of the station changed since, a sentence in all; empty where nothing did."""
    if answer.file is None:
        return ()
    calculation = STATION_CALCULATIONS.get(answer.calculation)
    title = calculation.title if calculation else answer.calculation
    path = Path(answer.path)
    try:
        data = station_bytes(path)
        if hash_of(data) == answer.file.sha256:
            return ()
        now = parts_of(answer.calculation, station_in(data, path.name))
    except StationFileGone:
        return (
            f"{title}: cannot tell whether it is stale, the station file is no longer at "
            f"{shown(answer.path)}.",
        )
    except StandclearError as problem:
        return (f"{title}: cannot tell whether it is stale. {problem.sentence()}",)
    changed = changed_parts(answer.parts, now)
    return (f"{title}: STALE, {'; '.join(changed)}. Evaluate again.",) if changed else ()
