"""A walk as it is seen: its steps, the step at hand with its entry, and what was found."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from textual import on
from textual.app import ComposeResult
from textual.containers import Container, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static

from checklist.pictures.ofcalculations import picture_of
from checklist.plaintext import shown
from checklist.record.errors import NotSaved
from checklist.screens.frame import Framed
from checklist.screens.walking.detail import detail_lines
from checklist.screens.walking.entries import Keys, Waiting, entry_for
from checklist.screens.walking.form import Form
from checklist.screens.walking.steplist import StepList
from checklist.sessions.known import Known
from checklist.sessions.lasttime import LastTime
from checklist.sessions.session import Session
from checklist.sessions.tagging.hanging import applier_of, crew_of
from checklist.walk.standing import Progress, Status, StepState
from checklist.walk.wording import standing_text

if TYPE_CHECKING:
    from checklist.pictures.drawing import Picture
    from checklist.screens.doors import Doors


class WalkShown(Framed):
    """Shows a walk and what happens to it; what is done about it is added by WalkScreen."""

    AUTO_FOCUS = ""  # the entry takes the focus itself, and leaves its question in sight
    app: Doors

    def __init__(
        self, session: Session, known: Known, says: str = "", before: LastTime | None = None
    ) -> None:
        super().__init__()
        self.session = session
        self._known = known
        self._before = before
        self._says = says
        self._current = ""
        self._busy = False
        self._is_seeking = False
        self._is_given = False

    def body(self) -> ComposeResult:
        """Yield the list of steps and the step at hand."""
        with Container(id="walk"):
            yield StepList(id="steps")
            with Vertical(id="hand"):
                with VerticalScroll(id="detail", can_focus=False):
                    yield Static(id="ask", markup=False)
                    yield Static(id="found", markup=False)
                    yield Container(id="entry")
                    yield Static(id="why", markup=False)
                yield Static(id="notice", markup=False)

    @property
    def state(self) -> StepState:
        """The step at hand as it stands now."""
        return self._progress().of(self._current)

    def _progress(self) -> Progress:
        return self.session.progress()

    def _picture(self) -> Picture | None:
        """Return the picture of what was found at this step, where there is one."""
        answered = self.state.answered
        finding = answered.judgement.finding if answered else None
        return picture_of(finding) if finding else None

    def action_picture(self) -> None:
        """Draw what was found at this step, as loads beside their ratings or a mast's reach."""
        picture = self._picture()
        if picture is not None:
            from checklist.screens.walking.picture import PictureScreen

            self.app.push_screen(PictureScreen(picture))

    async def _go_on(self) -> None:
        """Go to the next open step, or stay where the last answer was when none is open."""
        progress = self._progress()
        following = progress.next_open
        if following:
            await self._show(following.step.id)
        else:
            await self._show(self._current or progress.asked[-1].step.id)
            self._notice("Every step is answered. ^G finishes: look it over and sign.")

    async def _show(self, step_id: str) -> None:
        """Show one step with its entry; what was typed there and not given stands in it again."""
        self._keep_typed()
        self._current, self._is_given = step_id, False
        if self._is_gone:
            return
        state = self.state
        self.query_one("#ask", Static).update(Content(shown(state.step.ask)))
        entry = self.query_one("#entry", Container)
        await entry.remove_children()
        if state.status is Status.WAITS:
            await entry.mount(Waiting("This waits for an earlier step."))
        else:
            last = state.answered.answer if state.answered else None
            events = self.session.walk.events
            known = replace(self._known, applier=applier_of(events), crew=crew_of(events))
            drafts, place = self.app.drafts, self._place
            widget = entry_for(
                state.step,
                known,
                last,
                self._before,
                lambda rows: drafts.into(place, rows),
                on_the_spot=self.session.walk.rule_file.part_of(step_id).name != "beforehand",
            )
            await entry.mount(widget)
            if isinstance(widget, Keys):
                widget.focus(scroll_visible=False)  # the question stays in sight
        self._refresh()
        self.query_one("#detail", VerticalScroll).scroll_home(animate=False)

    @property
    def _place(self) -> tuple[int | str, str]:
        """Where something is typed: in this walk, at the step at hand."""
        return self.session.id or id(self.session), self._current

    def _keep_typed(self) -> None:
        """Keep what stands in the entry and was not given, for when somebody comes back to it."""
        for form in self.query("#entry Form").results(Form):
            if form.is_touched and not self._is_given:
                self.app.drafts.keep(self._place, form.typed)

    def _refresh(self) -> None:
        """Show list, findings and title as they stand now, without touching the entry."""
        if self._is_gone:
            return
        progress = self._progress()
        rule_file = self.session.walk.rule_file
        self.query_one(StepList).show(rule_file, progress, self._current)
        found, why = detail_lines(progress.of(self._current), self.session.walk)
        self.query_one("#found", Static).update(found)
        self.query_one("#found").display = bool(found.plain)
        self.query_one("#why", Static).update(why)
        title = f"{'REHEARSAL: ' if self.session.is_rehearsal else ''}{rule_file.title}"
        urgent = bool(progress.stops) or progress.work_stopped or self.session.unsaved is not None
        right = standing_text(progress)
        if self.session.unsaved is not None:
            right = f"NOT SAVED   {right}"
        self.title_line.say(title, right, urgent=urgent)
        self.refresh_bindings()

    def _refresh_time(self) -> None:
        """Let answers expire before people's eyes, unless a save is under way."""
        if not self._busy and self._current and self.is_current:
            self._refresh()

    @property
    def _is_gone(self) -> bool:
        """Whether the screen was left while something was still being saved for it."""
        return not self.is_running or not self.query("#notice")

    def _notice(self, text: str, *, wrong: bool = False) -> None:
        if self._is_gone:
            return
        notice = self.query_one("#notice", Static)
        notice.update(Content(shown(text)))
        notice.set_class(wrong, "-wrong")

    async def _keep(self, save: Callable[[], Any]) -> Any:
        """Save off the event loop; return what was saved, or None with NOT SAVED on the screen."""
        if self._busy:
            return None
        self._busy = True
        try:
            return await asyncio.to_thread(save)
        except NotSaved as error:
            self._refresh()
            self._notice(f"NOT SAVED: {error.sentence()} ^R tries again.", wrong=True)
            return None
        finally:
            self._busy = False

    async def action_step(self, by: int) -> None:
        """Go to the step before or after the one at hand."""
        asked = [s.step.id for s in self._progress().asked]
        at = asked.index(self._current) if self._current in asked else 0
        await self._show(asked[max(0, min(at + by, len(asked) - 1))])

    @on(OptionList.OptionSelected)
    async def _selected(self, event: OptionList.OptionSelected) -> None:
        if event.option.id:
            await self._show(event.option.id)
