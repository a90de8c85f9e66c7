"""One walk and its file: every event is on disk before the walk has it."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from checklist.errors import StandclearError
from checklist.plaintext import accept
from checklist.record.errors import NotSaved
from checklist.record.files.clock import Clock
from checklist.record.files.folder import LogFolder
from checklist.record.journals.journal import Journal
from checklist.rulefile import Text
from checklist.stopping import Tell, unheard
from checklist.walk.answers import Answer, Described, Hung, Sought, Written
from checklist.walk.events import (
    Answered,
    Attached,
    Clearing,
    Closed,
    Event,
    NearMiss,
    Noted,
    StopAnswered,
    WorkResumed,
    WorkStopped,
)
from checklist.walk.standing import Progress
from checklist.walk.stored import as_data
from checklist.walk.walk import Walk
from checklist.walk.wording import answer_text

if TYPE_CHECKING:
    from checklist.sessions.library import Library

_E = TypeVar("_E", bound=Event)


class Session:
    """A walk under way. In a rehearsal nothing is written, and everything else is the same.

    Every method that makes an event returns it once it is on disk. NotSaved means that it
    is not: the event is then kept as `unsaved`, nothing else is taken, and `save_again`
    tries once more.
    """

    def __init__(
        self,
        walk: Walk,
        clock: Clock,
        *,
        folder: LogFolder | None = None,
        journal: Journal | None = None,
        library: Library | None = None,
    ) -> None:
        self.walk = walk
        self._library = library
        self.clock = clock
        self.folder = folder
        self.unsaved: Event | None = None
        self._journal = journal
        self._tags_due = False
        """Whether `unsaved` is in the session's file, and only its tags miss in the ledger."""

    @property
    def id(self) -> str:
        """The session's id; empty in a rehearsal."""
        return self._journal.session_id if self._journal else ""

    @property
    def is_rehearsal(self) -> bool:
        """Whether nothing is written."""
        return self._journal is None

    def kept_in(self) -> tuple[LogFolder, Journal]:
        """Return the log folder and the session's file; a rehearsal has none and raises."""
        if self.folder is None or self._journal is None:
            raise StandclearError("a rehearsal is not kept and cannot be signed")
        return self.folder, self._journal

    def now(self) -> datetime:
        """Return the wall time."""
        return self.clock.now()

    def progress(self) -> Progress:
        """Return where the walk stands now."""
        return self.walk.progress(self.now())

    def told_to_emergency(self) -> str:
        """Return what this walk says about the way for an ambulance; empty where nothing does.

        Don't know is nothing to tell: whoever calls is then told what to say.
        """
        return " ".join(
            answer_text(state.answered.answer)
            for state in self.progress().asked
            if state.answered
            and isinstance(state.answered.answer, Written)
            and isinstance(state.step.kind, Text)
            and state.step.kind.emergency_call
        )

    def answer(self, step_id: str, answer: Answer, clearing: Clearing | None = None) -> Answered:
        """Answer a step; see Walk.answered for what is refused.

        What hangs at a point is looked up here, and the tags that an answer names are in
        the ledger before it is called saved.
        """
        found = self.looked_up(answer)
        event = self._keep(self.walk.answered(step_id, found, self.now(), clearing))
        if isinstance(event.answer, Hung):
            self._enter_tags(event)
        return event

    def looked_up(self, answer: Answer, tell: Tell = unheard) -> Answer:
        """Return the answer with what the program finds out for it, by logs or by station file.

        `tell` hears how far a long evaluation is. Stopped, there or by `stopping.stoppable`, it
        keeps nothing. Raises StandclearError for a station file that cannot be used.
        """
        if isinstance(answer, Described) and answer.file is None:
            from checklist.sessions.stations.evaluating import evaluated  # late, with the engines

            return evaluated(answer, self.walk.book, self._library, self.folder, tell)
        if not isinstance(answer, Sought) or self.folder is None:
            return answer
        from checklist.sessions.tagging.seeking import looked_up  # late: few walks ask it

        return looked_up(self.folder, answer)

    def answer_stop(self, step_id: str, clearing: Clearing) -> StopAnswered:
        """Answer a standing stop by evidence; see Walk.stop_answered."""
        return self._keep(self.walk.stop_answered(step_id, clearing, self.now()))

    def stop_work(self, reason: str) -> WorkStopped:
        """Call a stop of work."""
        return self._keep(WorkStopped(accept(reason, field="reason"), self.now()))

    def resume_work(self) -> WorkResumed:
        """Go on with the work; volatile answers are asked again."""
        return self._keep(WorkResumed(self.now()))

    def near_miss(self, text: str) -> NearMiss:
        """Report that something went wrong, or nearly."""
        said = accept(text, field="near miss", lines=True)
        if not said:
            raise StandclearError(
                "nothing was typed", where="near miss", right="Say what happened."
            )
        return self._keep(NearMiss(said, self.now()))

    def note(self, step_id: str, text: str) -> Noted:
        """Keep a note beside a step."""
        said = accept(text, field="note", lines=True)
        if not said:
            raise StandclearError("nothing was typed", where="note", right="Write the note.")
        return self._keep(Noted(step_id, said, self.now()))

    def attach(self, step_id: str, file: Path | str) -> Attached:
        """Keep a photo or paper beside a step, by its hash; its path may be as somebody typed it.

        Raises FileRefused or StandclearError for what is no file that can be kept, NotSaved.
        """
        if self.folder is None:
            raise StandclearError("a rehearsal keeps no files")
        from checklist.record.files.kept import attach  # late: few walks attach anything

        kept = attach(self.folder, _typed_path(file) if isinstance(file, str) else file)
        return self._keep(Attached(step_id, kept.sha256, kept.size, kept.name, self.now()))

    def end(self) -> Closed:
        """Return how the walk ends now, without ending it; sealing writes the end."""
        return self.walk.ended(self.now())

    def save_again(self) -> None:
        """Try once more to save the event that was not saved; raises NotSaved while it is not."""
        event = self.unsaved
        if event is None or self._journal is None or self.folder is None:
            return
        if self._tags_due:
            self._enter_tags(event)
            return
        known = len(self._journal.lines)
        self._journal.close()
        journal, _ = Journal.resume(self.folder, self._journal.session_id)
        self._journal = journal
        if len(journal.lines) > known:  # it had reached the disk, and only the answer was lost
            self.unsaved = None
            event = replace(event, at=journal.lines[-1].at)
            self.walk = self.walk.with_event(event)
        else:
            event = self._keep(event)
        if isinstance(event, Answered) and isinstance(event.answer, Hung):
            self._enter_tags(event)

    def close(self) -> None:
        """Let go of the session's file; the walk can be gone on with later."""
        if self._journal is not None:
            self._journal.close()

    def _enter_tags(self, event: Event) -> None:
        if self.folder is None or not isinstance(event, Answered):
            return
        from checklist.sessions.tagging.hanging import (
            enter_due,  # late: the first screen hangs nothing
        )

        self.unsaved, self._tags_due = event, True
        rules = self.walk.rule_file
        enter_due(self.folder, self.id, rules.title, [event], rules.valid)
        self.unsaved, self._tags_due = None, False

    def _keep(self, event: _E) -> _E:
        if self.unsaved is not None and self.unsaved is not event:
            raise NotSaved("an earlier answer is not saved yet", right="Save it first.")
        if self._journal is not None:
            self.unsaved = event
            line = self._journal.append(*as_data(event))
            event = replace(event, at=line.at)
            self.unsaved = None
        self.walk = self.walk.with_event(event)
        return event


def _typed_path(text: str) -> Path:
    """Return the path that somebody typed or dropped, quotes around it taken off."""
    bare = accept(text, field="file").strip().strip("'\"")
    try:
        return Path(bare).expanduser()
    except RuntimeError:  # ~ and a name that is nobody's here
        raise StandclearError(
            "this is no path", where=bare, right="Write the whole path of the file."
        ) from None
