"""The manual's pages about the program itself: threats and changes."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
THREATS = (ROOT / "checklist" / "manual" / "threats.md").read_text("utf-8")
NAMED = re.findall(r"`(tests/\S+\.py)::(test_\w+)`", THREATS)


@pytest.mark.parametrize(("path", "name"), NAMED, ids=[name for _, name in NAMED])
def test_each_claim_names_a_test_that_is_there(path: str, name: str) -> None:
    """A claim on the page of threats rests on a test of that name in that file."""
    tree = ast.parse((ROOT / path).read_text("utf-8"))

    assert name in {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}


def test_every_claim_of_a_list_names_its_test() -> None:
    """No line of what holds stands on the page without a test."""
    claims = [line for line in THREATS.splitlines() if line.startswith("- ")]

    assert claims
    assert all(re.search(r"`tests/\S+::test_\w+`$", line) for line in claims)
