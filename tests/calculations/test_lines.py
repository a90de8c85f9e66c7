"""The arithmetic of every calculation, line by line: nothing in it comes from nowhere."""

from __future__ import annotations

import re
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import replace

import pytest

from checklist.calculations import CALCULATIONS, Finding, InputRefused, run
from checklist.rulebook import Book
from tests.calculations.examples import FOURTH, OTHERS, THIRD, WITHIN
from tests.calculations.test_reads import typed_runs

_RUNS = [
    pytest.param(name, typed, id=f"{name}-{number}")
    for number, runs in enumerate((WITHIN, OTHERS, THIRD, FOURTH), 1)
    for name, typed in runs.items()
]
_NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?:e[+-]?\d+)?")

_ALWAYS = {
    0.0,  # a limit below which nothing counts
    1.0,  # the whole of something
    2.0,  # half, both legs, there and back, the square
    4.0,  # of 4 pi
    60.0,  # minutes in an hour
    100.0,  # per cent
    1000.0,  # milli
    1e6,  # micro, and all of the air in parts per million
}
"""What a line may bring along without saying where from: parts of a formula and of units."""

_OF_FORMULAS: dict[str, set[float]] = {
    "bonding-conductor": {0.005, 92, 36, 39},  # ASTM B258
    "lead-inductance": {0.005, 92, 36, 39, 0.00508, 0.75, 0.5, 0.2235, 299792458},
    "lead-resonance": {299792458},
    "earth-rods": {3, 5},
    "heat-index": {0.5, 61, 68, 1.2, 0.094, 80},
    "wind-chill": {0.16},
    "bleed-down": {5},
    "power-density": {10, 299792458},
    "exposure-exemption": {10, 299792458},
}
"""Constants of nature and of printed formulas; the calculation's own formula names them."""


def numbers_in(text: str) -> list[float]:
    return [abs(float(found)) for found in _NUMBER.findall(text)]


def _is_among(number: float, known: Iterable[float], tolerance: float) -> bool:
    return any(abs(number - other) <= tolerance * max(number, other) for other in known)


def _given(finding: Finding) -> set[float]:
    """Return the numbers that were typed, and those of the published values."""
    known = set(_ALWAYS) | {float(n) for n in _OF_FORMULAS.get(finding.calculation, ())}
    for text in finding.given.values():
        known |= set(numbers_in(text))
    for cited in finding.result.used:
        known |= set(numbers_in(f"{cited.value} {cited.address.replace('/', ' ')}"))
    return known


def _without_brackets(line: str) -> str:
    shorter = re.sub(r"\([^()]*\)", "", line)
    return shorter if shorter == line else _without_brackets(shorter)


def _from_nowhere(finding: Finding) -> list[str]:
    """Return each number of a line that is no input, no cited value and no earlier result."""
    known, found = _given(finding), []
    for line in finding.result.lines:
        if line.startswith(("met:", "not met:")):
            continue  # a rule in words
        if line.startswith("compare:"):
            # Both numbers are rounded to the strict side there, and in two units.
            outside = _without_brackets(line)
            found += [
                f"{n} in {line}" for n in numbers_in(outside) if not _is_among(n, known, 0.02)
            ]
            continue
        before, *after = line.split(" = ")
        head = re.sub(r"^[^:]*:", "", before) if ":" in before else before
        unknown = [n for n in numbers_in(head) if after and not _is_among(n, known, 2e-4)]
        found += [f"{n} in {line}" for n in unknown]
        known |= set(numbers_in(" ".join([before, *after])))
    return found


@pytest.mark.parametrize(("name", "typed"), _RUNS)
def test_each_number_is_an_input_a_cited_value_or_an_earlier_result(
    name: str, typed: dict[str, str], book: Book
) -> None:
    """Nothing stands before an equals sign that was not typed, published or computed above."""
    assert _from_nowhere(run(name, typed, book)) == []


@pytest.mark.parametrize("name", CALCULATIONS)
def test_no_branch_brings_a_number_from_nowhere(name: str, book: Book) -> None:
    """So it is with each choice in turn, each input left out, unknown, or as in its example."""
    for typed in typed_runs(CALCULATIONS[name]):
        with suppress(InputRefused):
            assert _from_nowhere(run(name, typed, book)) == [], typed


@pytest.mark.parametrize(("name", "typed"), _RUNS)
def test_each_output_is_the_result_of_a_line(name: str, typed: dict[str, str], book: Book) -> None:
    """Whatever a calculation gives, a line of its arithmetic ends with it, or reads it off."""
    result = run(name, typed, book).result
    shown = [n for line in result.lines for n in numbers_in(line)]
    missing = [
        o.name for o in result.outputs if not _is_among(abs(float(o.quantity.value)), shown, 1e-4)
    ]

    assert missing == []


@pytest.mark.parametrize(("name", "typed"), _RUNS)
def test_each_published_value_stands_in_a_line(
    name: str, typed: dict[str, str], book: Book
) -> None:
    """A value that took part is seen at work, not only in the list of sources."""
    result = run(name, typed, book).result
    shown = [n for line in result.lines for n in numbers_in(line)]
    missing = [
        cited.address
        for cited in result.used
        if not any(_is_among(n, shown, 1e-3) for n in numbers_in(cited.value))
    ]

    assert missing == []


@pytest.mark.parametrize(("name", "typed"), _RUNS)
def test_the_lines_hold_every_input_that_is_a_quantity(
    name: str, typed: dict[str, str], book: Book
) -> None:
    """The numbers the students typed are found again in the arithmetic, those in rows too."""
    finding = run(name, typed, book)
    shown = [n for line in finding.result.lines for n in numbers_in(line)]
    missing = [
        wanted.name
        for wanted in CALCULATIONS[name].inputs
        if wanted.dimension and wanted.name in typed and wanted.name not in _UNSEEN.get(name, ())
        for n in numbers_in(typed[wanted.name])
        if not _is_among(n, shown, 1e-3)
    ]

    assert missing == []


_UNSEEN = {
    "meter-category": ("probe-rating", "meter-voltage"),  # below and above 1000 V the other counts
    "fall-clearance": ("maker-clearance",),  # the larger need is compared, the other is not
    "bonding-conductor": ("device",),  # another purpose than the one that asks for it
    "earth-rods": ("rods",),  # a handbook's share has it in
    "lightning": ("descent",),  # only a caution
}
"""Inputs that the run of the examples takes in and has no use for, and why."""


def test_a_gap_is_found(book: Book) -> None:
    """The check itself fails on a line with a number from nowhere."""
    finding = run("ladder-set-back", WITHIN["ladder-set-back"], book)
    lines = ("20 ft x 0.25 + 7.77 ft = 12.77 ft", *finding.result.lines)
    broken = replace(finding, result=replace(finding.result, lines=lines))

    assert len(_from_nowhere(broken)) == 1
