"""Stored findings computed again: by the version that made them, within its tolerance.

Another version can never show that a stored finding was wrong, only what it would say
today: that is `cannot tell`, with the new value beside the old one.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from functools import partial

from checklist.audit.report import Tally
from checklist.calculations.fromstation import STATION_CALCULATIONS, StationCalculation
from checklist.calculations.kinds import Calculation, Finding, Output, Result
from checklist.calculations.registry import CALCULATIONS
from checklist.calculations.run import run
from checklist.errors import StandclearError
from checklist.record.errors import Damaged
from checklist.record.files.folder import LogFolder
from checklist.record.verifying.report import Outcome
from checklist.rulebook import Book
from checklist.sessions.library import Loaded
from checklist.sessions.stations.evaluating import worked_out_again
from checklist.walk.answers import Described
from checklist.walk.events import Answered, Event

CHECK = "recomputed"


def check_findings(
    events: Sequence[Event],
    loaded: Loaded | None,
    session: str,
    tally: Tally,
    folder: LogFolder | None = None,
) -> None:
    """Compute every finding of a session again, against the values it was made with.

    What was found from a station file is worked out from its bytes as kept in `folder`.
    """
    for event in events:
        finding = event.judgement.finding if isinstance(event, Answered) else None
        if finding is None or not isinstance(event, Answered):
            continue
        if loaded is None:
            said = f"{finding.calculation}: the values it was made with cannot be read."
            tally.add(CHECK, Outcome.CANNOT_TELL, said, session=session)
        else:
            rerun = _from_station(event, folder, loaded.book)
            outcome, said = compare(finding, loaded.book, rerun)
            tally.add(CHECK, outcome, said, session=session)


def _from_station(
    event: Answered, folder: LogFolder | None, book: Book
) -> Callable[[], Finding] | None:
    if folder is None or not isinstance(event.answer, Described):
        return None
    return partial(worked_out_again, event.answer, folder, book)


def compare(
    finding: Finding, book: Book, rerun: Callable[[], Finding] | None = None
) -> tuple[Outcome, str]:
    """Return what computing a stored finding again against `book` shows, with a sentence.

    `rerun` computes a finding that rests on more than was typed.
    """
    name = finding.calculation
    calculation = CALCULATIONS.get(name) or STATION_CALCULATIONS.get(name)
    if calculation is None:
        return Outcome.CANNOT_TELL, f"{name}: this program has no such calculation."
    if rerun is None and name in STATION_CALCULATIONS:
        return Outcome.CANNOT_TELL, f"{name}: the station file is not at hand."
    is_same = calculation.version == finding.version
    try:
        again = (rerun() if rerun else run(name, finding.given, book)).result
    except Damaged as problem:
        return Outcome.CANNOT_TELL, f"{name}: {problem.sentence()}"
    except StandclearError as problem:
        if is_same:
            return (
                Outcome.FAILS,
                f"{name}: version {finding.version} refuses what was typed: {problem.what}.",
            )
        return Outcome.CANNOT_TELL, _other_version(finding, calculation, f"refuses: {problem.what}")
    difference = _difference(finding.result, again, tolerance_of(calculation))
    if not is_same:
        said = f"gives {again.outcome}: {again.says}" if difference else "gives the same"
        return Outcome.CANNOT_TELL, _other_version(finding, calculation, said)
    if difference:
        return (
            Outcome.FAILS,
            f"{name}: version {finding.version} gives another result: {difference}.",
        )
    return Outcome.HOLDS, f"{name}: version {finding.version} gives the same result again."


def tolerance_of(calculation: Calculation | StationCalculation) -> Fraction:
    """Return how far a rerun may differ, as a share of the value."""
    number, _, unit = calculation.tolerance.partition(" ")
    if unit != "%":
        raise StandclearError(f"the tolerance of {calculation.name} is no percentage")
    return Fraction(number) / 100


def _other_version(
    finding: Finding, calculation: Calculation | StationCalculation, said: str
) -> str:
    return (
        f"{finding.calculation}: version {finding.version} found {finding.result.outcome}; "
        f"version {calculation.version}, which is here, {said.rstrip('.')}."
    )


def _difference(stored: Result, again: Result, tolerance: Fraction) -> str:
    """Return how a rerun differs from what is stored, or an empty text."""
    if stored.outcome is not again.outcome:
        return f"{again.outcome} instead of {stored.outcome}"
    before = {output.name: output for output in stored.outputs}
    after = {output.name: output for output in again.outputs}
    if before.keys() != after.keys():
        return f"it gives {', '.join(after)} instead of {', '.join(before)}"
    for name, old in before.items():
        new = after[name]
        if not _is_near(old, new, tolerance):
            return f"{name} is {new.quantity.text()} instead of {old.quantity.text()}"
    if bool(stored.stops) != bool(again.stops):
        return "it stops otherwise"
    return ""


def _is_near(old: Output, new: Output, tolerance: Fraction) -> bool:
    if old.quantity.unit.dimension != new.quantity.unit.dimension:
        return False
    one, other = old.quantity.si, new.quantity.si
    return abs(one - other) <= tolerance * max(abs(one), abs(other))
