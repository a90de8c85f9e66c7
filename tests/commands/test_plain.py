"""What --plain does, and who may wish it; `test_every_command` looks at each command."""

from __future__ import annotations

import pytest

from checklist.commands.spoken import spoken
from tests.commands.conftest import Shell


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
