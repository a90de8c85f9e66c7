"""Whether what was last found from each station file still holds for the file as it is today."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from checklist.audit.report import Tally
from checklist.calculations.fromstation import STATION_CALCULATIONS
from checklist.plaintext import shown
from checklist.record.verifying.report import Outcome
from checklist.sessions.stations.staleness import Stale, stale
from checklist.sessions.stations.stationread import (
    StationFileGone,
    StationFileRefused,
    station_bytes,
)
from checklist.walk.answers import Described
from checklist.walk.events import Answered, Event

CHECK = "evaluations"
"""What the findings are called."""

Key = tuple[str, str, str]
"""Folder, calculation, and path of the station file."""


@dataclass(frozen=True, slots=True)
class Evaluated:
    """The newest evaluation of one station file by one calculation, in one log folder."""

    ended: datetime
    folder: str
    session: str
    answer: Described
    """Without the finding and what else is not needed to see whether it is stale."""

    @property
    def key(self) -> Key:
        """What this evaluation is the newest of."""
        return self.folder, self.answer.calculation, self.answer.path


def evaluations_in(
    events: Sequence[Event], folder: Path, session: str, ended: datetime
) -> tuple[Evaluated, ...]:
    """Return what a finished session found from station files; the last answer of a step counts."""
    last = {event.step: event.answer for event in events if isinstance(event, Answered)}
    return tuple(
        Evaluated(
            ended, str(folder), session, replace(answer, finding=None, limits=None, evaluation=None)
        )
        for answer in last.values()
        if isinstance(answer, Described) and answer.file is not None
    )


def take_evaluations(newest: dict[Key, Evaluated], found: Iterable[Evaluated]) -> None:
    """Keep the later of two evaluations of the same file by the same calculation."""
    for one in found:
        if one.key not in newest or newest[one.key].ended <= one.ended:
            newest[one.key] = one


def check_evaluations(newest: Mapping[Key, Evaluated], tally: Tally) -> None:
    """Hold each newest evaluation against the station file of today, and say what came of it.

    The file is looked for where it lay, and by its name beside the log folder and in it, since
    a folder may have been carried here with its station file. Where two are found, the one
    that speaks against the evaluation counts.
    """
    for _, one in sorted(newest.items()):
        outcome, said = _judged(one)
        finding_folder, tally.folder = tally.folder, one.folder
        tally.add(CHECK, outcome, said, session=one.session)
        tally.folder = finding_folder


def _judged(one: Evaluated) -> tuple[Outcome, str]:
    held = [(path, stale(replace(one.answer, path=str(path)))) for path in _files(one)]
    known = next(((path, s) for path, s in held if s is not None and s.is_known), None)
    unknown = next(((path, s) for path, s in held if s is not None), None)
    if known is not None:
        path, found = known
        return Outcome.WARNING, _said(found, one, path, "Evaluate the station again.")
    if unknown is not None:
        path, found = unknown
        return Outcome.CANNOT_TELL, _said(found, one, path, "Mend the file, then audit again.")
    if not held:
        why = f"cannot tell whether it is stale, no station file is at {shown(one.answer.path)}"
        gone = Stale(_title(one), why, is_known=False)
        right = "Put the station file there, or beside the log folder, and audit again."
        return Outcome.CANNOT_TELL, f"{gone.sentence()} {right}"
    path = held[0][0]
    return Outcome.HOLDS, (
        f"{_title(one)}: found on {one.ended:%Y-%m-%d}, and what was looked at stands in "
        f"{shown(str(path))} as it did."
    )


def _files(one: Evaluated) -> tuple[Path, ...]:
    """Return the places at which there is something; a relative path leads nowhere."""
    kept, folder = Path(one.answer.path), Path(one.folder)
    beside = (folder.absolute().parent / kept.name, folder.absolute() / kept.name)
    places = (*((kept,) if kept.is_absolute() else ()), *(beside if kept.name else ()))
    return tuple(path for path in dict.fromkeys(places) if _is_there(path))


def _is_there(path: Path) -> bool:
    try:
        station_bytes(path)
    except StationFileRefused as refused:
        return not isinstance(refused, StationFileGone)
    return True


def _title(one: Evaluated) -> str:
    calculation = STATION_CALCULATIONS.get(one.answer.calculation)
    return calculation.title if calculation else shown(one.answer.calculation)


def _said(found: Stale, one: Evaluated, path: Path, right: str) -> str:
    where = f" The file is {shown(str(path))}." if found.is_known else ""
    return f"{found.sentence()} It was found on {one.ended:%Y-%m-%d}.{where} {right}"
