"""The sums of a paper form: inputs to write down, the formula, and every value with its source."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from checklist.calculations.kinds import Calculation, Input
from checklist.calculations.reads import addresses_read
from checklist.pages.byhand import OVER, judged_by_hand
from checklist.pages.page import (
    Block,
    Grid,
    Heading,
    Listed,
    Ticks,
    Together,
    Words,
    WriteOn,
)
from checklist.pictures.plots import letter
from checklist.quantities import DIMENSIONS, both, rounded
from checklist.quantities.display import Side
from checklist.rulebook import Book, Cited, Stricter, Table, Value, bare
from checklist.rulefile import Compute, RuleFile, Step

_ROOM_FOR_SUM = 2
_MOST_DIGITS = 5
"""Significant digits that somebody types into a pocket calculator."""

_SIDES: dict[Stricter, Side] = {Stricter.HIGHER: "up", Stricter.LOWER: "down"}
_CHECKED = (("by", 3), ("done again by", 3))
_EMPTY_ROWS, _MAY_BE_NONE = 6, 2


def letters_of(rule_file: RuleFile) -> dict[str, str]:
    """Return the letter of the sum of each step that computes; one letter to a calculation."""
    named: dict[str, str] = {}
    found: dict[str, str] = {}
    for step in rule_file.steps:
        if isinstance(step.kind, Compute):
            name = step.kind.calculation.name
            named.setdefault(name, letter(len(named)))
            found[step.id] = named[name]
    return found


def sum_sheets(
    rule_file: RuleFile, book: Book, letters: Mapping[str, str], numbers: Mapping[str, int]
) -> Iterator[Block]:
    """Yield a work sheet for each calculation of the form, in the order of their letters."""
    if not letters:
        return
    yield Heading("Sums")
    yield Words(
        "Work each out with a pocket calculator and have a second person do it again. A value "
        "that is asked for and not known is not guessed: the sum is “not shown”. Over goes before "
        "not shown, not shown before a caution; within is what is none of them. A value that is "
        "“from memory: unverified” may stop, and permits at most a caution. On the line: "
        "between two rows of a table take the worse one; round against yourself."
    )
    done: set[str] = set()
    for step in rule_file.steps:
        kind = step.kind
        if not isinstance(kind, Compute) or kind.calculation.name in done:
            continue
        done.add(kind.calculation.name)
        own = [s for s in rule_file.steps if letters.get(s.id) == letters[step.id]]
        whose = [f"step {numbers[one.id]}" for one in own]
        yield from _sheet(kind.calculation, letters[step.id], whose, book)
        for one, name in zip(own, whose, strict=True):
            label = f"Sum {letters[step.id]}, {name}:"
            yield Together(tuple(_worked(one, label, _room(kind.calculation), numbers)))


def _room(calculation: Calculation) -> int:
    """Return how many lines a sum is written on: more where it is held against many things."""
    said = judged_by_hand(calculation.name)
    return max(_ROOM_FOR_SUM, sum(sentence.startswith(OVER) for sentence in said) - 1)


def _worked(step: Step, label: str, lines: int, numbers: Mapping[str, int]) -> Iterator[Block]:
    """Yield where the sum of one step is worked out, and what it comes to."""
    if isinstance(step.kind, Compute):
        yield from _provided(step.kind, numbers)
    yield WriteOn(label, lines=lines)
    yield Ticks(("within", "within, but a caution", "over", "not shown"), fields=_CHECKED)


def _sheet(
    calculation: Calculation, mark: str, whose: Sequence[str], book: Book
) -> Iterator[Block]:
    yield Heading(f"Sum {mark}: {calculation.title} ({' and '.join(whose)})", 2)
    asked = [_asked(wanted) for wanted in calculation.inputs if not wanted.columns]
    if asked:
        yield _inputs(asked, whose)
    for wanted in calculation.inputs:
        if wanted.columns:
            for name in whose:
                yield from _lines(wanted, f" ({name})" if len(whose) > 1 else "")
    judged = Listed(judged_by_hand(calculation.name))
    yield Together((Words(f"How: {calculation.formula}"), judged))
    yield from _values(calculation, book)
    if calculation.assumptions:
        yield Words(f"It assumes: {' '.join(calculation.assumptions)}", "small")
    if calculation.only_stops:
        yield Words("This picture may stop the work; it never permits it.", "strong")


def _inputs(asked: Sequence[str], whose: Sequence[str]) -> Grid:
    """Return where the inputs are written: for several steps, a column for each of them."""
    if len(whose) > 1:
        rows = tuple((one, *("",) * len(whose)) for one in asked)
        return Grid(("input", *whose), rows, (9, *(4,) * len(whose)), True)
    even = [*asked, *[""] * (len(asked) % 2)]
    pairs = zip(even[::2], even[1::2], strict=True)
    rows = tuple((one, "", other, "" if other else "-") for one, other in pairs)
    return Grid(("input", "value", "input", "value"), rows, (9, 4, 9, 4), True)


def _lines(wanted: Input, whose: str) -> Iterator[Block]:
    """Yield a table with a line for each thing of a kind; its head says what goes below it."""
    optional = " (may be left out)" if wanted.optional else ""
    yield Words(f"{wanted.name}{whose}: {wanted.meaning}{optional}. A line for each:", "lead")
    heads = tuple(_asked(column) for column in wanted.columns)
    empty = ("",) * len(heads)
    count = _MAY_BE_NONE if wanted.optional else _EMPTY_ROWS
    yield Grid(heads, (empty,) * count, (1,) * len(heads), True)


def _asked(wanted: Input) -> str:
    """Return an input's name, what it means, and how its value is written."""
    optional = " (may be left out)" if wanted.optional else ""
    takes = _takes(wanted)
    return f"{wanted.name}: {wanted.meaning}{optional}{f'; {takes}' if takes else ''}"


