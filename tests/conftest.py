"""Counts the faults that the suite tried, and says at its end how many of them were missed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

Tried = Callable[..., None]
"""Takes what was tried, how often, and how often it was missed or something told was lost."""

_KEY = "faults tried"

KINDS = {
    "operations": "operations stopped or refused",
    "states": "disk states after a power cut",
    "kills": "real kills (kill -9)",
    "bytes": "changes of bytes",
    "structure": "changes of structure",
    "mutants": "mutants of guarded code",
    "abuse": "abuses of the parsers",
}
"""What is counted, in the order and the words of the summary."""


@pytest.fixture
def tried(request: pytest.FixtureRequest) -> Tried:
    """Count faults for the summary; the numbers travel from worker processes with the report."""

    def count(kind: str, number: int, missed: int = 0) -> None:
        assert kind in KINDS
        request.node.user_properties.append((_KEY, [kind, number, missed]))

    return count


def pytest_terminal_summary(terminalreporter: Any) -> None:
    """Print every kind of fault with how many were tried and missed."""
    whole = {kind: [0, 0] for kind in KINDS}
    for reports in terminalreporter.stats.values():
        for report in reports:
            if getattr(report, "when", "") != "call":
                continue
            for key, row in report.user_properties:
                if key == _KEY:
                    kind, number, missed = row
                    whole[kind][0] += number
                    whole[kind][1] += missed
    if any(number for number, _ in whole.values()):
        terminalreporter.section("faults tried")
        for kind, (number, missed) in whole.items():
            if number:
                terminalreporter.write_line(f"{KINDS[kind]:<34}{number:>9,}   missed {missed}")
