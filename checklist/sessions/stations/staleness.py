"""Whether what was found from a station file still holds for the file as it is today."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from checklist.calculations.fromstation import STATION_CALCULATIONS
from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.record.journals.lines import Line, hash_of
from checklist.sessions.past.readevents import events_of
from checklist.walk.answers import Described
from checklist.walk.events import Answered, Event


@dataclass(frozen=True, slots=True)
class Stale:
    """Something found from a station file that no longer holds, or of which that is not known."""

    title: str
    """What was found, in words."""

    what: str
    """Which parts changed, or why it cannot be told."""

    is_known: bool = True
    """Whether it is known to be stale; False where that cannot be told."""

    def sentence(self) -> str:
        """Return both in one sentence."""
        return f"{self.title}: {self.what}."


def staleness_in(lines: Sequence[Line]) -> tuple[Stale, ...]:
    """Return the same as `staleness` for the lines of a session's file, quick where there is none.

    Lines that cannot be read are left out; whoever reads the session says so.
    """
    answers = (line.data.get("answer") for line in lines if line.what == "answered")
    if not any(isinstance(answer, dict) and "station" in answer for answer in answers):
        return ()
    return staleness(events_of(tuple(lines))[0])


def staleness(events: Sequence[Event]) -> tuple[Stale, ...]:
    """Return each evaluation of a session that is stale, or of which it cannot be told.

    The last answer of each step counts. Empty where the parts that were looked at are as they
    were, or where nothing was found from a station file.
    """
    last = {event.step: event.answer for event in events if isinstance(event, Answered)}
    found = (stale(answer) for answer in last.values() if isinstance(answer, Described))
    return tuple(dict.fromkeys(one for one in found if one is not None))


def stale(answer: Described) -> Stale | None:
    """Return what of the station changed since, or None where nothing did that was looked at."""
    if answer.file is None:
        return None
    calculation = STATION_CALCULATIONS.get(answer.calculation)
    title = calculation.title if calculation else answer.calculation
    # Late: the engines cost more to import than all the rest that reads a past session.
    from checklist.sessions.stations.stationread import StationFileGone, station_bytes, station_in
    from checklist.station import changed_parts
    from checklist.station.findings import parts_of

    path = Path(answer.path)
    try:
        data = station_bytes(path)
        if hash_of(data) == answer.file.sha256:
            return None
        now = parts_of(answer.calculation, station_in(data, path.name))
    except StationFileGone:
        return _not_known(title, f", no station file is at {shown(answer.path)}")
    except StandclearError as problem:
        return _not_known(title, f": {problem.sentence().rstrip('.')}")
    changed = changed_parts(answer.parts, now)
    return Stale(title, f"STALE, {'; '.join(changed)}") if changed else None


def _not_known(title: str, why: str) -> Stale:
    return Stale(title, f"cannot tell whether it is stale{why}", is_known=False)
