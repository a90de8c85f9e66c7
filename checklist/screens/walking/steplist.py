"""The steps of a walk with their state in words."""

from __future__ import annotations

from textual.content import Content
from textual.widgets.option_list import Option

from checklist.plaintext import shown
from checklist.rulefile import RuleFile
from checklist.screens.marklist import MarkList
from checklist.walk.standing import Progress, Status, StepState
from checklist.walk.wording import answer_text

_WORDS = {
    Status.NOT_ASKED: "—",
    Status.WAITS: "later",
    Status.OPEN: "open",
    Status.SET_ASIDE: "n/a",
    Status.CAUTION: "caution",
    Status.STOP: "STOP",
    Status.STOP_ANSWERED: "answered",
    Status.EXPIRED: "expired",
    Status.CHANGED: "again",
}
_STATE_WIDTH = 9


class StepList(MarkList, can_focus=False):
    """One line a step: its state, its question; steps that are not asked are left out."""

    def on_mount(self) -> None:
        """Say how one gets about."""
        self.border_subtitle = (
            "PgUp PgDn another step, ^N near miss, ^T note, ^O photo, ^P all, Esc leave"
        )

    def show(self, rule_file: RuleFile, progress: Progress, current: str) -> None:
        """Show the steps as they stand, and keep `current` in sight."""
        options: list[Option] = []
        at = None
        for part in rule_file.parts:
            ids = {step.id for step in part.steps}
            options.append(Option(Content(_heading(part.name, part.title)), disabled=True))
            for state in progress.steps:
                if state.step.id not in ids or state.status is Status.NOT_ASKED:
                    continue
                if state.step.id == current:
                    at = len(options)
                options.append(Option(_line(state), id=state.step.id))
        self.clear_options()
        self.add_options(options)
        self.highlighted = at


def state_word(state: StepState) -> str:
    """Return the state of a step in one short word."""
    if state.status is not Status.ANSWERED or not state.answered:
        return _WORDS.get(state.status, str(state.status))
    text = answer_text(state.answered.answer)
    return text if text in {"yes", "no"} else "done"


def _heading(name: str, title: str) -> str:
    return f"{name}: {shown(title)}"


def _line(state: StepState) -> Content:
    word = state_word(state)
    style = {
        Status.STOP: "bold reverse",
        Status.CAUTION: "bold",
        Status.EXPIRED: "bold",
        Status.CHANGED: "bold",
    }.get(state.status, "")
    mark = Content(word.ljust(_STATE_WIDTH))
    return (mark.stylize(style) if style else mark) + Content(shown(state.step.ask))
