"""The audit to work through: folders and findings, the worst first; Enter opens each."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option
from textual.worker import get_current_worker

from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.record.verifying.report import Outcome
from checklist.screens.frame import Framed
from checklist.screens.marklist import MarkList
from checklist.screens.past.audited import AuditedSessionScreen, EntryScreen
from checklist.screens.plain import PlainScreen
from checklist.screens.turns import loaded

if TYPE_CHECKING:
    from checklist.audit.report import AuditFinding, AuditReport
    from checklist.screens.doors import Doors

_MARGIN = 4
"""Columns beside a finding: the list's own margin and scroll bar."""


class AuditScreen(Framed):
    """Audits folders and shows what was found. Decides nothing: the audit does."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f", "add", "add"),
        Binding("x", "leave_out", "leave out", show=False),
        Binding("r", "recompute", "recompute"),
        Binding("ctrl+g", "countersign", "sign"),
        Binding("w", "cannot", "blind spots"),
        Binding("f4", "paper", "page", key_display="F4", show=False),
        Binding("escape", "back", "leave"),
    ]
    DEFAULT_CSS: ClassVar[str] = """
    AuditScreen OptionList, AuditScreen OptionList:focus {
        height: 1fr; border: none; padding: 0; background: $background;
        scrollbar-size-vertical: 1;
    }
    """

    app: Doors

    def __init__(self, paths: Sequence[Path]) -> None:
        super().__init__()
        self._paths = list(paths)
        self._said: dict[str, str] = {}
        """By folder: how far the reading is, then what was found there."""

        self._only = ""
        """The folder whose findings alone are shown; empty for all."""

        self.report: AuditReport | None = None
        """What was found; None while the folders are read."""

        self._rows: list[AuditFinding | Path | None] = []
        """Where each line leads to."""

    def body(self) -> ComposeResult:
        """Yield folders and findings, and a line for what is said."""
        yield MarkList(id="findings", markup=False)
        yield Static(id="notice", markup=False)

    def on_mount(self) -> None:
        """Begin at once."""
        self.query_one(OptionList).focus()
        self._audit(recompute=False)

    @work(exclusive=True, group="place")
    async def action_paper(self) -> None:
        """Write the audit that is shown as a page."""
        await loaded("checklist.pages.making")
        from checklist.pages.making import page_of_report

        report = self.report
        if report is None:
            self._notice("The audit must be made before it can be put on paper.")
        else:
            self.app.put_on_paper(("audit", lambda tell: page_of_report(report)))

    @property
    def is_reading(self) -> bool:
        """Whether an audit is being made."""
        return any(
            worker.node is self and worker.group == "audit" and worker.is_running
            for worker in self.app.workers
        )

    @work(exclusive=True, group="audit")
    async def _audit(self, *, recompute: bool) -> None:
        await loaded("checklist.audit.auditing")
        from checklist.audit.auditing import AuditStopped, audit_paths, wanted_at

        worker, loop = get_current_worker(), asyncio.get_running_loop()
        desk, paths = self.app.desk, tuple(self._paths)
        self.report, self._said = None, {}
        self.title_line.say("Audit", "reading, and computing again" if recompute else "reading")
        self._show()
        self._notice("Esc stops.")

        def tell(folder: str, said: str) -> None:
            if worker.is_cancelled:  # the thread must end, or it would hold up the program's end
                raise AuditStopped("the audit was stopped", right="r begins it again.")
            loop.call_soon_threadsafe(self._tell, folder, said)

        def run() -> AuditReport:
            return audit_paths(desk, wanted_at(desk, paths, recompute=recompute), tell)

        try:
            report = await asyncio.to_thread(run)
        except (StandclearError, OSError) as error:
            said = error.sentence() if isinstance(error, StandclearError) else str(error)
            if self._is_whole:
                self._notice(said, wrong=True)
                self.title_line.say("Audit", "not made", urgent=True)
            return
        if self._is_whole:
            self.report = report
            self._said = {folder.path: folder.sentence for folder in report.folders}
            self._show(from_top=True)

    def _tell(self, folder: str, said: str) -> None:
        if not self._is_whole or self.report is not None:
            return
        from checklist.screens.past.auditlines import folder_prompt

        self._said[folder] = said
        for place, row in enumerate(self._rows):
            if isinstance(row, Path) and str(row) == folder:
                prompt = folder_prompt(row, self._said, self._only, self._width)
                self.query_one(OptionList).replace_option_prompt_at_index(place, prompt)

    def _show(self, *, from_top: bool = False) -> None:
        if not self._is_whole:
            return
        from checklist.screens.past.auditlines import AuditLines

        listing = self.query_one(OptionList)
        at = listing.highlighted
        before = self._rows[at] if at is not None and at < len(self._rows) else None
        lines = AuditLines(
            tuple(self._paths), self._said, self._only, self.report, self._width
        ).all()
        self._rows = [line.leads_to for line in lines]
        listing.clear_options()
        listing.add_options(Option(line.content, disabled=line.is_said) for line in lines)
        stays = before is not None and before in self._rows and not from_top
        listing.highlighted = self._rows.index(before) if stays else self._first()
        report = self.report
        if report is not None:
            fails = report.overall is Outcome.FAILS
            count = "1 folder" if len(report.folders) == 1 else f"{len(report.folders)} folders"
            self.title_line.say(f"Audit of {count}", report.overall.value.upper(), urgent=fails)
            self._notice(report.sentence, wrong=fails)

    @property
    def _width(self) -> int:
        return max(self.size.width - _MARGIN, 20)

    def _first(self) -> int | None:
        places = [at for at, row in enumerate(self._rows) if row is not None]
        findings = [at for at in places if not isinstance(self._rows[at], Path)]
        return next(iter([*findings, *places]), None)

    @on(OptionList.OptionSelected)
    def _open(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        row = self._rows[event.option_index]
        if isinstance(row, Path):
            self._only = "" if self._only == str(row) else str(row)
            self._show()
        elif row is not None:
            path = Path(row.folder) if row.folder else self._paths[0]
            if row.session:
                self.app.push_screen(AuditedSessionScreen(path, row))
            elif row.entry or row.evidence:
                self.app.push_screen(EntryScreen(path, row))
            else:
                self._notice("This finding is about no single session or entry.")

    @work
    async def action_add(self) -> None:
        """Ask for a folder, and audit it with the others."""
        from checklist.audit.gathering import log_folders_at
        from checklist.screens.askuntil import until_it_holds
        from checklist.sessions.entryrows import Row
        from checklist.sessions.roll.carrying import carried_path

        disk = self.app.desk.disk

        def attempt(values: dict[str, str]) -> tuple[Path, ...]:
            return log_folders_at(carried_path(values["folder"]).absolute(), disk)

        rows = [Row("folder", "folder", "e.g. /media/stick")]
        says = ["A log folder, or a folder with several in it; each is only read."]
        found = await until_it_holds(self.app, "Add log folders", says, rows, attempt)
        if found:
            self._paths += [path for path in found if path not in self._paths]
            self._audit(recompute=False)

    def action_leave_out(self) -> None:
        """Leave the folder at the mark out, and audit the others anew."""
        at = self.query_one(OptionList).highlighted
        row = self._rows[at] if at is not None and at < len(self._rows) else None
        if not isinstance(row, Path) or len(self._paths) == 1:
            self._notice("Put the mark on one of several folders, then press x.")
            return
        self._paths.remove(row)
        self._only = ""
        self._audit(recompute=False)

    def action_recompute(self) -> None:
        """Audit again, and compute every stored finding anew."""
        self._audit(recompute=True)

    @work
    async def action_countersign(self) -> None:
        """Let the officer sign what was found; the report is kept in the own log folder."""
        from checklist.audit.countersigning import WHO_IS_UNKNOWN, countersign
        from checklist.record.roll.roster import Roster
        from checklist.screens.walking.sign import AskSigner
        from checklist.sessions.closing import short_code

        report = self.report
        if report is None:
            self._notice("The audit must be made before it can be signed.")
            return
        try:
            folder = await asyncio.to_thread(lambda: self.app.desk.folder)
            roster = await asyncio.to_thread(Roster.read, folder)
            name = roster.newest.officer_name if roster.newest else ""
            signer = await self.app.push_screen_wait(AskSigner(folder, "safety officer", name, []))
            if signer is None or signer.key is None:
                self._notice("Not signed.")
                return
            entry = await asyncio.to_thread(countersign, folder, report, signer)
        except StandclearError as error:
            self._notice(error.sentence(), wrong=True)
            return
        known = "" if roster.newest else f" {WHO_IS_UNKNOWN}"
        self._notice(
            f"Countersigned by {signer.person}: entry {entry.entry.number} here, code "
            f"{short_code(entry)}.{known}"
        )

    def action_cannot(self) -> None:
        """Say what no audit can find."""
        from checklist.audit.wording import CANNOT_CATCH

        self.app.push_screen(PlainScreen("What this audit cannot catch", CANNOT_CATCH))

    def action_back(self) -> None:
        """Stop the reading, or leave where nothing is read."""
        if self.report is None and self.is_reading:
            self.workers.cancel_group(self, "audit")
            self.title_line.say("Audit", "stopped", urgent=True)
            self._notice("The audit was stopped: nothing is shown by it. r begins it again.")
        else:
            self.app.pop_screen()

    def on_resize(self) -> None:
        """Break the findings anew for the width there is."""
        self._show()

    @property
    def _is_whole(self) -> bool:
        """Whether the screen still has its parts: a thread may come back after it was left."""
        return bool(self.query("#findings")) and bool(self.query("#notice"))

    def _notice(self, text: str, *, wrong: bool = False) -> None:
        if self._is_whole:
            notice = self.query_one("#notice", Static)
            notice.update(Content(shown(text)))
            notice.set_class(wrong, "-wrong")
