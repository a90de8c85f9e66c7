"""In a real terminal: passphrases that are not shown, keys that interrupt, words that complete."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from checklist.commands.exits import FINE, NOT_SHOWN
from checklist.record.verifying.verify import verify
from checklist.sessions.desk import Desk
from checklist.sessions.opening import begin
from checklist.walk.entry import read_answer
from tests.commands.terminals import Typed, terminal
from tests.record.making import PASSPHRASE, person

pytestmark = pytest.mark.skipif(os.name == "nt", reason="needs a pseudo-terminal")
WREN, TAMSIN = "Wren Holloway", "Tamsin Reed"
NEW_WORDS = "a lantern on the hill"


def answered(logs: Path) -> str:
    """Answer every step of a walk, leave it, and return its name; Wren has a key, Tamsin none."""
    desk = Desk.at(logs)
    session = begin(desk, "emergency-power").session
    rules = session.walk.rule_file
    while (state := session.progress().next_open) is not None:
        typed = rules.examples[0].answers[state.step.id]
        session.answer(state.step.id, read_answer(state.step, typed, instrument="number 2"))
    session.close()
    person(desk.folder, WREN)
    return session.id


@pytest.fixture
def typed(logs: Path) -> Iterator[Typed]:
    """Go on, line by line, with a walk of which every step is answered."""
    name = answered(logs)
    with terminal([sys.executable, "-m", "checklist", "go-on", name[:8]], {}) as program:
        yield program


def test_a_passphrase_is_not_shown(typed: Typed, logs: Path) -> None:
    """Names stand on the terminal as typed; passphrases do not, one of them asked twice.

    Two that differ are said, and the person is asked again; the walk is sealed and verifies.
    """
    typed.answer("Type finish", "finish")
    typed.answer("Your answer" if "Your answer" in typed.said else "agree that this", "y")
    typed.answer("Who signs as", WREN)
    typed.answer(f"Passphrase of {WREN}: ", PASSPHRASE)
    typed.answer("Who signs as", TAMSIN)
    typed.answer("(a key is made): ", NEW_WORDS)
    typed.answer("Once more: ", "something else")
    typed.until("the two passphrases differ")
    typed.answer("Who signs as", TAMSIN)
    typed.answer("(a key is made): ", NEW_WORDS)
    typed.answer("Once more: ", NEW_WORDS)
    typed.until("Sealed and on disk")

    assert typed.end() == FINE
    assert WREN in typed.said
    assert PASSPHRASE not in typed.said
    assert NEW_WORDS not in typed.said
    assert verify(Desk.at(logs).folder).failures == ()


@pytest.mark.parametrize("key", ["\x03", "\x04"], ids=["Ctrl+C", "Ctrl+D"])
def test_a_key_leaves_and_the_walk_stays(typed: Typed, key: str) -> None:
    """Ctrl+C and Ctrl+D leave the walk in a sentence that says how to go on; no traceback."""
    typed.until("Type finish")
    typed.type(key)

    assert typed.end() == NOT_SHOWN
    assert "standclear go-on" in typed.said
    assert "Traceback" not in typed.said


SHELLS = {
    "bash": (["bash", "--norc", "--noprofile", "-i"], 'eval "$(standclear completion bash)"'),
    "zsh": (
        ["zsh", "-f", "-i"],
        'autoload -Uz compinit; compinit -u -D; eval "$(standclear completion zsh)"',
    ),
    "fish": (["fish", "--no-config", "-i"], "standclear completion fish | source"),
}  # fmt: skip


@pytest.mark.parametrize("name", [name for name in SHELLS if shutil.which(name)])
def test_a_live_shell_completes(name: str, logs: Path, tmp_path: Path) -> None:
    """In a shell that read the script, Tab completes a command, and a rule file behind `walk`."""
    program = tmp_path / "bin" / "standclear"
    program.parent.mkdir()
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m checklist "$@"\n', encoding="utf-8")
    program.chmod(0o755)
    command, read = SHELLS[name]
    environment = {
        "PATH": f"{program.parent}{os.pathsep}{os.environ['PATH']}",
        "PS1": "> ",
        "HOME": str(tmp_path),
    }
    with terminal(command, environment) as shell:
        shell.type(
            f"{read}; echo READ${{X}}Y\n" if name != "fish" else f"{read}; echo READ(echo)Y\n"
        )
        shell.until("READY")
        shell.type("echo standclear; standclear reh\t")
        shell.until("rehearse")
        shell.type("to\t")
        shell.until("tower-work")
        shell.type("\x03")
