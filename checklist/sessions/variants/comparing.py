"""The station as it is beside its variants: each place's share, what decides, what each costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from textwrap import wrap

from checklist.calculations.exposure import PlaceResult
from checklist.calculations.exposure.saying import percent
from checklist.calculations.kinds import Outcome
from checklist.sessions.stations.exposing import Exposed
from checklist.sessions.variants.variant import Variant

WORDS = {Outcome.WITHIN: "within", Outcome.OVER: "OVER", Outcome.NOT_SHOWN: "NOT SHOWN"}
UNKNOWN = "…"
"""Stands for what has not been evaluated yet, or was stopped."""

_LEAST = 17
_BETWEEN = " | "
_HERE, _ELSEWHERE = "> ", "  "


@dataclass(frozen=True, slots=True)
class Seen:
    """One place under one variant."""

    place: str
    outcome: Outcome
    share: float | None
    """Of the limit; None where nothing could be evaluated."""

    deciding: str
    """The emission that decides; empty where none does."""

    not_shown: str
    """The first emission that is not shown there; empty where all are."""

    burns: bool = False
    """Whether it is stopped by what can be touched there, and not by the fields."""


@dataclass(frozen=True, slots=True)
class Column:
    """One variant, with what it costs and what was found for it."""

    name: str
    says: tuple[str, ...]
    costs: tuple[str, ...]
    outcome: Outcome | None
    """None while it has not been evaluated."""

    seen: tuple[Seen, ...] = ()


def column_of(variant: Variant, exposed: Exposed | None) -> Column:
    """Return the column of a variant; without an evaluation it shows nothing."""
    says = tuple(step.says for step in variant.steps)
    costs = tuple(step.costs for step in variant.steps)
    if exposed is None:
        return Column(variant.name, says, costs, None)
    found = exposed.evaluation
    return Column(variant.name, says, costs, found.outcome, tuple(map(_seen, found.places)))


def comparison_lines(columns: Sequence[Column], width: int, current: int = 0) -> list[str]:
    """Return the table of places by variants, in as many columns as fit, `current` among them."""
    fitting = _fitting(columns, width)
    chosen = _in_sight(len(columns), fitting, current)
    lines = _table(columns, chosen, width, current)
    hidden = [columns[i].name for i in range(len(columns)) if i not in chosen]
    if hidden:
        lines.append(f"Not in sight: {', '.join(hidden)}.")
    return lines


def whole_comparison(columns: Sequence[Column], width: int) -> list[str]:
    """Return every variant in tables one below the other, each beside the station as it is."""
    each = max(1, _fitting(columns, width) - 1)
    lines: list[str] = []
    for first in range(1, len(columns), each):
        chosen = [0, *range(first, min(len(columns), first + each))]
        lines += [*_table(columns, chosen, width, -1), ""]
    return lines


def comparison_sentences(columns: Sequence[Column]) -> list[str]:
    """Return the same as sentences, for reading aloud."""
    lines: list[str] = []
    for column in columns:
        whole = UNKNOWN if column.outcome is None else WORDS[column.outcome]
        lines.append(f"{column.name}: {whole}. It costs {', '.join(column.costs) or 'nothing'}.")
        for seen in column.seen:
            said = ", ".join(_cell(column, seen.place).split("\n"))
            lines.append(f"{column.name}, {seen.place}: {said}.")
    return lines


def _places(columns: Sequence[Column]) -> list[str]:
    return list(dict.fromkeys(seen.place for column in columns for seen in column.seen))


def _first_width(columns: Sequence[Column]) -> int:
    return max(8, min(14, max(map(len, _places(columns)), default=0)))


def _fitting(columns: Sequence[Column], width: int) -> int:
    return max(1, (width - _first_width(columns)) // (_LEAST + len(_BETWEEN)))


def _table(columns: Sequence[Column], chosen: Sequence[int], width: int, current: int) -> list[str]:
    places = _places(columns)
    first_width = _first_width(columns)
    room = width - first_width
    some = [columns[i] for i in chosen]
    each = min(30, room // len(some) - len(_BETWEEN))
    widths = (first_width, *([each] * len(some)))
    heads = [(_HERE if i == current else _ELSEWHERE) + columns[i].name for i in chosen]
    whole = [UNKNOWN if c.outcome is None else WORDS[c.outcome] for c in some]
    lines = [*_row(["", *heads], widths), *_row(["whole", *whole], widths), _rule(widths)]
    for place in places:
        lines += _row([place, *(_cell(column, place) for column in some)], widths)
    return [*lines, _rule(widths), *_row(["it costs", *map(_costs, some)], widths)]


def _in_sight(count: int, fitting: int, current: int) -> list[int]:
    """Return which columns are drawn: the station as it is, and the one looked at among others."""
    if fitting < 2:
        return [current]
    first = min(max(1, current - fitting + 2), max(1, count - fitting + 1))
    return [0, *range(first, min(count, first + fitting - 1))]


def steps_lines(columns: Sequence[Column]) -> list[str]:
    """Return what is done in each variant."""
    lines: list[str] = []
    for column in columns:
        lines += [f"{column.name}: {'; then '.join(column.says)}."] if column.says else []
    return lines


def _seen(result: PlaceResult) -> Seen:
    total = result.total
    refused = next((c.emission for c in total.contributions if c.refused), "")
    deciding = total.deciding.emission if total.deciding else ""
    burns = result.outcome is Outcome.OVER and total.outcome is not Outcome.OVER
    return Seen(result.place.name, result.outcome, total.fraction, deciding, refused, burns)


def _cell(column: Column, place: str) -> str:
    seen = next((one for one in column.seen if one.place == place), None)
    if seen is None:
        return UNKNOWN
    share = "" if seen.share is None else f"{percent(seen.share)} "
    if seen.outcome is Outcome.NOT_SHOWN and seen.not_shown:
        rest = f"{share}by {seen.deciding}, " if share else ""
        return f"{WORDS[seen.outcome]}\n{rest}not shown: {seen.not_shown}"
    if seen.burns:
        return f"{WORDS[seen.outcome]}: RF burn" + (f"\n{share}by {seen.deciding}" if share else "")
    return f"{share}{WORDS[seen.outcome]}" + (f"\n{seen.deciding}" if seen.deciding else "")


def _costs(column: Column) -> str:
    return "\n".join(column.costs) or "nothing"


def _row(cells: Sequence[str], widths: Sequence[int]) -> list[str]:
    """Return the lines of a row, each cell's text broken to the width of its column."""
    broken = [
        [part for line in cell.split("\n") for part in (wrap(line, w) or [""])]
        if not cell.startswith((_HERE, _ELSEWHERE))
        else [cell]
        for cell, w in zip(cells, widths, strict=True)
    ]
    height = max(map(len, broken))
    return [
        _BETWEEN.join(
            (column[i] if i < len(column) else "").ljust(w)
            for column, w in zip(broken, widths, strict=True)
        ).rstrip()
        for i in range(height)
    ]


def _rule(widths: Sequence[int]) -> str:
    return "-+-".join("-" * w for w in widths)
