"""One past session, whole: what was found, every answer, and whether the signatures hold."""

from __future__ import annotations

import asyncio
import re
import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from checklist.errors import StandclearError
from checklist.pictures.ofcalculations import picture_of
from checklist.plaintext import shown
from checklist.record.verifying.report import Outcome, Report
from checklist.record.verifying.verify import verify
from checklist.screens.frame import Framed
from checklist.screens.longwork import in_thread
from checklist.screens.turns import loaded
from checklist.sessions.past.recordtext import as_text
from checklist.sessions.past.review import read_session

_MARGIN = 3
"""Columns beside the text: one on each side, and the scroll bar."""

_NARROWEST = 30
"""Columns below which lines are not broken any finer."""

_MARK = re.compile(r"(?=.{0,15} {2}) *\S+(?: \S+)* {2,}")
"""A time or a short word with two blanks behind it: what follows hangs beside it."""

if TYPE_CHECKING:
    from checklist.pictures.drawing import Picture
    from checklist.screens.doors import Doors
    from checklist.sessions.past.sessionrecord import SessionRecord


class SessionScreen(Framed):
    """Shows one session; decides nothing and changes nothing but by signing."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("v", "verify", "verify"),
        Binding("s", "sign", "sign"),
        Binding("c", "correct", "correct"),
        Binding("x", "export", "export"),
        Binding("f3", "picture", "picture", key_display="F3", show=False),  # the notice says it
        Binding("f4", "paper", "page", key_display="F4"),
        Binding("escape", "back", "back"),
    ]
    DEFAULT_CSS: ClassVar[str] = """
    SessionScreen #session { height: 1fr; padding: 0 1; scrollbar-size-vertical: 1; }
    SessionScreen #session Static { height: auto; }
    """

    app: Doors

    def __init__(self, session_id: str) -> None:
        super().__init__()
        self.session_id = session_id
        self._record: SessionRecord | None = None
        self._report: list[str] = []

    @property
    def record(self) -> SessionRecord | None:
        """What is shown; None while it is read, and where nothing could be read."""
        return self._record

    def body(self) -> ComposeResult:
        """Yield the text, the checks above it once they are made, and a line for what is said."""
        with VerticalScroll(id="session"):
            yield Static(id="checks", markup=False)
            yield Static(id="text", markup=False)
        yield Static(id="notice", markup=False)

    def on_mount(self) -> None:
        """Put the focus on the text, so that the keys scroll it."""
        self.query_one("#checks").display = False
        self.query_one("#session").focus()
        self.title_line.say("reading the session")

    def on_screen_resume(self) -> None:
        """Read the session whenever it is looked at: a signature may have been added."""
        self._read()

    @work(exclusive=True, group="read")
    async def _read(self) -> None:
        try:
            record = await asyncio.to_thread(read_session, self.app.desk, self.session_id)
        except (StandclearError, OSError) as error:
            if self._is_whole:
                self.title_line.say("This session cannot be read", urgent=True)
                self._notice(_sentence(error), wrong=True)
            return
        self._record = record
        if not self._is_whole:
            return
        self._lay_out()
        flawed = bool(record.missing or record.problems)
        self.title_line.say(record.title, record.result, urgent=flawed)
        if record.problems:
            self._notice(f"{record.problems[0]}", wrong=True)
        elif record.missing:
            people = ", ".join(signature.person for signature in record.missing)
            self._notice(f"NOT SEALED: {people} has not signed. s signs now.", wrong=True)
        else:
            drawn = " F3 shows what was computed as a picture." if self._pictures() else ""
            self._notice(f"An old result is no permission. v verifies the whole record now.{drawn}")
        self.refresh_bindings()

    @work(exclusive=True, group="place")
    async def action_paper(self) -> None:
        """Write the session as a page, and the evaluation that it kept, if it kept one."""
        await loaded("checklist.pages.making")
        from checklist.pages.making import pages_of_session

        desk, session_id = self.app.desk, self.session_id
        self.app.put_on_paper(*pages_of_session(desk, session_id))

    def _pictures(self) -> list[Picture]:
        """Return the pictures of what was computed, in the order of the steps."""
        steps = self._record.steps if self._record else ()
        findings = [s.answers[-1].event.judgement.finding for s in steps if s.answers]
        drawn = [picture_of(finding) for finding in findings if finding]
        return [picture for picture in drawn if picture is not None]

    @work(exclusive=True, group="picture")
    async def action_picture(self) -> None:
        """Draw what was computed in this session: the one picture, or the one that is chosen."""
        from checklist.screens.asking import AskOne
        from checklist.screens.walking.picture import PictureScreen

        pictures = self._pictures()
        at: str | None = "0"
        if len(pictures) > 1:
            choices = [(str(n), str(n - 1), p.title) for n, p in enumerate(pictures[:9], start=1)]
            at = await self.app.push_screen_wait(AskOne("Which picture?", choices))
        if pictures and at is not None:
            self.app.push_screen(PictureScreen(pictures[int(at)]))

    @work(exclusive=True, group="verify")
    async def action_verify(self) -> None:
        """Verify the ledger and this session now, and show every check."""
        self._notice("verifying; Esc stops it")
        session_id = self.session_id
        try:
            folder, _ = await asyncio.to_thread(self.app.desk.looked)
            report = await in_thread(
                self.app, "verifying", lambda tell: verify(folder, session_id, tell), self._notice
            )
        except (StandclearError, OSError) as error:
            self._notice(_sentence(error), wrong=True)
            return
        if not self._is_whole:
            return
        self._report = _report_lines(report, self.app.now().strftime("%H:%M:%S"))
        self._lay_out()
        self.query_one("#session", VerticalScroll).scroll_home(animate=False)
        self._notice(report.sentence, wrong=report.overall is Outcome.FAILS)

    def action_sign(self) -> None:
        """Add a signature that is missing."""
        self.app.sign_late(self.session_id)

    @work(exclusive=True, group="place")
    async def action_correct(self) -> None:
        """Correct an answer, by an entry that is added and signed."""
        await loaded("checklist.screens.past.correcting")
        from checklist.screens.past.correcting import CorrectScreen

        self.app.push_screen(CorrectScreen(self.session_id))

    @work(exclusive=True, group="export")
    async def action_export(self) -> None:
        """Write this session into a new folder for a stranger, and show the steps there."""
        await loaded("checklist.screens.past.exporting")
        from checklist.screens.past.exporting import exported

        said = await exported(self.app, self.session_id)
        if said:
            self._notice(said)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer signing only where a signature is missing, and the rest once it has ended."""
        del parameters
        record = self._record
        if action == "picture":
            return bool(self._pictures())
        if action == "sign":
            return bool(record and record.missing)
        if action in {"correct", "export"}:
            return bool(record and record.ended and (action == "export" or record.verdict))
        return True

    def on_resize(self) -> None:
        """Break the lines anew for the width there is."""
        self._lay_out()

    def _lay_out(self) -> None:
        if not self._is_whole:
            return
        width = self.size.width - _MARGIN
        checks = self.query_one("#checks", Static)
        checks.update(_content(self._report, width))
        checks.display = bool(self._report)
        if self._record is not None:
            self.query_one("#text", Static).update(_content(as_text(self._record), width))

    @property
    def _is_whole(self) -> bool:
        """Whether the screen still has its parts: a thread may come back after it was left."""
        return bool(self.query("#text"))

    def _notice(self, text: str, *, wrong: bool = False) -> None:
        if not self._is_whole:
            return
        notice = self.query_one("#notice", Static)
        notice.update(Content(shown(text)))
        notice.set_class(wrong, "-wrong")


