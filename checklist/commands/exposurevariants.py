"""Evaluates variants of a station beside the station as it is."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from checklist.calculations.exposure import Remedies
from checklist.calculations.exposure.evaluate import TOLERANCE_DB, VERSION
from checklist.calculations.kinds import Outcome
from checklist.commands.exits import FINE, NOT_SHOWN, WRONG
from checklist.commands.exposuredata import limits as limits_data
from checklist.commands.output import is_plain, print_document, print_page
from checklist.errors import StandclearError
from checklist.sessions.desk import Desk
from checklist.sessions.stations.exposing import Exposed, Progress, expose, remedies_for
from checklist.sessions.stations.exposuretext import limits_line
from checklist.sessions.variants.comparing import (
    Column,
    column_of,
    comparison_sentences,
    steps_lines,
    whole_comparison,
)
from checklist.sessions.variants.variant import Source, Variant, source_of
from checklist.sessions.variants.words import variants_of
from checklist.sessions.variants.writing import VariantThere, save_variant

_EXITS = {Outcome.WITHIN: FINE, Outcome.OVER: WRONG, Outcome.NOT_SHOWN: NOT_SHOWN}
_WIDTHS = (60, 110)


def compare_variants(
    desk: Desk,
    path: Path,
    texts: Sequence[str],
    share: float | None,
    said: Progress,
    *,
    into: str | None,
    as_json: bool,
) -> int:
    """Print the variants that the texts describe beside the station as it is.

    Writes the one variant there is into the file `into` where that is named. Returns FINE,
    WRONG or NOT_SHOWN by the last variant. Raises StandclearError for a text that describes
    no variant, and for a file that is there already.
    """
    source = source_of(desk, path)
    found: dict[str, Exposed] = {}
    sought: dict[str, tuple[Remedies, ...]] = {}

    def evaluated(variant: Variant) -> Exposed:
        key = repr(variant.steps)
        if key not in found:
            found[key] = expose(variant.described, said)
        return found[key]

    def remedied(variant: Variant) -> tuple[Remedies, ...]:
        key = repr(variant.steps)
        if key not in sought:
            sought[key] = remedies_for(evaluated(variant), share, said)
        return sought[key]

    variants = variants_of(source, list(texts), evaluated, remedied)
    every = [source.origin, *variants]
    columns = [column_of(one, evaluated(one)) for one in every]
    written = _written(desk, source, variants, into) if into is not None else None
    if as_json:
        print_document(_data(source, every, columns, [evaluated(one) for one in every], written))
    else:
        print_page(_lines(source, columns, written))
    return _EXITS[columns[-1].outcome or Outcome.NOT_SHOWN]


def _lines(source: Source, columns: list[Column], written: Path | None) -> list[str]:
    width = min(_WIDTHS[1], max(_WIDTHS[0], shutil.get_terminal_size((80, 24)).columns))
    table = comparison_sentences(columns) if is_plain() else whole_comparison(columns, width)
    described = source.origin.described
    none = ["No change was found to try. Without --variant the evaluation says why."]
    return [
        f"RF exposure around {described.station.name}, as it is and with changes tried",
        limits_line(described),
        "",
        *(table if len(columns) > 1 else none),
        *steps_lines(columns),
        "",
        "Each variant was evaluated anew as a whole; nothing was changed in the station file.",
        *([f"{columns[-1].name} was written: {written}"] if written else []),
    ]


def _written(desk: Desk, source: Source, variants: list[Variant], into: str) -> Path:
    if len(variants) != 1:
        raise StandclearError(
            f"{len(variants)} variants were made", where="--into", right="Name one --variant."
        )
    try:
        return save_variant(desk.disk, source, variants[0], into)
    except VariantThere as there:
        raise StandclearError(there.what, where=str(there.path), right=there.right) from None


def _data(
    source: Source,
    every: list[Variant],
    columns: list[Column],
    found: list[Exposed],
    written: Path | None,
) -> dict[str, Any]:
    return {
        "station": source.origin.described.station.name,
        "version": VERSION,
        "tolerance_db": TOLERANCE_DB,
        "limits": limits_data(source.origin.described),
        "variants": [
            _variant_data(variant, column, exposed)
            for variant, column, exposed in zip(every, columns, found, strict=True)
        ],
        "written": str(written) if written else None,
    }


def _variant_data(variant: Variant, column: Column, exposed: Exposed) -> dict[str, Any]:
    return {
        "name": column.name,
        "steps": [
            {
                "says": step.says,
                "costs": step.costs,
                "changes": [{"path": list(c.path), "value": c.value} for c in step.changes],
            }
            for step in variant.steps
        ],
        "outcome": exposed.evaluation.outcome.value,
        "says": exposed.evaluation.says,
        "places": [
            {
                "name": seen.place,
                "outcome": seen.outcome.value,
                "fraction": seen.share,
                "deciding": seen.deciding or None,
                "not_shown": seen.not_shown or None,
            }
            for seen in column.seen
        ],
    }
