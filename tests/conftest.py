"""Counts the faults that the suite tried, and says at its end how many of them were missed.

Each test that tries faults has its numbers in `faults_tried.json`, and fails where it tries
others; the documentation quotes the sums of that file. `pytest --count-faults` writes anew the
numbers of the tests that were run.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

Tried = Callable[..., None]
"""Takes what was tried, how often, and how often it was missed or something told was lost."""

COUNTS = Path(__file__).with_name("faults_tried.json")
"""By variant, quick or long, and by test: how many faults of each kind it tries."""

_KEY = "faults tried"
_WRITE = "--count-faults"

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


def pytest_addoption(parser: pytest.Parser) -> None:
    """Take the option that writes the numbers anew."""
    parser.addoption(
        _WRITE, action="store_true", help="write into faults_tried.json what the tests try"
    )


def counts() -> dict[str, dict[str, dict[str, int]]]:
    """Return what stands in the file: by variant, by test, by kind."""
    found: dict[str, dict[str, dict[str, int]]] = json.loads(COUNTS.read_text(encoding="utf-8"))
    return found


@pytest.fixture
def tried(request: pytest.FixtureRequest) -> Iterator[Tried]:
    """Count faults for the summary; the numbers travel from worker processes with the report."""
    whole: Counter[str] = Counter()
    node = request.node
    variant = "long" if node.get_closest_marker("long") else "quick"

    def count(kind: str, number: int, missed: int = 0) -> None:
        assert kind in KINDS
        whole[kind] += number
        node.user_properties.append((_KEY, [variant, kind, number, missed]))

    yield count
    due = counts()[variant].get(node.nodeid)
    if whole and due is not None and dict(whole) != due and not request.config.getoption(_WRITE):
        pytest.fail(
            f"{node.nodeid} tried {dict(whole)}, and {COUNTS.name} has {due}. If that is meant, "
            f"run it with {_WRITE}, and quote the new sums in logs/README.md.",
            pytrace=False,
        )


def pytest_terminal_summary(terminalreporter: Any, config: pytest.Config) -> None:
    """Print every kind of fault with how many were tried and missed."""
    whole = {kind: [0, 0] for kind in KINDS}
    by_test: dict[str, dict[str, Counter[str]]] = {"quick": {}, "long": {}}
    for reports in terminalreporter.stats.values():
        for report in reports:
            if getattr(report, "when", "") != "call":
                continue
            for key, row in report.user_properties:
                if key == _KEY:
                    variant, kind, number, missed = row
                    whole[kind][0] += number
                    whole[kind][1] += missed
                    by_test[variant].setdefault(report.nodeid, Counter())[kind] += number
    if any(number for number, _ in whole.values()):
        terminalreporter.section("faults tried")
        for kind, (number, missed) in whole.items():
            if number:
                terminalreporter.write_line(f"{KINDS[kind]:<34}{number:>9,}   missed {missed}")
    if config.getoption(_WRITE):
        _write(by_test)


def _write(by_test: dict[str, dict[str, Counter[str]]]) -> None:
    """Put the numbers of the tests that were run in the place of those that stood there."""
    known = counts()
    whole = {variant: {**known[variant], **rows} for variant, rows in by_test.items()}
    COUNTS.write_text(json.dumps(whole, indent=1, sort_keys=True) + "\n", encoding="utf-8")
