"""What every calculation says, whole: the words that people act on change only on purpose."""

from __future__ import annotations

import ast
import inspect
import sys
from typing import Any

import pytest

from checklist.calculations import CALCULATIONS
from checklist.rulebook import Book
from tests.calculations.saying import FOLDER, cases, said

_NAMES = sorted(file.stem for file in FOLDER.glob("*.yaml"))
_CASES = [
    pytest.param(name, case, id=f"{name}, {case['id']}") for name in _NAMES for case in cases(name)
]
_SHORTEST = 12
_ELSEWHERE = {"is not at hand here; give it as power density"}
"""Said only with a book of which the limits are missing: tests/calculations/radio."""


@pytest.mark.parametrize(("name", "case"), _CASES)
def test_it_says_this_and_nothing_else(name: str, case: dict[str, Any], book: Book) -> None:
    """Outcome, sentences, arithmetic, outputs and values judged by are what was last read through.

    Where it fails on purpose, write the files anew and read the diff:
    python -m tests.calculations.saying
    """
    assert said(name, case["inputs"], book) == case["finding"], (
        "if it is meant: python -m tests.calculations.saying, and read the diff"
    )


def test_every_calculation_is_heard() -> None:
    """None is without its file, and no file is left over."""
    silent, left_over = set(CALCULATIONS) - set(_NAMES), set(_NAMES) - set(CALCULATIONS)

    assert (silent, left_over) == (set(), set()), (
        "write tests/calculations/said/NAME.yaml with `cases:`, each an `id` and `inputs`, then "
        "python -m tests.calculations.saying puts in what is said"
    )


@pytest.mark.parametrize("name", _NAMES)
def test_every_sentence_of_the_code_is_said(name: str) -> None:
    """No sentence in a calculation's own module is left out of its cases."""
    heard = _flat([case["finding"] for case in cases(name)]).casefold()
    module = sys.modules[CALCULATIONS[name].compute.__module__]
    pieces = set(_pieces(ast.parse(inspect.getsource(module)))) - _ELSEWHERE

    unheard = [piece for piece in pieces if piece.strip().casefold() not in heard]

    assert unheard == [], f"add a case in which it is said to tests/calculations/said/{name}.yaml"


def _pieces(tree: ast.Module) -> list[str]:
    """Return the literal pieces of text in the functions of a module, docstrings left out."""
    found = []
    for function in ast.walk(tree):
        if isinstance(function, ast.FunctionDef):
            documented = ast.get_docstring(function, clean=False)
            found += [
                node.value
                for node in ast.walk(function)
                if isinstance(node, ast.Constant)
                and isinstance(node.value, str)
                and node.value != documented
                and len(node.value) >= _SHORTEST
                and " " in node.value.strip()
            ]
    return found


def _flat(data: Any) -> str:
    if isinstance(data, dict):
        return "\n".join(_flat(value) for value in data.values())
    return "\n".join(_flat(item) for item in data) if isinstance(data, list) else str(data)
