"""What every calculation is made of, and what it answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from checklist.quantities import Quantity
from checklist.quantities.display import Side
from checklist.rulebook import Book, Cited


class Outcome(StrEnum):
    """What a calculation found; there is no word for `safe`, on purpose."""

    WITHIN = "within"
    OVER = "over"
    NOT_SHOWN = "not shown"
    """An input is unknown or outside what the method covers: not shown to be safe."""


@dataclass(frozen=True, slots=True)
class Input:
    """One input of a calculation: a quantity, a choice, a text, or rows of these."""

    name: str
    """As it is typed in the shell and in rule files: `mast-height`."""

    meaning: str
    """What to give, in words that the person at the mast understands."""

    dimension: str = ""
    """One of quantities.DIMENSIONS; empty for a choice, a text or rows."""

    example: str = ""
    """A typed example, with its unit."""

    choices: Mapping[str, str] | None = None
    """For a choice: each value with its meaning."""

    columns: tuple[Input, ...] = ()
    """For rows: the columns, in the order in which a line is typed, separated by commas."""

    optional: bool = False
    """May be left out; the calculation says what it then assumes."""

    also: str = ""
    """Another dimension that is taken as well: a working load is printed in lb or in kN."""

    least: str = ""
    """The lowest quantity accepted, as text; where empty, it must be above zero."""

    most: str = ""
    """The highest quantity that can be meant; a larger one is taken for a slip and refused."""

    most_rows: int = 60
    """For rows: how many lines at most."""


Cell = Quantity | str | None
"""A parsed value; None where it is unknown or an optional input was left out."""


@dataclass(frozen=True, slots=True)
class Given:
    """The parsed inputs of one run."""

    values: Mapping[str, Cell]
    rows: Mapping[str, tuple[Mapping[str, Cell], ...]]
    unknown: frozenset[str] = frozenset()
    """What was answered `unknown`, optional inputs included; `loads line 2, running` in rows."""

    def quantity(self, name: str) -> Quantity | None:
        """Return a quantity input, or None where it is unknown or left out."""
        value = self.values.get(name)
        return value if isinstance(value, Quantity) else None

    def word(self, name: str) -> str:
        """Return a choice or text input, or an empty text where it is unknown or left out."""
        value = self.values.get(name)
        return value if isinstance(value, str) else ""


@dataclass(frozen=True, slots=True)
class Output:
    """One computed number with its name and what it means."""

    name: str
    meaning: str
    quantity: Quantity
    rounds: Side = "up"
    """To which side it is shown: a load or a need up, what something carries or lasts down."""


@dataclass(frozen=True, slots=True)
class Result:
    """What the arithmetic of one calculation gave, before name and version are put on it."""

    outcome: Outcome
    says: str
    """One sentence with the deciding number beside its limit, in the source's own unit."""

    outputs: tuple[Output, ...] = ()
    stops: tuple[str, ...] = ()
    """Why it is over or not shown: one sentence each, number beside limit."""

    cautions: tuple[str, ...] = ()
    decided_by: str = ""
    """The input or limit that decided, in words."""

    used: tuple[Cited, ...] = ()
    """Every published value that took part."""

    lines: tuple[str, ...] = ()
    """The arithmetic, a line each, with units: `1.5 x 45 ft = 67.5 ft`."""

    assumptions: tuple[str, ...] = ()
    """What was assumed in this very run, on top of the calculation's standing ones."""


@dataclass(frozen=True, slots=True)
class Calculation:
    """One calculation: its inputs, its formula in words, its sources, and its arithmetic."""

    name: str
    title: str
    version: int
    """Raised whenever the same inputs could give another result."""

    inputs: tuple[Input, ...]
    formula: str
    sources: tuple[str, ...]
    """Ids in the bibliography."""

    assumptions: tuple[str, ...]
    """What always holds for it; not modelled, simplified, taken on the strict side."""

    compute: Callable[[Given, Book], Result]
    """Pure; raises nothing for any inputs that parse and that `refuse` lets pass."""

    refuse: Callable[[Given], None] | None = None
    """Raises InputRefused where inputs contradict each other or one more is needed."""

    tolerance: str = "0.001 %"
    """How far a rerun of the same version may differ (floating point)."""

    only_stops: bool = False
    """Whether its `within` carries no weight: a picture that may stop and never permits."""


@dataclass(frozen=True, slots=True)
class Finding:
    """The result of one run with all that is needed to understand it a year later."""

    calculation: str
    version: int
    given: Mapping[str, str]
    """Each input as typed."""

    result: Result

    @property
    def is_clear(self) -> bool:
        """Whether nothing in it stops."""
        return self.result.outcome is Outcome.WITHIN and not self.result.stops
