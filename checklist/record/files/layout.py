"""How a log folder is laid out on first use, and what in it is not to be trusted."""

from __future__ import annotations

import os
import re
from typing import TYPE_CHECKING

from checklist.record.errors import Damaged, FolderRefused, TooLarge
from checklist.record.files.chance import REAL_CHANCE
from checklist.record.files.disk import Facts, Kind
from checklist.record.files.platforms import modes_tell
from checklist.record.files.whole import create_whole

if TYPE_CHECKING:
    from pathlib import Path

    from checklist.record.files.chance import Chance
    from checklist.record.files.disk import Disk

PARTS = (
    "sessions",
    "ledger",
    "keys",
    "rules",
    "attachments",
    "quarantine",
    "roster",
    "locks",
)
"""The folders inside a log folder."""

_ORIGIN = re.compile(rb"[0-9a-f]{32}\n")
_WRITABLE_BY_OTHERS = 0o022


def lay_out(path: Path, disk: Disk, chance: Chance = REAL_CHANCE) -> None:
    """Make what is missing of a log folder, and refuse what cannot be trusted or written."""
    _make_with_parents(path, disk)
    if disk.facts(path / "origin") is None and (facts := disk.facts(path)) is not None:
        # A checkout, or a folder made beforehand, has the modes of the user's umask; on
        # first use its owner's program may narrow them, later a wide mode is a warning sign.
        _require_kind(path, facts, Kind.FOLDER)
        if _is_ours(facts) and facts.mode & _WRITABLE_BY_OTHERS:
            disk.restrict(path)
    _check_folder(path, disk)
    for part in PARTS:
        inner = path / part
        if disk.facts(inner) is None:
            try:
                disk.make_folder(inner)
            except FileExistsError:  # another program began at the same moment
                continue
        _check_folder(inner, disk)
    if disk.facts(path / "origin") is None:
        disk.sync_folder(path)
        try:
            create_whole(disk, path / "origin", f"{chance(16).hex()}\n".encode())
        except FileExistsError:
            return


def _make_with_parents(path: Path, disk: Disk) -> None:
    if disk.facts(path) is not None:
        return
    if path.parent != path:
        _make_with_parents(path.parent, disk)
    try:
        disk.make_folder(path)
    except FileExistsError:
        return
    disk.sync_folder(path.parent)


def _check_folder(path: Path, disk: Disk) -> None:
    facts = disk.facts(path)
    if facts is None:
        raise FolderRefused("the folder has gone", where=str(path), right="Open it again.")
    require_trusted(path, facts, Kind.FOLDER)
    if not disk.can_write(path):
        raise FolderRefused(
            "this folder is read-only for you",
            where=str(path),
            right="Give yourself write permission, or name another log folder.",
        )


def require_trusted(path: Path, facts: Facts, kind: Kind) -> None:
    """Refuse what is of another kind, belongs to another user, or that others can write."""
    _require_kind(path, facts, kind)
    if not modes_tell():
        return
    if facts.mode & _WRITABLE_BY_OTHERS:
        raise FolderRefused(
            f"other users of this computer can change this {kind.value}",
            where=str(path),
            right=f"Allow only yourself: chmod go-w '{path}'.",
        )
    if not _is_ours(facts):
        raise FolderRefused(
            f"this {kind.value} belongs to another user",
            where=str(path),
            right="Use a log folder of your own; standclear verify reads other people's.",
        )


def _require_kind(path: Path, facts: Facts, kind: Kind) -> None:
    if facts.kind is not kind:
        raise FolderRefused(
            f"this is a {facts.kind.value}, not a {kind.value}",
            where=str(path),
            right=f"Put the {kind.value} itself here, or name another log folder.",
        )


def _is_ours(facts: Facts) -> bool:
    if not hasattr(os, "geteuid"):
        return True
    return facts.owner in {0, os.geteuid()} or os.geteuid() == 0


def read_origin(path: Path, disk: Disk) -> str:
    """Return the 32 hex digits that name the folder; Damaged when they are not there."""
    try:
        data = disk.read(path / "origin", at_most=64)
    except TooLarge:
        data = b""
    if not _ORIGIN.fullmatch(data):
        raise Damaged(
            "the file that names this log folder is damaged",
            where=str(path / "origin"),
            right="Restore it from a copy; its text is also in every file of ledger/.",
        )
    return data.decode("ascii").strip()


def said(problem: OSError) -> str:
    """Return the system's own words for a refusal, to stand inside a sentence."""
    return (problem.strerror or str(problem)).lower()
