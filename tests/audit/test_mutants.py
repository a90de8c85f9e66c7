"""Guarded code, broken on purpose in one place at a time: the changes of structure find each."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from checklist.audit import chain, entries
from checklist.audit import sessions as audit_sessions
from checklist.record.ledgers import notes
from checklist.record.verifying import verify_session
from checklist.record.verifying.report import Findings
from tests.audit.logs import Change, apply, audited, failing, files_of, finished, structural, undo
from tests.conftest import Tried

pytestmark = pytest.mark.long


EVERY = 23
"""So many changes of structure are passed over for one that is tried with every mutant."""


ALWAYS = ("deleted", "00000003.note with the signatures", "9.note text line 11", "line 5 and all")
"""Words of the changes that are tried with every mutant."""


def nothing(*_: Any, **__: Any) -> None:
    return None


def yes(*_: Any, **__: Any) -> bool:
    return True


Mutant = tuple[str, Any, str, Callable[..., Any]]

MUTANTS: list[Mutant] = [
    ("signatures are not verified", notes, "is_signed", yes),
    ("missing signatures are not missed", entries, "_signatures_hold", yes),
    ("a broken chain is not noted", entries, "note_broken_chain", nothing),
    ("stretches are not joined", chain.Chain, "_pair", nothing),
    ("numbers may have gaps", chain.Chain, "_take", nothing),
    ("late signatures are not held against the closing", chain.Chain, "_check_late", nothing),
    ("what is incomplete is not noted", chain.Chain, "_incomplete", nothing),
    ("a session's marks are not compared", verify_session, "_check_marks", nothing),
    ("the hash at the end is not compared", verify_session, "_check_ending_mark", nothing),
    ("the content of a session is not looked at", verify_session, "_check_content", nothing),
    ("agreement is not checked", verify_session, "_check_agreement", nothing),
    ("a session's file is not checked", audit_sessions, "check_session", lambda *_: ()),
    ("a failing requirement is not noted", Findings, "fail", nothing),
    ("kept files are not hashed", verify_session, "_check_kept", nothing),
]


def outcome_of_all(logs: Path) -> dict[str, frozenset[tuple[str, str]]]:
    """Return, for every change of structure and content, which checks fail with which words."""
    files = files_of(logs)
    rules = next(name for name in files if name.startswith("rules/"))
    every = list(structural(files, {}))
    always = [change for change in every if any(word in change[0] for word in ALWAYS)]
    changes: list[Change] = [*always, *every[::EVERY], ("a rule file is gone", {rules: None})]
    sealed = next(name for name, data in files.items() if b"kind sealed" in data)
    turned = files[sealed].replace(b"verdict no stop found", b"verdict stopped")
    changes.append(("a signed verdict is turned", {sealed: turned}))
    found = {}
    for what, change in changes:
        apply(logs, change)
        report = audited(logs)
        found[what] = frozenset((f.check, f.sentence) for f in failing(report))
        undo(logs, change, files)
    return found


@pytest.fixture(scope="module")
def logs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return finished(tmp_path_factory.mktemp("mutants")).logs


@pytest.fixture(scope="module")
def unbroken(logs: Path) -> dict[str, frozenset[tuple[str, str]]]:
    return outcome_of_all(logs)


@pytest.mark.parametrize("mutant", MUTANTS, ids=[mutant[0] for mutant in MUTANTS])
def test_each_mutant_is_killed(
    mutant: Mutant,
    logs: Path,
    unbroken: dict[str, frozenset[tuple[str, str]]],
    monkeypatch: pytest.MonkeyPatch,
    tried: Tried,
) -> None:
    """With one guard gone, some change is no longer reported as it was: the tests would see it."""
    _, owner, name, broken = mutant
    monkeypatch.setattr(owner, name, broken)
    found = outcome_of_all(logs)
    lost = [change for change, said in unbroken.items() if found[change] != said]
    tried("mutants", 1, 0 if lost else 1)

    assert lost
