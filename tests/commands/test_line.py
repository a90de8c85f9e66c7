"""The command line itself: help, options, and how screens are opened."""

from __future__ import annotations

from pathlib import Path

import pytest

from checklist import __main__ as program
from checklist import __version__
from checklist.caution import BANNER, US_RULES
from checklist.commands.exits import FINE, MEANINGS, REFUSED
from checklist.sessions.desk import Desk
from tests.commands.conftest import Shell

Opened = list[tuple[Path, str, bool]]


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> Opened:
    """Note what is opened: at which log folder, which rule file, as a rehearsal or not."""
    calls: Opened = []

    def open_screens(desk: Desk, name: str, is_rehearsal: bool) -> int:
        calls.append((desk.logs, name, is_rehearsal))
        return FINE

    monkeypatch.setattr(program, "open_screens", open_screens)
    return calls


def test_help_documents_every_exit_code(shell: Shell) -> None:
    """`standclear --help` lists each number with its meaning, and both cautions."""
    ran = shell("--help")

    assert ran.code == FINE
    assert [text for text in MEANINGS.values() if text not in ran.out] == []
    assert [str(number) for number in MEANINGS if f" {number}  " not in ran.out] == []
    assert BANNER in ran.out
    assert US_RULES in ran.out


def test_exit_codes_are_distinct() -> None:
    """No two outcomes share a number, and all fit in the byte that shells have."""
    assert len(set(MEANINGS)) == len(MEANINGS) == 8
    assert all(0 <= number < 256 for number in MEANINGS)


def test_version(shell: Shell) -> None:
    """`--version` prints the version of the package."""
    assert shell("--version").out == f"standclear {__version__}\n"


def test_home(shell: Shell, logs: Path, tmp_path: Path, opened: Opened) -> None:
    """Without a command home opens, at the folder of the option before the environment's."""
    other = str(tmp_path / "other")
    codes = [shell().code, shell("--logs", other).code, shell(f"--logs={other}").code]

    assert codes == [FINE] * 3
    assert opened == [(logs, "", False), (Path(other), "", False), (Path(other), "", False)]


def test_walk_and_rehearse(shell: Shell, logs: Path, tmp_path: Path, opened: Opened) -> None:
    """`walk` and `rehearse` open a rule file by name; the log folder may stand in two places."""
    other = str(tmp_path / "other")
    shell("walk", "tower-work")
    shell("rehearse", "tower-work", "--logs", other)
    shell("--logs", other, "walk", "emergency-power")

    assert opened == [
        (logs, "tower-work", False),
        (Path(other), "tower-work", True),
        (Path(other), "emergency-power", False),
    ]


@pytest.mark.parametrize("command", ["walk", "rehearse"])
def test_unknown_rule_file_opens_nothing(shell: Shell, opened: Opened, command: str) -> None:
    """A name that is no rule file is said in one sentence, with the names there are."""
    ran = shell(command, "../../etc/passwd")

    assert (ran.code, ran.out, opened) == (REFUSED, "", [])
    assert "there is no rule file “../../etc/passwd”. There are: " in ran.err
    assert "tower-work" in ran.err


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("wlak",), "wlak"),
        (("walk",), "NAME"),
        (("--colour",), "--colour"),
        (("--logs",), "--logs"),
        (("--logs", ""), "no folder is named"),
        (("--logs=",), "no folder is named"),
        (("rules", "--logs", " "), "no folder is named"),
        (("rules", "extra"), "extra"),
        (("--logs=~nobody-of-this-name/x", "rules"), "home folder"),
        (("review", "--since", "yesterday"), "Write it as 2026-11-25"),
        (("review", "from:yesterday"), "Write it as 2026-11-25"),
        (("review", "--until", "2026-06-31"), "“2026-06-31” is not a day"),
        (("review", "--verdict", "safe"), "There are: no stop found"),
        (("review", "--since", "2026-02-02", "--until", "2026-02-01"), "after"),
    ],
)
def test_wrong_use_is_one_sentence(
    shell: Shell, opened: Opened, arguments: tuple[str, ...], said: str
) -> None:
    """A command line that cannot be used is one sentence on stderr and number 2."""
    ran = shell(*arguments)

    assert (ran.code, ran.out, opened) == (REFUSED, "", [])
    assert said in ran.err
    assert ran.err.count("\n") == 1


def test_json_before_the_command_is_told_where_it_stands(shell: Shell) -> None:
    """Alone it is what home shows; before a command, the sentence has the right order."""
    alone, before = shell("--json"), shell("--json", "review")

    assert alone.code == FINE
    assert alone.data == shell("now", "--json").data
    assert before.code == REFUSED
    assert "standclear review --json" in before.err
