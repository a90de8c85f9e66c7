"""Corrects an answer of a finished session: which step, what is right, why, and who signs it."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.record.ledgers.entries import ROLES
from checklist.rulefile import Step
from checklist.screens.asking import AskForm, Asking, AskOne
from checklist.screens.frame import Framed
from checklist.screens.longwork import in_thread
from checklist.screens.marklist import MarkList
from checklist.screens.past.session import broken
from checklist.screens.walking.entries import Chosen, Keys, entry_for
from checklist.screens.walking.form import Form
from checklist.screens.walking.sign import AskSigner
from checklist.sessions.closing import short_code
from checklist.sessions.entryrows import Row
from checklist.sessions.filledrows import typed_form
from checklist.sessions.known import Known
from checklist.sessions.past.correcting import (
    Finished,
    Outlook,
    correct,
    correctable,
    finished,
    outlook,
)
from checklist.sessions.past.correctionentry import read_correction
from checklist.sessions.past.corrections import correction_text
from checklist.walk.answers import Answer
from checklist.walk.entry import not_applying, read_answer
from checklist.walk.wording import answer_text

if TYPE_CHECKING:
    from checklist.record.journals.seal import Signing
    from checklist.screens.doors import Doors

_MARGIN = 4
_ASIDE = "does not apply"
_ADDED = "It is added, and the first answer stays for everybody to read."


class AnswerList(MarkList):
    """The answers as given; Enter corrects the one at the mark, and the key line says so."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "select", "correct")]


