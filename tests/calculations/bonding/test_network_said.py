"""What is said of a bonding network, whole: the words that people act on change only on purpose."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from checklist.calculations import Finding
from checklist.calculations.bonding.network_findings import as_result, examine
from checklist.rulebook import Book
from checklist.strictyaml import read_yaml
from tests.calculations.saying import dump, told
from tests.calculations.writing_numbers import shipped_book
from tests.station.making import loaded

_HERE = Path(__file__).parent
_SAID = _HERE / "network_said.yaml"
_ABOUT = (
    "What is said of the sound network and of each planted fault, whole. These are the project's "
    "own words, written by python -m tests.calculations.bonding.test_network_said and read in the "
    "diff; they validate nothing."
)


def _networks() -> dict[str, list[tuple[str, str]]]:
    faults = read_yaml((_HERE / "network_faults.yaml").read_text("utf-8"), "network_faults.yaml")
    planted = {
        str(f["id"]): [(old, new) for old, new in f["replaced"]] for f in faults.data["faults"]
    }
    return {"the sound network": [], **planted}


def _said(replaced: list[tuple[str, str]], book: Book) -> dict[str, Any]:
    bonding = loaded(*replaced).bonding

    assert bonding is not None
    return told(Finding("bonding-network", 1, {}, as_result(examine(bonding.network(), book))))


def _kept() -> dict[str, Any]:
    cases = read_yaml(_SAID.read_text("utf-8"), _SAID.name).data["cases"]
    return {case["id"]: case["finding"] for case in cases}


@pytest.mark.parametrize("name", list(_networks()))
def test_it_says_this_of_a_network_and_nothing_else(name: str, book: Book) -> None:
    """Every remark, number and value judged by is what was last read through."""
    assert _said(_networks()[name], book) == _kept()[name]


if __name__ == "__main__":
    shipped = shipped_book()
    listed = [{"id": name, "finding": _said(r, shipped)} for name, r in _networks().items()]
    dump({"about": _ABOUT, "cases": listed}, _SAID)
