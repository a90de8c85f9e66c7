"""Whether what was found from a station file still holds for the file as it is today."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from checklist.calculations.fromstation import STATION_CALCULATIONS
from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.record.files.folder import LogFolder
from checklist.record.journals.lines import Line, hash_of
from checklist.sessions.past.readevents import events_of
from checklist.sessions.past.standing import Standing, standing_in
from checklist.walk.answers import Described


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


def staleness_in(folder: LogFolder, session_id: str, lines: Sequence[Line]) -> tuple[Stale, ...]:
    """Return the same as `staleness` for a session of this folder, quick where there is none.

    Lines that cannot be read are left out; whoever reads the session says so.
    """
    if not names_a_station(lines):
        return ()
    return staleness(standing_in(folder, session_id, events_of(tuple(lines))[0]))


def names_a_station(lines: Sequence[Line]) -> bool:
    """Say whether any answer names a station file, without reading the answers."""
    answers = (line.data.get("answer") for line in lines if line.what == "answered")
    return any(isinstance(answer, dict) and "station" in answer for answer in answers)


def staleness(standing: Mapping[str, Standing]) -> tuple[Stale, ...]:
    """Return each evaluation of a session that is stale, or of which it cannot be told.

    The answer of each step that counts today is looked at. Empty where the parts that were
    looked at are as they were, or where nothing was found from a station file.
    """
    answers = (one.answer for one in standing.values())
    found = (stale(answer) for answer in answers if isinstance(answer, Described))
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