class CorrectScreen(Framed):
    """Lists the answers of a session; the one chosen is corrected by an entry that is added."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "back", "back to the session")]
    DEFAULT_CSS: ClassVar[str] = """
    CorrectScreen OptionList, CorrectScreen OptionList:focus {
        height: 1fr; border: none; padding: 0; background: $background;
        scrollbar-size-vertical: 1;
    }
    """

    app: Doors

    def __init__(self, session_id: str) -> None:
        super().__init__()
        self.session_id = session_id
        self._known: Finished | None = None
        self._steps: tuple[tuple[Step, str], ...] = ()

    def body(self) -> ComposeResult:
        """Yield the answers and a line for what is said."""
        yield AnswerList(id="answers", markup=False)
        yield Static(id="notice", markup=False)

    def on_mount(self) -> None:
        """Read the session."""
        self.title_line.say("Correct an answer", "reading")
        self.query_one(OptionList).focus()
        self._read()

    @work(exclusive=True, group="read")
    async def _read(self, says: str = "") -> None:
        desk = self.app.desk
        try:
            known = await asyncio.to_thread(lambda: finished(desk.folder, self.session_id))
        except (StandclearError, OSError) as error:
            self._notice(_sentence(error), wrong=True)
            self.title_line.say("This session cannot be corrected", urgent=True)
            return
        self._known, self._steps = known, correctable(known)
        self.title_line.say(f"Correct: {known.loaded.rule_file.title}", "which answer?")
        self._show()
        self._notice(says or "Enter corrects the answer at the mark. Nothing is ever edited.")

    def _show(self) -> None:
        if not self.query("#answers"):
            return
        listing = self.query_one(OptionList)
        at = listing.highlighted
        width = max(self.size.width - _MARGIN, 20)
        listing.clear_options()
        for step, answer in self._steps:
            rows = [*broken(shown(step.ask), width), *broken(f"    {shown(answer)}", width)]
            listing.add_option(Option(Content("\n".join(rows))))
        if self._steps:
            listing.highlighted = min(at or 0, len(self._steps) - 1)

    def on_resize(self) -> None:
        """Break the lines anew."""
        self._show()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        if self._known is not None:
            step, before = self._steps[event.option_index]
            self._correct(self._known, step, before)

    @work(exclusive=True, group="correct")
    async def _correct(self, known: Finished, step: Step, before: str) -> None:
        folder, library = self.app.desk.folder, self.app.desk.library
        registers = await asyncio.to_thread(lambda: Known.read(self.app.desk.registers, ()))
        standing = known.standing[step.id].answer
        answer = await self.app.push_screen_wait(AskAnswer(step, before, registers, standing))
        if answer is None:
            return
        self._notice("Working out what it comes to ...")
        try:
            seen = await in_thread(
                self.app,
                "Working out what it comes to",
                lambda tell: outlook(folder, self.session_id, step.id, answer, library, tell),
                self._notice,
            )
            reason = await self._reason(step, before, seen)
            signer = await self._signer(known) if reason else None
            if signer is None or signer.key is None:
                self._notice("Nothing was corrected.")
                return
            entry = await asyncio.to_thread(
                correct, folder, self.session_id, step.id, seen.answer, reason, signer, library
            )
            said = correction_text(read_correction(entry, folder), known.loaded)
        except (StandclearError, OSError) as error:
            self._notice(_sentence(error), wrong=True)
            return
        self._read(f"{said} Entry {entry.entry.number}, code {short_code(entry)}.")

    async def _reason(self, step: Step, before: str, seen: Outlook) -> str:
        now = answer_text(seen.answer, step)
        says = [
            f"{step.ask} Before: {_ended(before)} Now: {_ended(now)}",
            f"The result was “{seen.before}” and would be “{seen.after}”. {_ADDED}",
        ]
        rows = [Row("reason", "what was wrong", "e.g. the tape was read at the wrong end")]
        values = await self.app.push_screen_wait(AskForm("Why is it corrected?", says, rows))
        if values is not None and values["reason"] == "?":
            self._notice("A correction needs a reason.", wrong=True)
            return ""
        return values["reason"] if values else ""

    async def _signer(self, known: Finished) -> Signing | None:
        signers = known.ending.entry.signers
        choices = [(str(at), role, role) for at, role in enumerate(ROLES, start=1)]
        role = await self.app.push_screen_wait(
            AskOne("Who signs the correction, as what?", choices)
        )
        if role is None:
            return None
        name = next((s.person for s in signers if s.role == role), "")
        signer = await self.app.push_screen_wait(AskSigner(self.app.desk.folder, role, name, []))
        if signer is not None and signer.key is None:
            self._notice("A correction that nobody signs is not taken.", wrong=True)
        return signer

    def _notice(self, text: str, *, wrong: bool = False) -> None:
        for notice in self.query("#notice").results(Static):
            notice.update(Content(shown(text)))
            notice.set_class(wrong, "-wrong")


class AskAnswer(Asking[Answer]):
    """Asks for one answer of a step as the walk does; what stands is in the form, to be changed."""

    def __init__(self, step: Step, before: str, known: Known, standing: Answer) -> None:
        super().__init__()
        self._step, self._before, self._registers = step, before, known
        self._standing = standing

    def question(self) -> ComposeResult:
        """Yield the step, the answer that stands, and the entry for the new one."""
        yield Static("The right answer", markup=False, classes="title")
        yield Static(shown(self._step.ask), markup=False)
        yield Static(shown(f"It was: {self._before}"), markup=False)
        yield Static("", markup=False, id="said")
        yield entry_for(self._step, self._registers, self._standing)

    def on_mount(self) -> None:
        """Put the focus on the keys, where there are some."""
        for keys in self.query(Keys):
            keys.focus()

    @on(Chosen)
    def _chosen(self, event: Chosen) -> None:
        event.stop()
        self._take(event.typed)

    @on(Form.Given)
    def _given(self, event: Form.Given) -> None:
        event.stop()
        typed, instrument = typed_form(self._step, event.values)
        self._take(_ASIDE if typed == "n/a" else typed, instrument)

    @work(exclusive=True)
    async def _take(self, typed: object, instrument: str = "") -> None:
        try:
            if typed == _ASIDE:
                rows = [Row("reason", "why not", "e.g. there is no generator here")]
                asked = AskForm("Why does it not apply?", [self._step.ask], rows)
                values = await self.app.push_screen_wait(asked)
                if values is None:
                    return
                answer: Answer = not_applying(self._step, values["reason"])
            else:
                answer = read_answer(self._step, typed, instrument=instrument)
        except StandclearError as error:
            said = self.query_one("#said", Static)
            said.update(Content(shown(error.sentence())))
            said.set_class(True, "stop")
            return
        self.dismiss(answer)


def _ended(text: str) -> str:
    return text if text.endswith(".") else f"{text}."


def _sentence(error: StandclearError | OSError) -> str:
    return error.sentence() if isinstance(error, StandclearError) else str(error)
