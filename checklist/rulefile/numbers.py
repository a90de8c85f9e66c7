"""Every published value and limit in use, with its citation and with what it decides."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from checklist.calculations.kinds import Calculation
from checklist.calculations.reads import addresses_in, addresses_read
from checklist.rulebook import Book, Cited, Source, Standing, Table, Value, bare
from checklist.rulefile.conditions import Beyond, Condition
from checklist.rulefile.model import Bounds, Compute, Limit, OfStation, Reading, RuleFile, Step


@dataclass(frozen=True, slots=True)
class Use:
    """One step of a rule file that a number decides, or may."""

    rule_file: str
    step: str
    ask: str
    does: str
    """`stops below`, `is a caution above`, `applies above`, or `computes cord-current`."""


@dataclass(frozen=True, slots=True)
class Number:
    """One value, list of values or limit, as an officer checks it against the local code."""

    address: str
    """Its address in the tables; `FILE, step ID` for a limit that a rule file holds itself."""

    value: str
    """In the source's own unit; for a list, how many rows by what."""

    means: str
    source: Source
    citation: str
    standing: Standing
    note: str = ""
    rows: tuple[Cited, ...] = ()
    """For a list: each row, with its key last in the address."""

    replaced: tuple[Cited, ...] = ()
    """What a club has put in the place of shipped values: the value itself, or rows of it."""

    calculations: tuple[str, ...] = ()
    """The calculations that can read it, and what else of the program does, by its name."""

    uses: tuple[Use, ...] = ()

    @property
    def is_unverified(self) -> bool:
        """Whether it was written from memory."""
        return self.standing is Standing.MEMORY

    @property
    def is_used(self) -> bool:
        """Whether anything at hand can be decided by it."""
        return bool(self.calculations or self.uses)

    def has(self, words: Iterable[str]) -> bool:
        """Say whether every word stands somewhere in it, whatever the case of its letters."""
        texts = (
            self.address, self.value, self.means, self.citation, self.source.id, self.note,
            self.standing, "unverified" if self.is_unverified else "",
            "" if self.is_used else "unused",
            *self.calculations,
            *(row.value for row in self.rows),
            *(cited.club_note for cited in self.replaced),
            *(f"{u.rule_file} {u.step} {u.ask} {u.does}" for u in self.uses),
        )  # fmt: skip
        whole = "\n".join(texts).casefold()
        return all(word.casefold() in whole for word in words)


def numbers(
    book: Book,
    rule_files: Iterable[RuleFile],
    calculations: Mapping[str, Calculation],
    others: Mapping[str, frozenset[str]] | None = None,
) -> tuple[Number, ...]:
    """Return every value and list of the book, then the limits that rule files hold themselves.

    Which steps use a value is taken from the rule files as compiled, which calculations from
    their code; a step that runs a calculation uses all that this can read. `others` are the
    addresses that something else than a calculation reads, by what it is called.
    """
    files = tuple(rule_files)
    reads = {name: addresses_read(one, book) for name, one in calculations.items()}
    kinds = (step.kind for rule_file in files for step in rule_file.steps)
    whole = {
        kind.calculation.name: kind.calculation for kind in kinds if isinstance(kind, OfStation)
    }
    of_station = {name: addresses_in(one.where, book) for name, one in whole.items()}
    uses: dict[str, list[Use]] = {}
    own: list[Number] = []
    for rule_file in files:
        for step in rule_file.steps:
            for address, use in _uses(rule_file, step, {**reads, **of_station}):
                uses.setdefault(address, []).append(use)
            own += _own_limits(rule_file, step)
    found = [_of_value(one) for one in book.values.values()]
    found += [_of_table(one, book) for one in book.tables.values()]
    reads |= others or {}
    readers = {a: tuple(n for n, read in reads.items() if a in read) for a in _addresses(found)}
    tables = sorted(found, key=lambda number: number.address)
    return (
        *(
            replace(one, calculations=readers[one.address], uses=tuple(uses.get(one.address, ())))
            for one in tables
        ),
        *own,
    )


def club_values_of(
    rule_file: RuleFile, book: Book, computes: Mapping[str, Calculation]
) -> list[str]:
    """Return a text for each club value that can decide a step of this rule file."""
    return [
        f"{cited.address} {bare(cited.value)} instead of {bare(cited.replaced.value)} "
        f"({cited.replaced.strictness})"
        for number in numbers(book, [rule_file], computes)
        if number.uses
        for cited in number.replaced
        if cited.replaced is not None
    ]


def _addresses(found: Iterable[Number]) -> Iterator[str]:
    return (number.address for number in found)


def _of_value(value: Value) -> Number:
    cited = value.cited
    return Number(
        cited.address, bare(cited.value), cited.means, value.source, cited.citation,
        cited.standing, value.note, (), (cited,) if cited.replaced else (),
    )  # fmt: skip


def _of_table(table: Table, book: Book) -> Number:
    rows = tuple(row.cited for row in table.rows.values())
    shipped = next((row for row in rows if row.replaced is None), None)
    return Number(
        table.address,
        f"{len(rows)} rows by {table.key}",
        table.means,
        table.source,
        shipped.citation if shipped else table.source.citation(),
        shipped.standing if shipped else table.source.standing,
        table.note,
        rows,
        tuple(row for row in rows if row.replaced),
    )


def _uses(
    rule_file: RuleFile, step: Step, reads: Mapping[str, frozenset[str]]
) -> Iterator[tuple[str, Use]]:
    for does, limit in _limits(step):
        yield limit.cited.address, Use(rule_file.name, step.id, step.ask, does)
    if isinstance(step.kind, Compute | OfStation):
        name = step.kind.calculation.name
        for address in sorted(reads.get(name, ())):
            yield address, Use(rule_file.name, step.id, step.ask, f"computes {name}")


def _limits(step: Step) -> Iterator[tuple[str, Limit]]:
    if isinstance(step.kind, Reading):
        yield from _ends(step.kind.stop, "stops")
        yield from _ends(step.kind.caution, "is a caution")


def _ends(bounds: Bounds, does: str) -> Iterator[tuple[str, Limit]]:
    if bounds.below:
        yield f"{does} below", bounds.below
    if bounds.above:
        yield f"{does} above", bounds.above


def _own_limits(rule_file: RuleFile, step: Step) -> Iterator[Number]:
    """Yield the numbers that stand in the rule file: limits, and thresholds of conditions."""
    source = step.sources[0]
    address = f"{rule_file.name}, step {step.id}"
    said = [
        (does, limit.cited.value)
        for does, limit in _limits(step)
        if limit.cited.address.startswith("step/")
    ]
    if step.when is not None:
        said += _thresholds(step.when)
    for does, value in said:
        use = Use(rule_file.name, step.id, step.ask, does)
        yield Number(
            address, value, f"{does} it: {step.ask}", source, source.citation(),
            source.standing, source.note, uses=(use,),
        )  # fmt: skip


def _thresholds(condition: Condition) -> list[tuple[str, str]]:
    found = []
    for atom in condition.atoms():
        if isinstance(atom, Beyond):
            if atom.above is not None:
                found.append((f"applies where {atom.fact} is above", atom.above.text()))
            if atom.below is not None:
                found.append((f"applies where {atom.fact} is below", atom.below.text()))
    return found
