"""What a finding of an audit is about: a session to be read, or the entries that show it."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.binding import Binding, BindingType

from checklist.audit.advice import WHAT_TO_DO
from checklist.audit.wording import evidence_text
from checklist.errors import StandclearError
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers.ledger import note_path, read_note
from checklist.screens.plain import PlainScreen
from checklist.sessions.past.recordtext import as_text
from checklist.sessions.past.review import read_session
from checklist.sessions.roll.covering import Vouching

if TYPE_CHECKING:
    from checklist.audit.report import AuditFinding
    from checklist.screens.doors import Doors


class AuditedSessionScreen(PlainScreen):
    """One session of an audited folder, only to be read, below the finding about it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("o", "open", "open as one's own"),
        Binding("escape", "back", "back to the findings"),
    ]

    app: Doors

    def __init__(self, path: Path, finding: AuditFinding) -> None:
        self._said = f"{finding.outcome.value.upper()}: {finding.check}. {finding.sentence}"
        super().__init__(f"Session {finding.session[:10]}", [self._said, "", "reading the session"])
        self._path, self._finding = path, finding

    def on_mount(self) -> None:
        """Show the finding at once, then the session."""
        super().on_mount()
        self.title_line.say(self._title, "only to be read")
        self._read()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer to work with the session only where it is in one's own log folder."""
        del parameters
        return action != "open" or self._path == self.app.desk.logs

    def action_open(self) -> None:
        """Show the session with what can be done about it: verify, sign, correct, export."""
        self.app.show_session(self._finding.session)

    @work(exclusive=True, group="read")
    async def _read(self) -> None:
        desk = self.app.desk

        def run() -> list[str]:
            folder = LogFolder.look(self._path, desk.disk, desk.clock)
            vouching = Vouching.of(desk.logs, desk.disk, desk.clock)
            return as_text(read_session(folder, self._finding.session, vouching))

        try:
            lines = await asyncio.to_thread(run)
        except (StandclearError, OSError) as error:
            lines = [error.sentence() if isinstance(error, StandclearError) else str(error)]
        self._lines = (self._said, "", *evidence_text(self._finding), *lines)
        self.lay_out()


class EntryScreen(PlainScreen):
    """The entry of a ledger that a finding is about, or two that contradict each other."""

    app: Doors

    def __init__(self, path: Path, finding: AuditFinding) -> None:
        sentence, _, next_step = finding.sentence.partition(f" {WHAT_TO_DO} ")
        said = f"{finding.outcome.value.upper()}: {finding.check}. {sentence}"
        below = [f"{WHAT_TO_DO} {next_step}", ""] if next_step else []
        super().__init__(
            f"Entry {finding.entry}" if finding.entry else finding.check,
            [said, "", *evidence_text(finding), *below],
        )
        self._path, self._finding = path, finding

    def on_mount(self) -> None:
        """Show what is known at once, then the entry as it stands."""
        super().on_mount()
        self.title_line.say(self._title, "only to be read")
        if self._finding.entry and not self._finding.evidence:
            self._read()

    @work(exclusive=True, group="read")
    async def _read(self) -> None:
        desk, number = self.app.desk, self._finding.entry

        def run() -> list[str]:
            folder = LogFolder.look(self._path, desk.disk, desk.clock)
            name = note_path(folder, number).name
            return [f"ledger/{name}", *read_note(folder, name).data.decode().splitlines()]

        try:
            lines = await asyncio.to_thread(run)
        except (StandclearError, OSError) as error:
            lines = [error.sentence() if isinstance(error, StandclearError) else str(error)]
        self._lines = (*self._lines, *lines)
        self.lay_out()
