"""What every job needs around it: the log folder, the clock and the rule files."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from checklist.record.errors import FolderRefused
from checklist.record.files.chance import REAL_CHANCE, Chance
from checklist.record.files.clock import Clock, RealClock
from checklist.record.files.disk import Disk, RealDisk
from checklist.record.files.folder import LogFolder, default_log_folder
from checklist.record.lookup.recall import Recall
from checklist.sessions.library import Library

if TYPE_CHECKING:
    from checklist.record.ledgers.ledger import Recorded
    from checklist.record.lookup.registers import Registers
    from checklist.sessions.tagging.tags import Told

CLUB_RULES = "club-rules"
"""The folder beside the log folder with a club's own checks/, tables/ and sources.yaml."""


@dataclass(frozen=True)
class Desk:
    """One log folder in use, with the rule files that are walked into it."""

    logs: Path
    disk: Disk
    clock: Clock
    chance: Chance = REAL_CHANCE
    """Where names and keys come from."""

    @classmethod
    def at(cls, logs: Path | None = None) -> Desk:
        """Return the desk at the log folder `logs`, or at the default one; touches nothing yet."""
        return cls(logs or default_log_folder(), RealDisk(), RealClock())

    @cached_property
    def folder(self) -> LogFolder:
        """The log folder, laid out on first use; raises FolderRefused where it cannot be used."""
        return LogFolder.open(self.logs, self.disk, self.clock, self.chance)

    def looked(self) -> tuple[LogFolder, str]:
        """Return the log folder, for reading alone where it cannot be written, and then why.

        Raises FolderRefused where it cannot be read as one either.
        """
        try:
            return self.folder, ""
        except FolderRefused as refused:
            try:
                folder = LogFolder.look(self.logs, self.disk, self.clock)
            except FolderRefused:
                raise refused from None
            return folder, f"Read only: {refused.sentence()}"

    @cached_property
    def entries_read(self) -> Recall[Recorded]:
        """The ledger's entries as far as this run of the program has read them."""
        return Recall()

    @cached_property
    def sessions_read(self) -> Recall[Told]:
        """What the session files said of tags, as far as this run of the program has read them."""
        return Recall()

    @cached_property
    def library(self) -> Library:
        """The shipped rules and the club's own."""
        return Library(self.logs.parent / CLUB_RULES)

    @cached_property
    def registers(self) -> Registers:
        """The registers of people, instruments, kit and isolation points."""
        from checklist.record.lookup.registers import Registers

        return Registers.open(self.folder)
