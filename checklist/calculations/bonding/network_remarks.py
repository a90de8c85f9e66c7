"""What can be found about a bonding network: one sentence, where, by which rule, what to do."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from checklist.calculations.judging import given
from checklist.quantities import Quantity
from checklist.rulebook import Book, Cited, Row


class Weight(StrEnum):
    """What a remark does."""

    OVER = "over"
    NOT_SHOWN = "not shown"
    CAUTION = "caution"


@dataclass(frozen=True, slots=True)
class Remark:
    """One thing that was found."""

    rule: str
    """A short word for the rule, the same in every run: `separate electrode`."""

    weight: Weight
    where: tuple[str, ...]
    """Names of the nodes and conductors it is about."""

    says: str
    remedy: str
    cites: str
    """The rule's citation with its standing."""

    def sentence(self) -> str:
        """Return the remark with its remedy and its rule on one line."""
        start = "Not shown: " if self.weight is Weight.NOT_SHOWN else ""
        said = f"{start}{self.says}" if start else f"{self.says[0].upper()}{self.says[1:]}"
        return f"{said}. {self.remedy} [{self.cites}]"


@dataclass(slots=True)
class Remarks:
    """Collects remarks and the published values that took part."""

    book: Book
    found: list[Remark] = field(default_factory=list)
    used: dict[str, Cited] = field(default_factory=dict)
    lines: list[str] = field(default_factory=list)

    def value(self, address: str) -> Quantity:
        """Return a published value and note that it takes part."""
        value = self.book.value(address)
        self.used[address] = value.cited
        return value.quantity

    def row(self, address: str, key: str) -> Row:
        """Return a row of a published table and note that it takes part."""
        row = self.book.table(address).row(key)
        self.used[row.cited.address] = row.cited
        return row

    def over(self, rule: str, where: tuple[str, ...], says: str, remedy: str, source: str) -> None:
        """Note something that stops."""
        self._note(rule, Weight.OVER, where, says, remedy, source)

    def not_shown(
        self, rule: str, where: tuple[str, ...], says: str, remedy: str, source: str
    ) -> None:
        """Note something that nobody knows, and that stops until it is known."""
        self._note(rule, Weight.NOT_SHOWN, where, says, remedy, source)

    def caution(
        self, rule: str, where: tuple[str, ...], says: str, remedy: str, source: str
    ) -> None:
        """Note something that does not stop."""
        self._note(rule, Weight.CAUTION, where, says, remedy, source)

    def at_least(
        self,
        rule: str,
        where: tuple[str, ...],
        what: str,
        got: Quantity | None,
        address: str,
        remedy: str,
        source: str,
    ) -> None:
        """Hold a quantity against a published lower limit; equal passes, unknown is not shown."""
        need = self.value(address)
        if got is None:
            self.not_shown(rule, where, f"{what} is not given", "Measure it.", source)
        elif got < need:
            self.over(rule, where, f"{what} is {given(got)}, needs {given(need)}", remedy, source)
        else:
            self.lines.append(f"{what} is {given(got)}, needs {given(need)}")

    def _note(
        self, rule: str, weight: Weight, where: tuple[str, ...], says: str, remedy: str, source: str
    ) -> None:
        cites = self.book.source(source).citation()
        self.found.append(Remark(rule, weight, where, says, remedy, cites))
