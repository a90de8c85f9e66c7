"""A finding in plain lines, the same for the shell, the screens and the printed page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from checklist.calculations.fromstation import STATION_CALCULATIONS, StationCalculation
from checklist.calculations.kinds import Calculation, Finding, Outcome
from checklist.calculations.registry import CALCULATIONS
from checklist.quantities import both
from checklist.rulebook import Cited, bare

_WORDS = {
    Outcome.WITHIN: "WITHIN the limits that were compared",
    Outcome.OVER: "OVER: stop",
    Outcome.NOT_SHOWN: "NOT SHOWN to be safe: stop",
}


def as_text(finding: Finding) -> str:
    """Return the finding as text lines: what it found first, then how, then by what.

    A finding of an older version, or of a calculation that is no longer there, is shown
    with what was stored, and says so.
    """
    result = finding.result
    calculation = _calculation(finding.calculation)
    title = calculation.title if calculation else finding.calculation
    lines = [title, f"{_WORDS[result.outcome]}", f"  {result.says}"]
    lines += _part("Stops", (s for s in result.stops if s != result.says))
    lines += _part("Cautions", result.cautions)
    lines += _part("Decided by", [result.decided_by] if result.decided_by else [])
    lines += _part("Given", (_one_given(*pair) for pair in finding.given.items()))
    lines += _part(
        "Numbers", (f"{o.meaning}: {bare(both(o.quantity, side=o.rounds))}" for o in result.outputs)
    )
    if calculation is None or calculation.version != finding.version:
        lines += [
            "Formula",
            "  Computed by another version than the one here; read the arithmetic.",
        ]
    else:
        lines += _part("Formula", [calculation.formula])
    lines += _part("Arithmetic", result.lines)
    lines += _part("Judged by", (line for c in result.used for line in _judged_by(c)))
    standing = calculation.assumptions if calculation else ()
    lines += _part("Assumed", (*result.assumptions, *standing))
    if calculation is not None and calculation.only_stops:
        lines += ["This picture may stop the work; it never permits it."]
    return "\n".join(lines)


def _calculation(name: str) -> Calculation | StationCalculation | None:
    return CALCULATIONS.get(name) or STATION_CALCULATIONS.get(name)


def _judged_by(cited: Cited) -> Iterator[str]:
    yield f"{cited.means}: {bare(cited.value)} [{cited.citation}]"
    if cited.replaced is not None:
        yield f"  {cited.club_note}; shipped: [{cited.replaced.citation}]"


def _one_given(name: str, typed: str) -> str:
    return (
        f"{name}: {typed}"
        if "\n" not in typed
        else f"{name}:\n    " + "\n    ".join(typed.splitlines())
    )


def _part(heading: str, entries: Iterable[str]) -> list[str]:
    listed = [f"  {entry}" for entry in entries]
    return [heading, *listed] if listed else []
