"""What stands below every picture of a finding: what it came to, and by what."""

from __future__ import annotations

from checklist.calculations.kinds import Finding, Outcome, Output
from checklist.calculations.registry import CALCULATIONS

_WORDS = {
    Outcome.WITHIN: "Within what was compared",
    Outcome.OVER: "OVER: stop",
    Outcome.NOT_SHOWN: "NOT SHOWN to be safe: stop",
}


def caption(finding: Finding) -> tuple[str, ...]:
    """Return the outcome with its sentence, and the sources of what it was judged by."""
    result = finding.result
    others = [f"Also: {stop}" for stop in result.stops if stop != result.says]
    sources = sorted({cited.citation for cited in result.used})
    calculation = CALCULATIONS[finding.calculation]
    said = f"Sources: {'; '.join(sources)}." if sources else "No published value took part."
    return (
        f"{_WORDS[result.outcome]}. {result.says}",
        *others,
        *result.assumptions,
        *calculation.assumptions,
        said,
    )


def outputs(finding: Finding) -> dict[str, Output]:
    """Return the computed numbers of a finding by name."""
    return {output.name: output for output in finding.result.outputs}
