"""Every command with --plain: lines that a screen reader reads well, and nothing drawn."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from checklist.commands.spoken import spoken
from checklist.sessions.desk import Desk
from tests.commands.conftest import Shell

RULES = Path(__file__).resolve().parents[2] / "rules" / "checks" / "station-bonding.yaml"
DRAWN = re.compile("[\u2500-\u25ff\u2800-\u28ff]")

COMMANDS = [
    ("now",), (), ("review",), ("verify",), ("audit",), ("numbers", "fall"),
    ("check-rules", "RULES"), ("rules",),
    ("calculate",), ("calculate", "ladder-set-back"), ("tags",), ("people",),
    ("receipt",), ("station", "check", "STATION"), ("bonding", "STATION"),
    ("exposure", "STATION"), ("hurt",), ("hurt", "shock"),
    ("calculate", "ladder-set-back", "working-length=20 ft", "set-back=5 ft"),
]  # fmt: skip


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_nothing_is_drawn(shell: Shell, tmp_path: Path, words: tuple[str, ...]) -> None:
    """No box, block or braille, no columns, no leaders, no tree, no line of mere signs."""
    station = tmp_path / "station.yaml"
    if "STATION" in words:
        shell("station", "new", str(station))
    assert Desk.at(tmp_path / "logs").folder.origin  # laid out, as after the first start
    files = {"STATION": str(station), "RULES": str(RULES)}
    ran = shell(*(files.get(word, word) for word in words), "--plain")
    lines = ran.out.splitlines()

    assert ran.code in {0, 1, 3}, ran.err
    assert not DRAWN.search(ran.out)
    assert [line for line in lines if re.search(r"\S {2,}\S|\.{4,}|[+]--|^\s", line)] == []
    assert [line for line in lines if line and not re.search(r"\w", line)] == []
    assert len(lines) > 3


def test_the_environment_wishes_it_too(shell: Shell, monkeypatch: pytest.MonkeyPatch) -> None:
    """STANDCLEAR_PLAIN=1 is as if --plain stood on every line; 0 is not."""
    monkeypatch.setenv("STANDCLEAR_PLAIN", "1")
    plain = shell("rules").out
    monkeypatch.setenv("STANDCLEAR_PLAIN", "0")
    laid_out = shell("rules").out

    assert "\n  " not in plain
    assert "\n  " in laid_out


def test_columns_trees_and_drawing_become_sentences() -> None:
    """Columns get commas, leaders a colon, branches their parent, drawing goes; no word is lost."""
    lines = [
        "Kept since     3 Nov", "value ........ 4 ft", "───────", "bus [bus]",
        "+-- panel [service]   (6 AWG)", "|   +-- rod [rod]", "+-- radio",
        "see standclear show 12ab",
    ]  # fmt: skip

    assert list(spoken(lines)) == [
        "Kept since, 3 Nov.", "value: 4 ft.", "bus [bus].",
        "panel [service], (6 AWG) hangs on bus.", "rod [rod] hangs on panel.",
        "radio hangs on bus.", "see standclear show 12ab",
    ]  # fmt: skip


@pytest.mark.parametrize("shell_name", ["bash", "zsh", "fish"])
def test_completion_is_printed_for_each_shell(shell: Shell, shell_name: str) -> None:
    """`completion SHELL` prints a script that asks this program by its variable."""
    ran = shell("completion", shell_name)

    assert ran.code == 0
    assert "_STANDCLEAR_COMPLETE" in ran.out


def test_the_shell_completes_commands_and_rule_files(process: Shell) -> None:
    """Asked as bash asks, the program names the commands and rule files that go on from a word."""
    asks = {"_STANDCLEAR_COMPLETE": "bash_complete", "COMP_CWORD": "2"}
    files = process(COMP_WORDS="standclear walk to", **asks).out.splitlines()
    commands = process(COMP_WORDS="standclear rev", **{**asks, "COMP_CWORD": "1"}).out.splitlines()

    assert files == ["plain,tower-work"]
    assert commands == ["plain,review"]


@pytest.mark.parametrize("arguments", [(), ("walk", "tower-work"), ("rehearse", "tower-work")])
def test_without_a_terminal_the_screens_are_refused(
    process: Shell, arguments: tuple[str, ...]
) -> None:
    """Not a terminal, or TERM=dumb: one sentence with what to use instead, and no traceback."""
    ran = process(*arguments, TERM="dumb")

    assert ran.code == 2
    assert ran.err.count("\n") == 1
    assert "standclear walk NAME --plain" in ran.err
    assert "Traceback" not in ran.err
