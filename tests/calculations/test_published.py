"""Every number that is printed somewhere else, beside the document it is printed in."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from checklist.calculations import InputRefused, run
from checklist.quantities import Quantity
from checklist.rulebook import Book
from checklist.strictyaml import read_yaml

_FOLDER = Path(__file__).parent / "published"


def _cases(*keys: str) -> list[Any]:
    documents = [read_yaml(p.read_text("utf-8"), p.name) for p in sorted(_FOLDER.glob("*.yaml"))]
    return [
        pytest.param(case, id=case["id"])
        for document in documents
        for case in document.data["cases"]
        if any(key in case for key in keys)
    ]


def _printed(text: str) -> tuple[Quantity, Fraction]:
    """Return a printed quantity and half of its last digit, in its own unit."""
    number, _, unit = text.partition(" ")
    value = Decimal(number)
    exponent = value.as_tuple().exponent
    assert isinstance(exponent, int)
    return Quantity.of(value, unit), Fraction(10) ** exponent / 2


@pytest.mark.parametrize("case", _cases("table"))
def test_a_table_row_holds_the_printed_value(case: dict[str, str], book: Book) -> None:
    """The shipped table holds the very number that the document prints."""
    found = book.table(case["table"]).row(case["row"])[case["column"]]

    assert found == _printed(case["expect"])[0]


@pytest.mark.parametrize("case", _cases("range"))
def test_a_range_gives_the_printed_value(case: dict[str, str], book: Book) -> None:
    """Upper ends are inclusive, as the document's `to` is."""
    row = book.table(case["range"]).up_to(_printed(case["at"])[0])

    assert row is not None
    assert row[case["column"]] == _printed(case["expect"])[0]


@pytest.mark.parametrize("case", _cases("outcome"))
def test_a_calculation_gives_the_printed_value(case: dict[str, Any], book: Book) -> None:
    """The run gives the printed outcome, and each printed number to its last digit.

    Wider only where the case says how far and why.
    """
    result = run(case["calculation"], case["inputs"], book).result
    outputs = {output.name: output.quantity for output in result.outputs}

    assert result.outcome.value == case["outcome"]
    assert case.get("caution", "") in " ".join(result.cautions)
    for name, text in case.get("outputs", {}).items():
        printed, half_digit = _printed(text)
        share = Fraction(Decimal(case.get("within", "0").split(" ")[0])) / 100
        allowed = max(half_digit, abs(Fraction(printed.value)) * share)

        assert abs(outputs[name].to(printed.unit.symbol) - Fraction(printed.value)) <= allowed


@pytest.mark.parametrize("case", _cases("refused"))
def test_an_input_is_refused(case: dict[str, Any], book: Book) -> None:
    """What cannot be meant is refused, naming the field."""
    with pytest.raises(InputRefused) as refused:
        run(case["calculation"], case["inputs"], book)

    assert refused.value.field == case["refused"]
    assert refused.value.right


@pytest.mark.parametrize("case", _cases("id"))
def test_every_case_has_a_standing_and_one_check(case: dict[str, Any]) -> None:
    """No published case is in the file without being checked."""
    kinds = [key for key in ("table", "range", "outcome", "refused") if key in case]

    assert len(kinds) == 1
    assert case["standing"] in {"read", "computed", "from memory"}
