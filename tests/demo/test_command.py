"""`standclear demo` from the shell."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from checklist.__main__ import main
from checklist.commands.exits import FINE, REFUSED
from checklist.demo.cast import PASSPHRASE
from checklist.demo.club import Club
from checklist.sessions.invented import NOT_REAL


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


@pytest.mark.parametrize(
    "words",
    [("now",), ("tags",), ("review", "climb"), ("people",), ("receipt",), ("numbers", "wind")],
    ids=" ".join,
)
def test_whatever_a_command_says_of_it_begins_with_the_mark(
    words: tuple[str, ...], club: Club, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nobody takes what is printed of the invented club for real, as text or as JSON."""
    logs = str(club.desks["hill"].logs)
    main(["--logs", logs, *words])
    text = capsys.readouterr().out
    main(["--logs", logs, *words, "--json"])
    data = json.loads(capsys.readouterr().out)

    assert text.startswith(NOT_REAL)
    assert data["invented"] == NOT_REAL


def test_a_folder_that_is_verified_says_so_too(
    club: Club, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The mark is that of the folder that is looked at; a real one has none."""
    main(["--logs", str(tmp_path), "verify", str(club.desks["field-3"].logs)])
    of_club = capsys.readouterr().out
    main(["--logs", str(tmp_path), "rules"])

    assert of_club.startswith(NOT_REAL)
    assert NOT_REAL not in capsys.readouterr().out
