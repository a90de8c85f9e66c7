"""Findings survive the way into the signed record and back."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

from checklist.calculations import StoredFindingRefused, as_data, from_data, run
from checklist.rulebook import Book
from tests.calculations.examples import OTHERS, WITHIN

_RUNS = [*WITHIN.items(), *OTHERS.items()]


@pytest.mark.parametrize(("name", "typed"), _RUNS)
def test_a_finding_comes_back_equal(name: str, typed: dict[str, str], book: Book) -> None:
    """Through JSON and back, nothing of a finding is lost or changed."""
    finding = run(name, typed, book)

    assert from_data(json.loads(json.dumps(as_data(finding)))) == finding


@pytest.mark.parametrize(("name", "typed"), _RUNS)
def test_numbers_are_decimal_texts(name: str, typed: dict[str, str], book: Book) -> None:
    """No float goes into signed data."""

    def leaves(node: Any) -> list[Any]:
        if isinstance(node, dict):
            return [leaf for value in node.values() for leaf in leaves(value)]
        if isinstance(node, list):
            return [leaf for value in node for leaf in leaves(value)]
        return [node]

    data = as_data(run(name, typed, book))
    version = data.pop("version")

    assert type(version) is int
    assert {type(leaf) for leaf in leaves(data)} == {str}


def _without(key: str) -> Callable[[dict[str, Any]], object]:
    return lambda data: data.pop(key)


def _with(key: str, value: object) -> Callable[[dict[str, Any]], object]:
    return lambda data: data.update({key: value})


def _in_output(key: str, value: object) -> Callable[[dict[str, Any]], object]:
    return lambda data: data["outputs"][0].update({key: value})


@pytest.mark.parametrize(
    "damage",
    [
        _without("outcome"),
        _with("more", "x"),
        _with("outcome", "safe"),
        _with("version", 0),
        _with("version", True),
        _with("version", "1"),
        _with("given", ["x"]),
        _with("given", {"a": 1}),
        _with("stops", "x"),
        _with("stops", [1]),
        _with("says", None),
        _with("used", [{"address": "x"}]),
        _in_output("unit", "furlong"),
        _in_output("value", "NaN"),
        _in_output("value", "1e5"),
        _in_output("value", ""),
        _in_output("value", "1_0"),
        _in_output("value", 5.0),
        _in_output("rounds", "sideways"),
    ],
)
def test_damaged_data_is_refused(damage: Callable[[dict[str, Any]], object], book: Book) -> None:
    """Data that as_data could not have written is refused in one sentence."""
    data = as_data(run("ladder-set-back", WITHIN["ladder-set-back"], book))
    damage(data)
    with pytest.raises(StoredFindingRefused) as refused:
        from_data(data)

    assert "\n" not in refused.value.sentence()


def test_an_unknown_standing_is_refused(book: Book) -> None:
    """A standing that is none of the four is refused."""
    data = as_data(run("ladder-set-back", WITHIN["ladder-set-back"], book))
    data["used"][0]["standing"] = "sure"
    with pytest.raises(StoredFindingRefused, match="sure"):
        from_data(data)


def test_no_mapping_is_refused() -> None:
    """A list is not a finding."""
    with pytest.raises(StoredFindingRefused):
        from_data([])
