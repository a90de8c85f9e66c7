"""Writes anew what the calculations say: python -m tests.calculations.saying."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import yaml

from checklist.calculations import Finding, InputRefused, run
from checklist.calculations.stored import as_data
from checklist.rulebook import Book
from checklist.strictyaml import read_yaml
from tests.calculations.writing_numbers import shipped_book

FOLDER = Path(__file__).parent / "said"
"""One file for each calculation: inputs, and the whole of what was said of them."""

_ABOUT = (
    "What {name} says, whole. These are the project's own words and numbers, written by "
    "tests/calculations/saying.py and read in the diff; they validate nothing."
)
_LISTS = ("stops", "cautions", "lines", "assumptions")


class _Dumper(yaml.SafeDumper):
    """Indents lists and repeats nothing by reference."""

    def ignore_aliases(self, data: Any) -> bool:
        return True


def said(name: str, inputs: Mapping[str, str], book: Book) -> dict[str, Any]:
    """Return all that a person reads of a run, and by what it was judged; or the refusal."""
    try:
        return told(run(name, inputs, book))
    except InputRefused as refused:
        return {"field": refused.field, "refused": str(refused)}


def told(finding: Finding) -> dict[str, Any]:
    """Return all that a person reads of a finding, and by what it was judged; empty parts not."""
    data = as_data(finding)
    whole = {
        "outcome": data["outcome"],
        "says": data["says"],
        "decided-by": data["decided-by"],
        "outputs": [
            f"{o['name']}: {o['meaning']}: {o['value']} {o['unit']}, {o['rounds']}"
            for o in data["outputs"]
        ],
        **{part: data[part] for part in _LISTS},
        "judged-by": [cited.address for cited in finding.result.used],
    }
    return {part: text for part, text in whole.items() if text}


def cases(name: str) -> list[dict[str, Any]]:
    """Return the cases of one calculation as they stand in its file."""
    path = FOLDER / f"{name}.yaml"
    kept: list[dict[str, Any]] = read_yaml(path.read_text("utf-8"), path.name).data["cases"]
    return kept


def write(name: str, listed: list[dict[str, Any]], book: Book) -> None:
    """Write the file of one calculation: each id and its inputs with what is said of them now."""
    document = {
        "about": _ABOUT.format(name=name),
        "cases": [
            {
                "id": case["id"],
                "inputs": case["inputs"],
                "finding": said(name, case["inputs"], book),
            }
            for case in listed
        ],
    }
    dump(document, FOLDER / f"{name}.yaml")


def dump(document: dict[str, Any], path: Path) -> None:
    """Write plain data as YAML in the order in which it stands."""
    text = yaml.dump(document, Dumper=_Dumper, allow_unicode=True, sort_keys=False, width=100)
    path.write_text(text, "utf-8")


if __name__ == "__main__":
    shipped = shipped_book()
    for file in sorted(FOLDER.glob("*.yaml")):
        write(file.stem, cases(file.stem), shipped)
