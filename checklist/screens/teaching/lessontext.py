"""What stands beside the fields of a lesson, before and after there is a result."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from dataclasses import replace

from textual.content import Content

from checklist.calculations.kinds import Calculation, Finding, Outcome
from checklist.calculations.lesson import ONLY_STOPS, changes, sources_said
from checklist.calculations.registry import CALCULATIONS
from checklist.pictures.drawing import picture_text
from checklist.pictures.finished import caption
from checklist.pictures.ofcalculations import picture_of
from checklist.plaintext import shown
from checklist.quantities import both
from checklist.rulebook import Book, bare

_WORDS = {
    Outcome.WITHIN: "WITHIN the limits that were compared",
    Outcome.OVER: "OVER: stop",
    Outcome.NOT_SHOWN: "NOT SHOWN to be safe: stop",
}
_PICTURE_ROWS = 19
_WIDEST = 90


def before_lines(calculation: Calculation, book: Book, width: int) -> list[Content]:
    """Return what a calculation is: its rule in words, where it holds, by which sources."""
    return [
        *_part("The rule", [calculation.formula], width),
        *_part("Where it holds", calculation.assumptions, width),
        *_part("Sources", sources_said(calculation, book), width),
        *([Content(ONLY_STOPS)] if calculation.only_stops else []),
        Content(""),
        Content("Type the numbers with their units, or press Ctrl+E for an example."),
    ]


def finding_lines(
    finding: Finding, before: Finding | None, book: Book, width: int
) -> list[Content]:
    """Return a result: the verdict, what changed, the arithmetic, the numbers, the picture."""
    calculation, result = CALCULATIONS[finding.calculation], finding.result
    changed = changes(before, finding) if before is not None else ()
    picture = picture_of(finding)
    drawn: tuple[str, ...] = ()
    if picture is not None:  # what stands below a picture in print stands beside it here
        own = picture.notes[: len(picture.notes) - len(caption(finding))]
        bare_one = replace(picture, notes=own)
        drawn = picture_text(bare_one, min(width, _WIDEST), _PICTURE_ROWS)
    used = [f"{c.means}: {bare(c.value)} [{c.citation}]" for c in result.used]
    numbers = [f"{o.meaning}: {bare(both(o.quantity, side=o.rounds))}" for o in result.outputs]
    return [
        Content(_WORDS[result.outcome]).stylize("bold"),
        Content(shown(f"  {result.says}")).stylize("bold"),
        *_part("Changed by what was typed last", changed, width),
        *_part("Arithmetic", (f"{i}. {line}" for i, line in enumerate(result.lines, 1)), width),
        *_part("Comes to", numbers, width),
        *_part("Also stops", [stop for stop in result.stops if stop != result.says], width),
        *_part("Take care", result.cautions, width),
        *[Content(shown(line)) for line in (*(("",) if drawn else ()), *drawn)],
        *_part("Judged by", used, width),
        *_part("The rule", [calculation.formula], width),
        *_part("Where it holds", (*result.assumptions, *calculation.assumptions), width),
        *_part("Sources", sources_said(calculation, book), width),
        *([Content(ONLY_STOPS)] if calculation.only_stops else []),
    ]


def _part(heading: str, entries: Iterable[str], width: int) -> list[Content]:
    """Return a heading with its entries, each broken with what follows farther in."""
    listed = [
        Content(line)
        for entry in entries
        for line in textwrap.wrap(
            shown(entry), width, initial_indent="  ", subsequent_indent="     "
        )
    ]
    return [Content(heading).stylize("underline"), *listed] if listed else []