def _takes(wanted: Input) -> str:
    if wanted.choices is not None:
        return "; ".join(
            value if meaning == value else f"{value}: {meaning}"
            for value, meaning in wanted.choices.items()
        )
    if wanted.example or not wanted.dimension:
        return f"as {wanted.example}" if wanted.example else ""
    dimensions = [d for d in (wanted.dimension, wanted.also) if d]
    symbols = [u.symbol for d in dimensions for u in DIMENSIONS[d]]
    return ", ".join("a number" if symbol == "1" else symbol for symbol in symbols)


def _values(calculation: Calculation, book: Book) -> Iterator[Block]:
    addresses = sorted(addresses_read(calculation, book))
    single = [book.value(a) for a in addresses if a in book.values]
    if single:
        rows = tuple((_to_reckon_with(v), v.cited.means, _from(v.cited)) for v in single)
        yield Grid(("value or limit", "what it is", "from"), rows, (3, 10, 15))
    for address in addresses:
        if address in book.tables:
            yield from _table(book.table(address))


def _to_reckon_with(value: Value) -> str:
    """Return a value as it is written, one of many digits rounded to the strict side."""
    if len(value.quantity.value.as_tuple().digits) <= _MOST_DIGITS:
        return bare(value.cited.value)
    side: Side = _SIDES[value.stricter] if value.stricter else "nearest"
    return bare(rounded(value.quantity, _MOST_DIGITS, side))


def _from(cited: Cited) -> str:
    club = f"; {cited.club_note}" if cited.replaced else ""
    return f"{cited.citation}{club}"


def _table(table: Table) -> Iterator[Block]:
    columns = tuple(table.columns)
    yield Together(
        (
            Words(f"{table.means} [{table.source.citation()}]", "small"),
            Grid(
                (table.key, *columns),
                tuple(
                    (key, *(bare(both(row[column])) for column in columns))
                    for key, row in table.rows.items()
                ),
                (1,) * (1 + len(columns)),
            ),
        )
    )


def _provided(kind: Compute, numbers: Mapping[str, int]) -> Iterator[Block]:
    for name, step_id in kind.inputs.items():
        yield Words(f"{name} is the answer to step {numbers[step_id]}.", "small")
