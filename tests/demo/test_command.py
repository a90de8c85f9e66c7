"""`standclear demo` from the shell."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from checklist.__main__ import main
from checklist.commands.exits import FINE, REFUSED
from checklist.demo.cast import PASSPHRASE


def test_the_command_builds_and_says_how_to_look(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It prints where the club stands, the log folder to open, and the passphrase."""
    folder = tmp_path / "club"

    assert main(["demo", str(folder), "--size", "small", "--seed", "3", "--json"]) == FINE

    said = json.loads(capsys.readouterr().out)

    assert said["folder"] == str(folder)
    assert said["seed"] == "3"
    assert said["passphrase"] == PASSPHRASE
    assert all(Path(logs).is_dir() for logs in said["logs"].values())

    assert main(["demo", str(folder)]) == REFUSED
    assert "something stands in this folder" in capsys.readouterr().err


def test_a_last_day_that_is_none_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing is built, and the sentence says how a day is written."""
    assert main(["demo", str(tmp_path / "club"), "--last-day", "soon"]) == REFUSED
    assert "Write it as" in capsys.readouterr().err
    assert not (tmp_path / "club").exists()
