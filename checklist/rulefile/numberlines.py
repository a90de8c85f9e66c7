"""Numbers in use as plain lines and as data, the same for the shell and the screens."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from checklist.rulebook import Cited, Standing, bare
from checklist.rulefile.numbers import Number, Use

STANDS = {
    Standing.READ: "read in a copy",
    Standing.COMPUTED: "computed from what was read",
    Standing.MEMORY: "UNVERIFIED, from memory",
    Standing.PRACTICE: "common practice, no source",
}
"""Each standing in words that somebody who checks it needs."""

CHECK_THEM = (
    "Check each against the local code and the edition in force where you are. A value from "
    "memory may stop the work; passing it is never more than a caution."
)


def count_text(found: Sequence[Number]) -> str:
    """Return how many there are, and how many of them call for a second look."""
    parts = [f"{len(found)} {'number' if len(found) == 1 else 'numbers'}"]
    for count, name in (
        (sum(n.is_unverified for n in found), "unverified"),
        (sum(n.standing is Standing.PRACTICE for n in found), "common practice"),
        (sum(len(n.replaced) for n in found), "by the club"),
    ):
        if count:
            parts.append(f"{count} {name}")
    return ", ".join(parts)


def brief_lines(number: Number) -> tuple[str, str]:
    """Return a number in two lines for a list, what is to be doubted before what it means."""
    marks = [_club_mark(number)] if number.replaced else []
    if number.is_unverified:
        marks.append("UNVERIFIED")
    if not number.is_used:
        marks.append("nothing here uses it")
    said = f"{', '.join(marks)}: " if marks else ""
    return f"{number.address}   {number.value}", f"{said}{number.means}"


def whole_lines(number: Number) -> list[str]:
    """Return all that is known of a number, a line each."""
    lines = [
        f"{number.address}: {number.value}",
        f"  {number.means}",
        f"  {STANDS[number.standing]}: {_document(number)}",
    ]
    lines += [f"  note: {note}" for note in (number.note, number.source.note) if note]
    for cited in number.replaced:
        lines += [f"  {line}" for line in _club(cited, is_row=bool(number.rows))]
    lines += [f"  {line}" for line in _used_by(number)]
    return lines


def row_lines(number: Number) -> list[str]:
    """Return the rows of a list; none for a single value."""
    return [
        f"  {row.address.removeprefix(f'{number.address}/')}: {bare(row.value)}"
        + (f"   {row.club_note}" if row.replaced else "")
        for row in number.rows
    ]


def number_data(number: Number) -> dict[str, Any]:
    """Return a number as plain data; values are texts with their unit."""
    return {
        "address": number.address,
        "value": number.value,
        "means": number.means,
        "standing": number.standing.value,
        "unverified": number.is_unverified,
        "source": number.source.id,
        "title": number.source.title,
        "edition": number.source.edition,
        "citation": number.citation,
        "note": number.note,
        "rows": {row.address.removeprefix(f"{number.address}/"): row.value for row in number.rows},
        "club-values": [_club_data(cited) for cited in number.replaced],
        "calculations": list(number.calculations),
        "steps": [
            {"rule-file": u.rule_file, "step": u.step, "ask": u.ask, "does": u.does}
            for u in number.uses
        ],
    }


def _document(number: Number) -> str:
    """Return what to look the number up in; its standing is said beside it."""
    source = number.source
    return f"{source.title}, {source.edition}" if source.edition else source.title


def _club_mark(number: Number) -> str:
    caution = "CAUTION, " if any(cited.is_eased for cited in number.replaced) else ""
    if number.rows:
        return f"{caution}{len(number.replaced)} of the rows by the club"
    old = number.replaced[0].replaced
    return f"{caution}club value instead of {bare(old.value)} ({old.strictness})" if old else ""


def _club(cited: Cited, *, is_row: bool) -> Iterator[str]:
    row = f"row {cited.address.rpartition('/')[2]}: " if is_row else ""
    caution = "CAUTION: " if cited.is_eased else ""
    yield f"{caution}{row}{cited.club_note}"
    if is_row:
        yield f"  by: {cited.citation}"
    if cited.replaced is not None:
        yield f"  shipped: {cited.replaced.citation}"


def _used_by(number: Number) -> Iterator[str]:
    if not number.is_used:
        yield "nothing here uses it"
    if number.calculations:
        yield f"read by: {', '.join(number.calculations)}"
    yield from (_use(use) for use in number.uses)


def _use(use: Use) -> str:
    return f"{use.rule_file}, step {use.step}, {use.does}: {use.ask}"


def _club_data(cited: Cited) -> dict[str, Any]:
    from checklist.rulebook.stored import cited_data

    return cited_data(cited)
