"""Which values a calculation reads: what its code says against what its runs ask for."""

from __future__ import annotations

from itertools import chain

import pytest

from checklist.calculations import CALCULATIONS, InputRefused, run
from checklist.calculations.kinds import Calculation
from checklist.calculations.reads import RecordingBook, addresses_read
from checklist.rulebook import Book
from tests.calculations.examples import OTHERS, WITHIN


def typed_runs(calculation: Calculation) -> list[dict[str, str]]:
    """Return inputs for many runs: the examples, each choice in turn, each input left out."""
    shown = {w.name: w.example for w in calculation.inputs if w.example}
    bases = [e[calculation.name] for e in (WITHIN, OTHERS) if calculation.name in e]
    runs = []
    for base in [*bases, shown]:
        runs.append(base)
        for wanted in calculation.inputs:
            runs.append({k: v for k, v in base.items() if k != wanted.name})
            runs.append({**base, wanted.name: "unknown"})
            runs += [{**base, wanted.name: choice} for choice in wanted.choices or ()]
            if wanted.example:
                runs.append({**base, wanted.name: wanted.example})
    return runs


def asked_for(calculation: Calculation, book: Book) -> set[str]:
    """Return every address that any of these runs asks the book for."""
    recording = RecordingBook.of(book)
    for typed in typed_runs(calculation):
        try:
            run(calculation.name, typed, recording)
        except InputRefused:
            continue
    return recording.asked


@pytest.mark.parametrize("name", CALCULATIONS)
def test_no_run_asks_for_a_value_that_is_not_named(name: str, book: Book) -> None:
    """Whatever a run reads stands among the addresses found in the code."""
    calculation = CALCULATIONS[name]

    assert asked_for(calculation, book) - addresses_read(calculation, book) == set()


@pytest.mark.parametrize(
    ("name", "addresses"),
    [
        ("cord-current", {"conductors/flexible-cord", "conductors/continuous-load",
                          "generator/high-load"}),
        ("ladder-set-back", {"ladder/set-back", "ladder/set-back-tolerance",
                             "ladder/above-landing"}),
        ("hoist-loads", {"rigging/least-angle", "rigging/block-factor"}),
        ("power-line-distance", {"lines/clearance", "lines/presumed-from",
                                 "lines/presumed-clearance", "lines/height-factor"}),
    ],
)  # fmt: skip
def test_what_a_calculation_reads_by_hand(name: str, addresses: set[str], book: Book) -> None:
    """Read from the source by hand: no address is missed, and none is made up."""
    assert addresses_read(CALCULATIONS[name], book) == addresses


def test_the_shipped_tables_are_read_by_somebody(book: Book) -> None:
    """Most of the values that are not limits of a rule file are found to be read."""
    read = set(chain.from_iterable(addresses_read(one, book) for one in CALCULATIONS.values()))

    assert read <= {*book.values, *book.tables}
    assert len(read) > 30
