"""Whether what was last found from each station file still holds for the file as it is today."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from checklist.audit.report import Tally
from checklist.calculations.fromstation import STATION_CALCULATIONS
from checklist.plaintext import shown
from checklist.record.verifying.report import Outcome
from checklist.sessions.past.standing import Standing
from checklist.sessions.stations.staleness import Stale, stale
from checklist.sessions.stations.stationread import (
    StationFileGone,
    StationFileRefused,
    station_bytes,
)
from checklist.walk.answers import Described
from checklist.walk.wording import answer_text

CHECK = "evaluations"
"""What the findings are called."""

Key = tuple[str, str, str]
"""Folder, calculation, and path of the station file."""


@dataclass(frozen=True, slots=True)
class Evaluated:
    """The newest evaluation of one station file by one calculation, in one log folder."""

    at: datetime
    """When the session ended, or when the answer was corrected."""

    folder: str
    session: str
    answer: Described
    """Without the finding and what else is not needed to see whether it is stale."""

    entry: int = 0
    """The number of the entry that corrected it; 0 where none did."""

    given: str = ""
    """What was answered first, in words, where a correction took its place."""

    @property
    def key(self) -> Key:
        """What this evaluation is the newest of."""
        return self.folder, self.answer.calculation, self.answer.path


def evaluations_in(
    standing: Mapping[str, Standing], folder: Path, session: str, ended: datetime
) -> tuple[Evaluated, ...]:
    """Return what a finished session found from station files, by the answers that count today."""
    return tuple(
        Evaluated(
            one.at if one.entry else ended,
            str(folder),
            session,
            replace(one.answer, finding=None, limits=None, evaluation=None),
            one.entry,
            answer_text(one.given) if one.given is not None else "",
        )
        for one in standing.values()
        if isinstance(one.answer, Described) and one.answer.file is not None
    )


def take_evaluations(newest: dict[Key, Evaluated], found: Iterable[Evaluated]) -> None:
    """Keep the later of two evaluations of the same file by the same calculation."""
    for one in found:
        if one.key not in newest or newest[one.key].at <= one.at:
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
        return Outcome.CANNOT_TELL, f"{gone.sentence()}{_first(one)} {right}"
    path = held[0][0]
    return Outcome.HOLDS, (
        f"{_title(one)}: {_when(one)}, and what was looked at stands in {shown(str(path))} as it "
        f"did.{_first(one)}"
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
    return f"{found.sentence()} It was {_when(one)}.{_first(one)}{where} {right}"


def _when(one: Evaluated) -> str:
    by = f" by correction {one.entry}" if one.entry else ""
    return f"found on {one.at:%Y-%m-%d}{by}"


def _first(one: Evaluated) -> str:
    """Return what the corrected answer took the place of, in a sentence, or nothing."""
    if not one.given:
        return ""
    return f" First answered was {shown(one.given)}{'' if one.given.endswith('.') else '.'}"
