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


@pytest.mark.parametrize(
    ("damage", "sentence"),
    [
        (_with("version", 0), "finding: the version is not a positive integer"),
        (_with("given", ["x"]), "finding: “given” is not a mapping"),
        (_with("outcome", "safe"), "finding: “safe” is not an outcome"),
        (_with("outcome", 1), "outcome: it is not a text"),
        (_with("says", None), "says: it is not a text"),
        (_with("decided-by", None), "decided-by: it is not a text"),
        (_with("calculation", None), "calculation: it is not a text"),
        (_with("given", {"a": 1}), "given a: it is not a text"),
        (_with("given", {1: "a"}), "given: it is not a text"),
        (_with("outputs", "x"), "outputs: it is not a list"),
        (_with("used", "x"), "used: it is not a list"),
        (_with("stops", "x"), "stops: it is not a list"),
        (_with("stops", [1]), "stops: it is not a text"),
        (_with("cautions", [1]), "cautions: it is not a text"),
        (_with("lines", [1]), "lines: it is not a text"),
        (_with("assumptions", [1]), "assumptions: it is not a text"),
        (_in_output("unit", "furlong"), "output: “furlong” is not a unit known here"),
        (_in_output("value", "1e5"), "output: “1e5” is not a decimal number"),
        (_in_output("value", "٣"), "output: “٣” is not a decimal number"),
        (_in_output("value", "5.5.5"), "output: “5.5.5” is not a decimal number"),
        (_in_output("rounds", "sideways"), "output: “sideways” is no side to round to"),
        (_in_output("name", 1), "output name: it is not a text"),
        (
            _with("outputs", [{}]),
            "output: it does not have exactly the keys it should. "
            "They are meaning, name, rounds, unit, value.",
        ),
        (
            _without("says"),
            "finding: it does not have exactly the keys it should. They are assumptions, "
            "calculation, cautions, decided-by, given, lines, outcome, outputs, says, stops, used, "
            "version.",
        ),
    ],
)
def test_a_damaged_record_is_refused_in_these_words(
    damage: Callable[[dict[str, Any]], object], sentence: str, book: Book
) -> None:
    """What is wrong, and in which part of the finding."""
    data = as_data(run("ladder-set-back", WITHIN["ladder-set-back"], book))
    damage(data)
    with pytest.raises(StoredFindingRefused) as refused:
        from_data(data)

    assert refused.value.sentence() == sentence


def test_a_negative_number_comes_back(book: Book) -> None:
    """A temperature below zero is a number like any other; a lone sign is none."""
    data = as_data(run("ladder-set-back", WITHIN["ladder-set-back"], book))
    _in_output("value", "-5.5")(data)

    assert str(from_data(data).result.outputs[0].quantity.value) == "-5.5"
    _in_output("value", "-")(data)
    with pytest.raises(StoredFindingRefused, match="not a decimal number"):
        from_data(data)


def test_a_damaged_value_that_was_judged_by_is_refused_in_these_words(book: Book) -> None:
    """It is named as one of those that were used, with what would be right."""
    data = as_data(run("ladder-set-back", WITHIN["ladder-set-back"], book))
    data["used"] = [{"address": "x"}]
    with pytest.raises(StoredFindingRefused) as refused:
        from_data(data)

    assert refused.value.sentence().startswith("used: ")
    assert refused.value.right
