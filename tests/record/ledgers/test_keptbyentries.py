"""Which kept files entries stand for, and what is wrong with them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from checklist.record.files.kept import keep
from checklist.record.files.strictjson import dump
from checklist.record.ledgers.entries import Draft
from checklist.record.ledgers.keptbyentries import CORRECTED, files_named, flaw_of
from checklist.record.ledgers.ledger import Ledger
from tests.record.making import open_folder

if TYPE_CHECKING:
    from pathlib import Path

    from checklist.record.files.folder import LogFolder
    from checklist.record.ledgers.entries import Entry


def _corrected(folder: LogFolder, **answer: str) -> Entry:
    entry = Ledger(folder).append(Draft("near miss", fields=(("what", "x"),))).entry
    return replace(entry, kind=CORRECTED, fields=(("answer", dump(answer).decode()),))


def test_a_corrected_answer_names_its_file_and_what_that_names(tmp_path: Path) -> None:
    """The evaluation names the limits that it was held against; those must be there as well."""
    folder = open_folder(tmp_path)
    limits = keep(folder, "rules", b"limits")
    inner = dump({"limits": {"kept": "rules", "sha256": limits}})
    evaluation = keep(folder, "attachments", inner)
    entry = _corrected(folder, kept="attachments", sha256=evaluation)

    assert list(files_named(folder, entry)) == [("attachments", evaluation), ("rules", limits)]
    assert list(files_named(folder, replace(entry, kind="near miss"))) == []


def test_each_kept_file_is_sound_gone_or_nowhere(tmp_path: Path) -> None:
    """Whoever audits reads which; a file that names none in turn is passed over."""
    folder = open_folder(tmp_path)
    there = {part: keep(folder, part, b"no JSON") for part in ("rules", "attachments")}
    entry = _corrected(folder, kept="attachments", sha256="0" * 64)

    assert [flaw_of(folder, part, sha256) for part, sha256 in there.items()] == ["", ""]
    for part in there:
        assert "cannot be read" in flaw_of(folder, part, "0" * 64)
    assert flaw_of(folder, "keys", there["rules"]) == "it is named in no folder that is known"
    assert list(files_named(folder, entry)) == [("attachments", "0" * 64)]