def _sentence(error: StandclearError | OSError) -> str:
    return error.sentence() if isinstance(error, StandclearError) else str(error)


def _report_lines(report: Report, at: str) -> list[str]:
    """Return every check in words, the gravest first."""
    gravity = list(Outcome)
    checks = sorted(report.checks, key=lambda check: -gravity.index(check.outcome))
    rows = [
        f"  {c.outcome.value.upper() if c.outcome is Outcome.FAILS else c.outcome.value:<13}"
        f"{c.name}: {c.sentence}"
        for c in checks
    ]
    return [f"VERIFIED AT {at}: {report.sentence}", *rows, ""]


def _content(lines: Sequence[str], width: int) -> Content:
    """Return lines as text that no character of can act as markup; headings stand out."""
    return Content("\n").join(
        Content(row).stylize("bold") if _is_heading(text) else Content(row)
        for text in map(shown, lines)
        for row in broken(text, width)
    )


def broken(text: str, width: int) -> list[str]:
    """Return one line broken to a width in characters, each row under the line's own beginning."""
    if len(text) <= width:
        return [text]
    mark = _MARK.match(text)
    hang = mark.end() if mark else len(text) - len(text.lstrip()) + 2
    return textwrap.wrap(
        text,
        max(width, _NARROWEST),
        subsequent_indent=" " * hang,
        break_on_hyphens=False,
    )


def _is_heading(text: str) -> bool:
    return not text.startswith(" ") and text[:4].isupper()
