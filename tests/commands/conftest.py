"""The program called as the shell calls it: arguments in; a number and two texts out."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from checklist.__main__ import main

CHECKOUT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Ran:
    """What one call gave."""

    code: int
    out: str
    err: str

    @property
    def said(self) -> str:
        """What stands on stderr beside how far long work is, which a slow machine says."""
        lines = self.err.splitlines(keepends=True)
        return "".join(line for line in lines if not re.search(r" \d+ of \d+$", line))

    @property
    def data(self) -> dict[str, Any]:
        """The one JSON document on stdout; fails where anything else is there."""
        found = json.loads(self.out)

        assert isinstance(found, dict)
        return found


Shell = Callable[..., Ran]


@pytest.fixture
def logs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Name a log folder in the environment; it is not made yet."""
    folder = tmp_path / "logs"
    monkeypatch.setenv("STANDCLEAR_LOGS", str(folder))
    return folder


@pytest.fixture
def shell(logs: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    """Call the program in this process."""

    def call(*arguments: str) -> Ran:
        code = main(arguments)
        out, err = capsys.readouterr()
        return Ran(code, out, err)

    return call


@pytest.fixture
def process(logs: Path) -> Shell:
    """Call the program as a process of its own, with no terminal."""

    def call(*arguments: str, **environment: str) -> Ran:
        done = subprocess.run(
            [sys.executable, "-m", "checklist", *arguments],
            cwd=CHECKOUT,
            env={**os.environ, **environment},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            encoding="utf-8",
            timeout=60,
            check=False,
        )
        return Ran(done.returncode, done.stdout, done.stderr)

    return call
