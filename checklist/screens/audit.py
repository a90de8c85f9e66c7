"""The audit to work through: findings in groups, the worst first; Enter opens the session."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.record.folder import LogFolder
from checklist.record.report import Outcome
from checklist.screens.frame import Framed
from checklist.screens.session import broken
from checklist.sessions.recordtext import as_text
from checklist.sessions.review import read_session

if TYPE_CHECKING:
    from checklist.audit.report import AuditFinding, AuditReport
    from checklist.screens.app import StandclearApp

_MARGIN = 6
"""Columns beside a finding: the list's own margin and scroll bar."""

MOST = 600
"""Findings shown at once; `standclear audit` prints all that are listed."""


class AuditScreen(Framed):
    """Audits folders and shows what was found. Decides nothing: the audit does."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("r", "recompute", "compute findings again"),
        Binding("w", "cannot", "what it cannot catch"),
        Binding("escape", "back", "leave"),
    ]
    DEFAULT_CSS: ClassVar[str] = """
    AuditScreen OptionList { height: 1fr; border: none; padding: 0 1; background: $background; }
    """

    app: StandclearApp

    def __init__(self, paths: Sequence[Path]) -> None:
        super().__init__()
        self._paths = tuple(paths)
        self.report: AuditReport | None = None
        """What was found; None while the folders are read."""

        self._rows: list[AuditFinding | None] = []

    def body(self) -> ComposeResult:
        """Yield the findings and a line for what is said."""
        yield OptionList(id="findings", markup=False)
        yield Static(id="notice", markup=False)

    def on_mount(self) -> None:
        """Begin at once."""
        self.title_line.say("Audit", "reading")
        self.query_one(OptionList).focus()
        self._audit(recompute=False)

    @work(exclusive=True, group="audit")
    async def _audit(self, *, recompute: bool) -> None:
        from checklist.audit.auditing import audit_paths, wanted_at

        loop = asyncio.get_running_loop()

        def tell(said: str) -> None:
            loop.call_soon_threadsafe(self._notice, said)

        def run() -> AuditReport:
            desk = self.app.desk
            return audit_paths(desk, wanted_at(desk, self._paths, recompute=recompute), tell)

        try:
            report = await asyncio.to_thread(run)
        except (StandclearError, OSError) as error:
            said = error.sentence() if isinstance(error, StandclearError) else str(error)
            self._notice(said, wrong=True)
            self.title_line.say("Audit", "not made", urgent=True)
            return
        if self._is_whole:
            self.report = report
            self._show()

    def _show(self) -> None:
        report = self.report
        if report is None or not self._is_whole:
            return
        fails = report.overall is Outcome.FAILS
        count = "1 folder" if len(report.folders) == 1 else f"{len(report.folders)} folders"
        self.title_line.say(f"Audit of {count}", report.overall.value.upper(), urgent=fails)
        listing = self.query_one(OptionList)
        at = listing.highlighted
        listing.clear_options()
        self._rows = []
        listing.add_options(self._options(report))
        listing.highlighted = at if at is not None and at < len(self._rows) else self._first()
        self._notice(report.sentence, wrong=fails)

    def _options(self, report: AuditReport) -> list[Option]:
        from checklist.audit.wording import HEADINGS, sentence_of

        options: list[Option] = []
        for outcome, heading in HEADINGS.items():
            if not report.number_of(outcome):
                continue
            head = Content(f"{heading} ({report.number_of(outcome)})").stylize("bold")
            options.append(Option(head, disabled=True))
            self._rows.append(None)
            for finding in [f for f in report.findings if f.outcome is outcome][:MOST]:
                text = f"{finding.check}: {sentence_of(finding, report)}"
                rows = broken(f"  {shown(text)}", max(self.size.width - _MARGIN, 20))
                options.append(Option(Content("\n".join(rows))))
                self._rows.append(finding)
        return options

    def _first(self) -> int | None:
        return next((at for at, row in enumerate(self._rows) if row is not None), None)

    @on(OptionList.OptionSelected)
    def _open(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        finding = self._rows[event.option_index]
        if finding is None or not finding.session:
            self._notice("This finding is about no single session.")
            return
        path = Path(finding.folder) if finding.folder else self._paths[0]
        self.app.push_screen(AuditedSessionScreen(path, finding))

    def action_recompute(self) -> None:
        """Audit again, and compute every stored finding anew."""
        self.title_line.say("Audit", "reading, and computing again")
        self._audit(recompute=True)

    def action_cannot(self) -> None:
        """Say what no audit can find."""
        from checklist.audit.wording import CANNOT_CATCH

        self.app.push_screen(PlainScreen("What this audit cannot catch", CANNOT_CATCH))

    def on_resize(self) -> None:
        """Break the findings anew for the width there is."""
        self._show()

    @property
    def _is_whole(self) -> bool:
        """Whether the screen still has its parts: a thread may come back after it was left."""
        return bool(self.query("#findings"))

    def _notice(self, text: str, *, wrong: bool = False) -> None:
        if self._is_whole:
            notice = self.query_one("#notice", Static)
            notice.update(Content(shown(text)))
            notice.set_class(wrong, "-wrong")


class PlainScreen(Framed):
    """Whole lines to read."""

    DEFAULT_CSS: ClassVar[str] = """
    PlainScreen #plain { height: 1fr; padding: 0 1; }
    PlainScreen #plain Static { height: auto; }
    """

    def __init__(self, title: str, lines: Sequence[str]) -> None:
        super().__init__()
        self._title, self._lines = title, tuple(lines)

    def body(self) -> ComposeResult:
        """Yield the lines."""
        with VerticalScroll(id="plain"):
            yield Static(id="text", markup=False)

    def on_mount(self) -> None:
        """Show them."""
        self.title_line.say(self._title)
        self.query_one("#plain").focus()
        self.lay_out()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self.lay_out()

    def lay_out(self) -> None:
        """Break every line to the width there is."""
        width = max(self.size.width - 4, 20)
        rows = [row for line in self._lines for row in broken(shown(line), width)]
        self.query_one("#text", Static).update(Content("\n".join(rows)))


class AuditedSessionScreen(PlainScreen):
    """One session of an audited folder, only to be read, below the finding about it."""

    def __init__(self, path: Path, finding: AuditFinding) -> None:
        said = f"{finding.outcome.value.upper()}: {finding.check}. {finding.sentence}"
        super().__init__(f"Session {finding.session[:10]}", [said, "", "reading the session"])
        self._path, self._finding, self._said = path, finding, said

    def on_mount(self) -> None:
        """Show the finding at once, then the session."""
        super().on_mount()
        self._read()

    @work(exclusive=True, group="read")
    async def _read(self) -> None:
        app: StandclearApp = self.app  # type: ignore[assignment]  # Textual knows it as any app
        desk = app.desk

        def run() -> list[str]:
            folder = LogFolder.look(self._path, desk.disk, desk.clock)
            return as_text(read_session(folder, self._finding.session))

        try:
            lines = await asyncio.to_thread(run)
        except (StandclearError, OSError) as error:
            lines = [error.sentence() if isinstance(error, StandclearError) else str(error)]
        if self.query("#text"):
            self._lines = (self._said, "", *lines)
            self.lay_out()
