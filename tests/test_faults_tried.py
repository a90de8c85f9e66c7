"""What the documentation says of the faults that are tried is what the suite tries."""

from __future__ import annotations

import ast
import re
from collections import Counter
from pathlib import Path

import pytest

from tests.conftest import COUNTS, KINDS, counts

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "logs" / "README.md"


def named(tree: ast.Module) -> set[str]:
    """Return the tests of a module that count what they try."""
    return {
        node.name
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and node.name.startswith("test_")
        and "tried" in {argument.arg for argument in node.args.args}
    }


def counting() -> set[str]:
    """Return every test in the suite that counts what it tries, as file and name."""
    found = set()
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        text = path.read_text(encoding="utf-8")
        if "tried" in text:
            at = path.relative_to(ROOT).as_posix()
            found |= {f"{at}::{name}" for name in named(ast.parse(text))}
    return found


def test_every_test_that_counts_has_its_numbers() -> None:
    """None is missing from the file, and none stands there that is gone."""
    known = {nodeid.partition("[")[0] for rows in counts().values() for nodeid in rows}

    assert known == counting(), f"pytest --count-faults writes {COUNTS.name} anew"


@pytest.mark.parametrize("variant", ["quick", "long"])
def test_the_page_quotes_the_sums(variant: str) -> None:
    """Each kind of fault stands on the page with the number that the variant tries."""
    whole: Counter[str] = Counter()
    for row in counts()[variant].values():
        whole.update(row)
    page = " ".join(PAGE.read_text(encoding="utf-8").split())
    quoted = page.partition(f"{variant.capitalize()}: ")[2].partition(".")[0]
    said = {words: number for number, words in re.findall(r"([\d,]+) ([a-z][^,;]*)", quoted)}

    assert said == {KINDS[kind]: f"{whole[kind]:,}" for kind in KINDS if whole[kind]}


def test_a_wrong_number_is_noticed() -> None:
    """The comparison reads numbers and words: one that is raised by one does not pass."""
    row = next(iter(counts()["quick"].values()))
    kind = next(iter(row))

    assert row != {**row, kind: row[kind] + 1}
    assert set(KINDS) >= {k for rows in counts().values() for r in rows.values() for k in r}
