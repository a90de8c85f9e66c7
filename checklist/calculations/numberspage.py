"""The manual's page on the numbers: each calculation with its rule, sources, limits and checks."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from checklist.calculations.kinds import Calculation, Input
from checklist.calculations.lesson import ONLY_STOPS, by_field, example_inputs
from checklist.calculations.reads import addresses_in, addresses_read
from checklist.calculations.run import run
from checklist.calculations.stationnumbers import TOLD, Told
from checklist.quantities import DIMENSIONS, both
from checklist.rulebook import Book, Cited, bare

_INTRODUCTION = """\
What each calculation does, on which published values, where it holds, and how it was checked. A
*check* holds the program against a number that is printed elsewhere, and is run with every change;
*read* means that the document was read, *computed* that a formula of it was worked out by another
road, *from memory* that nobody has looked it up again. A calculation never says that something is
safe: it finds *within*, *over* or *not shown*, and an unknown input is never within. The local
electrical code and licensed electricians prevail.

`standclear calculate NAME` explains one, `c` on the home screen works it through with your numbers,
and `standclear numbers` lists every value with its citation. This page is written by the program;
a test keeps it so."""
_WIDTH = 100


@dataclass(frozen=True, slots=True)
class Checked:
    """What a calculation was held against."""

    document: str
    count: int
    """Numbers of it."""

    standing: str
    """The least sure of them."""


def numbers_page(book: Book, checked: Mapping[str, tuple[Checked, ...]]) -> str:
    """Return the page as Markdown; `checked` has what each calculation was held against.

    Pure: the same book and checks give the same bytes.
    """
    fields = by_field()
    lines = ["# The numbers", "", _INTRODUCTION, ""]
    for field, calculations in fields.items():
        listed = ", ".join(f"[{_plain(c.title)}](#{c.name})" for c in calculations)
        lines += _wrapped(f"- **{field}**: {listed}", "  ")
    listed = ", ".join(f"[{t.calculation.title}](#{t.calculation.name})" for t in TOLD)
    lines += _wrapped(f"- **From a station file**: {listed}", "  ")
    for field, calculations in fields.items():
        lines += ["", f"## {field}"]
        for calculation in calculations:
            lines += ["", *_section(calculation, book, checked.get(calculation.name, ()))]
    lines += ["", "## From a station file"]
    for told in TOLD:
        lines += ["", *_station_section(told, book, checked.get(told.calculation.name, ()))]
    return "\n".join([*lines, ""])


def _section(calculation: Calculation, book: Book, checked: tuple[Checked, ...]) -> Iterator[str]:
    yield f'### <a id="{calculation.name}"></a>{_plain(calculation.title)}'
    yield ""
    yield f"`{calculation.name}`, version {calculation.version}."
    if calculation.only_stops:
        yield ONLY_STOPS
    yield ""
    yield from _wrapped(f"**Rule.** {_plain(calculation.formula)}.")
    yield ""
    yield "**Inputs.**"
    yield ""
    for wanted in calculation.inputs:
        yield from _wrapped(f"- `{wanted.name}`: {_plain(wanted.meaning)} ({_takes(wanted)})", "  ")
    yield ""
    yield "**Where it holds.**"
    yield ""
    for assumption in calculation.assumptions:
        yield from _wrapped(f"- {_plain(assumption)}", "  ")
    yield ""
    yield "**Sources.**"
    yield ""
    for source in calculation.sources:
        found = book.source(source)
        citation, standing = found.citation(), found.standing.value
        said = f"- {_plain(_with_standing(citation, standing))}."
        yield from _wrapped(f"{said} {_plain(found.note)}" if found.note else said, "  ")
    yield from _values(sorted(addresses_read(calculation, book)), book)
    yield ""
    yield from _checks(checked)
    yield from _worked(calculation, book)


def _worked(calculation: Calculation, book: Book) -> Iterator[str]:
    """Yield the calculation on its own example: every line of the arithmetic, and what it gives."""
    example = example_inputs(calculation, book)
    words = "; ".join(f"{name} = {' / '.join(text.splitlines())}" for name, text in example.items())
    result = run(calculation.name, example, book).result
    yield ""
    yield from _wrapped(f"**Example.** {_plain(words)}.")
    if result.lines or result.outputs:
        yield ""
    for number, line in enumerate(result.lines, 1):
        yield from _wrapped(f"{number}. {_plain(line)}", "   ")
    for output in result.outputs:
        value = _plain(both(output.quantity, 3, output.rounds))
        yield from _wrapped(f"- {_plain(output.meaning)}: {value}", "  ")
    yield ""
    yield from _wrapped(f"*{result.outcome}*: {_plain(result.says)}")


def _station_section(told: Told, book: Book, checked: tuple[Checked, ...]) -> Iterator[str]:
    """Yield the section of a calculation that takes a station file."""
    calculation = told.calculation
    addresses = sorted(addresses_in(calculation.where, book))
    yield f'### <a id="{calculation.name}"></a>{calculation.title}'
    yield ""
    yield f"`{calculation.name}`, version {calculation.version}."
    yield ""
    yield from _wrapped(f"**Rule.** {_plain(calculation.formula)}")
    yield ""
    yield "**Inputs.** The station file; `rules/STATION.md` has every key with its units."
    for heading, entries in (
        ("Methods", [_plain(method, keep="`") for method in told.methods]),
        ("Where it holds", [_plain(one, keep="`") for one in told.holds]),
        ("Sources", [f"{_plain(one)}." for one in _citations(addresses, book)]),
    ):
        yield ""
        yield f"**{heading}.**"
        yield ""
        for entry in entries:
            yield from _wrapped(f"- {entry}", "  ")
    yield from _values(addresses, book)
    yield ""
    yield from _checks(checked)


def _citations(addresses: Sequence[str], book: Book) -> list[str]:
    """Return the sources of the values at these addresses, with their standing, each once."""
    used: list[Cited] = []
    for address in addresses:
        if address in book.values:
            used.append(book.values[address].cited)
        else:
            used += [row.cited for row in book.table(address).rows.values()]
    return sorted({_with_standing(one.citation, one.standing.value) for one in used})


def _with_standing(citation: str, standing: str) -> str:
    """Return a citation with its standing, unless its own words say it."""
    return citation if standing in citation.casefold() else f"{citation}; {standing}"


def _values(addresses: Sequence[str], book: Book) -> Iterator[str]:
    if not addresses:
        return
    yield ""
    yield "**Published values.**"
    yield ""
    for address in addresses:
        value = book.values.get(address)
        if value is not None:
            said = f"{_plain(value.cited.means)}: {bare(value.cited.value)}"
        else:
            table = book.table(address)
            said = f"{_plain(table.means)}: {len(table.rows)} rows, by {_plain(table.key)}"
        yield from _wrapped(f"- `{address}`: {said}", "  ")


def _checks(checked: tuple[Checked, ...]) -> Iterator[str]:
    if not checked:
        yield "**Checked.** Against no printed number: only its parts were."
        return
    yield "**Checked** against"
    yield ""
    for check in checked:
        count = "1 number" if check.count == 1 else f"{check.count} numbers"
        yield from _wrapped(f"- {_plain(check.document)}: {count}, {check.standing}", "  ")


def _takes(wanted: Input) -> str:
    parts = []
    if wanted.columns:
        parts.append(f"lines of {', '.join(column.name for column in wanted.columns)}")
    elif wanted.choices is not None:
        parts.append(f"one of {', '.join(wanted.choices)}")
    elif wanted.dimension:
        dimensions = [wanted.dimension, *([wanted.also] if wanted.also else [])]
        symbols = [u.symbol for d in dimensions for u in DIMENSIONS[d]]
        units = ", ".join("a plain number" if s == "1" else s for s in symbols)
        parts.append(f"{' or '.join(dimensions)} in {units}")
        parts.append(f"at least {wanted.least}" if wanted.least else "above zero")
        parts += [f"at most {wanted.most}"] if wanted.most else []
    else:
        parts.append("a name")
    return ", ".join([*parts, *(["may be left out"] if wanted.optional else [])])


def _plain(text: str, keep: str = "") -> str:
    """Return a text in which Markdown sees no marks but those to `keep`."""
    for mark in ("\\", "*", "_", "`", "[", "]", "<", "|"):
        if mark in keep:
            continue
        text = text.replace(mark, f"\\{mark}")
    # A line that begins with one of these would begin a list.
    return text.replace(" - ", " \\- ").replace(" + ", " \\+ ")


def _wrapped(text: str, indent: str = "") -> list[str]:
    return textwrap.wrap(
        text, _WIDTH, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False
    )
