"""The pure packages stand by themselves: importing them loads no screen, store or key."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PURE = ("quantities", "rulebook", "rulefile", "calculations", "walk.walk", "walk.examples")
HEAVY = {
    "textual", "rich", "click", "tinydb", "cryptography", "filelock", "platformdirs", "pydantic",
}  # fmt: skip
"""Nothing that decides needs these; the models of a rule file are loaded when one is read."""


def loaded_by(statement: str) -> set[str]:
    """Return the top-level names of every module that a fresh Python has after `statement`."""
    program = f"{statement}\nimport json, sys\nprint(json.dumps(sorted(sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return {name.partition(".")[0] for name in json.loads(done.stdout)}


@pytest.mark.parametrize("package", PURE)
def test_a_pure_package_loads_nothing_heavy(package: str) -> None:
    """In a fresh process, so that nothing else has loaded it."""
    loaded = loaded_by(f"import checklist.{package}")

    assert "checklist" in loaded
    assert loaded & HEAVY == set()


def test_the_check_can_fail() -> None:
    """What is heavy is seen where it is loaded."""
    assert {"textual", "rich"} <= loaded_by("import checklist.screens.app") & HEAVY


def test_imports_go_downwards_only() -> None:
    """The contract of layers in pyproject.toml holds."""
    program = Path(sys.executable).with_name("lint-imports")
    found = str(program) if program.exists() else shutil.which("lint-imports")
    assert found is not None

    done = subprocess.run(
        [found, "--no-cache"], cwd=ROOT, capture_output=True, text=True, check=False
    )

    assert done.returncode == 0, done.stdout
