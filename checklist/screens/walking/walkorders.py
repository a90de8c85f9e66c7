"""What can be done in a walk beside answering: stop the work, note, report, keep a photo."""

from __future__ import annotations

import asyncio

from textual import work

from checklist.errors import StandclearError
from checklist.screens.asking import AskText, AskYes
from checklist.screens.walking.walkshown import WalkShown


class OrderedWalk(WalkShown):
    """A walk that obeys orders; that its steps are answered is added by WalkScreen."""

    @work
    async def action_resume_work(self) -> None:
        """Go on after a stop of work."""
        sure = await self.app.push_screen_wait(
            AskYes("Go on with the work?", ["Weather and the like will be asked again."])
        )
        if sure and await self._keep(self.session.resume_work):
            await self._go_on()
            self._notice("The work goes on. Answer again what is asked again.")

    @work
    async def action_stop_work(self) -> None:
        """Call a stop of work."""
        reason = await self.app.push_screen_wait(
            AskText("STOP OF WORK. Everybody stops now.", "reason", "thunder heard")
        )
        if reason and await self._keep(lambda: self.session.stop_work(reason)):
            self._refresh()
            self._notice("The work is stopped. ^S goes on with it.", wrong=True)

    @work
    async def action_near_miss(self) -> None:
        """Keep a report of a near miss."""
        text = await self.app.push_screen_wait(
            AskText("Near miss or incident", "what happened", "wrench fell, nobody hit")
        )
        if text and await self._keep(lambda: self.session.near_miss(text)):
            self._notice("The near miss is kept.")

    @work
    async def action_note(self) -> None:
        """Keep a note beside the step at hand."""
        text = await self.app.push_screen_wait(AskText(self.state.step.ask, "note"))
        if text and await self._keep(lambda: self.session.note(self._current, text)):
            await self._show(self._current)
            self._notice("The note is kept.")

    @work
    async def action_attach(self) -> None:
        """Keep a photo or paper beside the step at hand."""
        text = await self.app.push_screen_wait(
            AskText("Keep a photo or paper with this step", "its file", "photo of the rating plate")
        )
        if not text:
            return
        try:
            kept = await self._keep(lambda: self.session.attach(self._current, text))
        except StandclearError as error:
            self._notice(error.sentence(), wrong=True)
            return
        if kept is not None:
            self._refresh()
            self._notice(f"{kept.name} is kept, {kept.size} bytes.")

    @work
    async def action_save_again(self) -> None:
        """Try once more to save what was not saved."""
        if self.session.unsaved is None:
            self._notice("Everything is saved.")
            return
        try:
            await asyncio.to_thread(self.session.save_again)
        except StandclearError as error:
            self._notice(f"NOT SAVED: {error.sentence()} ^R tries again.", wrong=True)
            return
        await self._go_on()
        self._notice("saved")
