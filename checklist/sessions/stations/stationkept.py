"""Which kept evaluations were found from a station file, and what an edit does to them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from checklist.calculations.fromstation import STATION_CALCULATIONS
from checklist.errors import StandclearError
from checklist.record.files.folder import LogFolder
from checklist.sessions.past.ledgerview import session_files
from checklist.sessions.past.readevents import events_of
from checklist.sessions.past.sessionfile import read_session_file
from checklist.sessions.past.standing import standing_in
from checklist.sessions.stations.staleness import names_a_station
from checklist.station import Station, changed_parts
from checklist.walk.answers import Described


@dataclass(frozen=True, slots=True)
class KeptEvaluation:
    """An evaluation that stands in a session, with the fingerprints of what it looked at."""

    answer: Described
    at: datetime

    @property
    def title(self) -> str:
        """What was found, and when."""
        calculation = STATION_CALCULATIONS.get(self.answer.calculation)
        title = calculation.title if calculation else self.answer.calculation
        return f"{title} of {self.at:%d %b %Y}"


def kept_evaluations(folder: LogFolder, path: Path) -> tuple[KeptEvaluation, ...]:
    """Return the newest evaluation of each kind that was found from the file at the path."""
    newest: dict[str, KeptEvaluation] = {}
    for session_id in session_files(folder, []):
        file = read_session_file(folder, session_id)
        if not names_a_station(file.lines):
            continue
        for one in standing_in(folder, session_id, events_of(file.lines)[0]).values():
            if not isinstance(one.answer, Described):
                continue
            before = newest.get(one.answer.calculation)
            if _is_at(one.answer, path) and (before is None or before.at <= one.at):
                newest[one.answer.calculation] = KeptEvaluation(one.answer, one.at)
    return tuple(newest.values())


def no_longer_hold(kept: Sequence[KeptEvaluation], station: Station) -> tuple[str, ...]:
    """Return a sentence for each evaluation that is stale for the station as it is now."""
    from checklist.station.findings import parts_of  # late: the engines are slow to load

    said = []
    for one in kept:
        changed = changed_parts(one.answer.parts, parts_of(one.answer.calculation, station))
        if changed:
            said.append(f"STALE now: {one.title}; {'; '.join(changed)}.")
    return tuple(said)


def _is_at(answer: Described, path: Path) -> bool:
    try:
        return answer.file is not None and Path(answer.path).resolve() == path.resolve()
    except (OSError, ValueError, RuntimeError, StandclearError):
        return False
