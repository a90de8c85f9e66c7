"""The commands that stand in the pages: each is run where a reader would run it."""

from __future__ import annotations

import io
import re
import shlex
import shutil
import sys
from pathlib import Path

import pytest

from checklist.__main__ import main
from checklist.demo.cast import PASSPHRASE
from checklist.demo.club import Club
from checklist.helppages import page_names, page_text

_COMMAND = re.compile(r"^ {4}(standclear(?:.*\\\n)*.*)$", re.MULTILINE)

OPENS_A_SCREEN = {
    "standclear --logs invented/hill/logs",
    "standclear walk tower-work",
    "standclear walk emergency-power",
    "standclear walk inside-equipment",
    "standclear walk station-bonding",
    "standclear walk field-event",
    "standclear walk release",
    "standclear rehearse tower-work",
    "standclear rehearse inside-equipment",
    "standclear rehearse field-event",
    "standclear station edit my-station.yaml",
}
"""Not run here: without a terminal they refuse, which is all that could be seen.

Every screen that they open is looked at in tests/screens.
"""

BUILDS_THE_CLUB = {"standclear demo invented"}
"""Not run here: it is what was done before, and tests/demo looks at it."""

IS_A_PATTERN = {"shell"}
"""Pages in which a capital word stands for what a reader puts there."""

ENDS_WITH = {
    "standclear verify invented/copies/tampered/logs": 1,
    "standclear --logs invented/officer/logs audit invented/hill/logs"
    " invented/copies/forked/logs": 1,
    "standclear verify invented/hill/logs": 3,
    "standclear --logs invented/hill/logs receipt": 3,
}
"""What a page leads one to expect where it is not 0."""


def commands_in(page: str) -> list[str]:
    """Return the commands of a page in their order, each on one line."""
    return [re.sub(r"\\\n\s*", "", one) for one in _COMMAND.findall(page_text(page))]


def _is_run(command: str) -> bool:
    return command not in OPENS_A_SCREEN | BUILDS_THE_CLUB


WITH_COMMANDS = [
    page
    for page in page_names()
    if page not in IS_A_PATTERN and any(_is_run(one) for one in commands_in(page))
]


@pytest.mark.parametrize("page", WITH_COMMANDS)
def test_the_commands_of_a_page_end_as_it_says(
    club: Club, page: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every command of a page, run in their order beside a fresh club, ends as is documented."""
    shutil.copytree(club.folder, tmp_path / "invented")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("STANDCLEAR_LOGS", str(tmp_path / "own" / "logs"))
    ended = {}
    for command in filter(_is_run, commands_in(page)):
        monkeypatch.setattr(sys, "stdin", io.StringIO(f"{PASSPHRASE}\n" * 4))
        ended[command] = main(shlex.split(command)[1:])

    assert ended == {command: ENDS_WITH.get(command, 0) for command in ended}


def test_what_is_not_run_stands_in_a_page() -> None:
    """No command is excused or given another ending that no page has."""
    told = {command for page in page_names() for command in commands_in(page)}

    assert (OPENS_A_SCREEN | BUILDS_THE_CLUB | ENDS_WITH.keys()) - told == set()


def test_a_page_read_aloud_keeps_its_sentences_whole(capsys: pytest.CaptureFixture[str]) -> None:
    """With --plain no paragraph is broken where a line would end, nor is a command given a stop."""
    assert main(["--plain", "manual", "power-is-out"]) == 0

    lines = capsys.readouterr().out.splitlines()

    assert "standclear walk emergency-power" in lines
    assert any(
        line.startswith("Walk this before") and line.endswith("near a window.") for line in lines
    )


@pytest.mark.parametrize("page", sorted(IS_A_PATTERN))
def test_a_pattern_begins_with_a_command_that_there_is(
    page: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every command that is told as a pattern has a help that names it."""
    for command in commands_in(page):
        words = [word for word in shlex.split(command)[1:] if word.islower()]

        assert main([*words, "--help"]) == 0
        assert f"standclear {' '.join(words)}".strip() in capsys.readouterr().out
