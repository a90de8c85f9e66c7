"""Small screens that ask for one thing and go away: a text, a yes, the evidence for a stop."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import TYPE_CHECKING, ClassVar, Generic, TypeVar

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from checklist.plaintext import shown
from checklist.rulefile import Step, Way
from checklist.screens.frame import BANNER, HurtKey
from checklist.screens.walking.drafts import Drafts
from checklist.screens.walking.entries import Chosen, Keys
from checklist.screens.walking.field import Field
from checklist.screens.walking.form import Form
from checklist.sessions.entryrows import Row
from checklist.walk.events import Clearing
from checklist.walk.wording import way_text

if TYPE_CHECKING:
    from checklist.screens.doors import Doors

_Result = TypeVar("_Result")


_KEYS = "Esc goes back   F1 help"
"""What every question names below itself; Enter besides, while a field is typed in."""


class Asking(ModalScreen[_Result | None], Generic[_Result]):
    """A question over the screen below; Escape goes back without an answer."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "dismiss_unanswered", "back"),
        Binding("ctrl+y", "app.hurt", "someone is hurt", show=False, priority=True),
    ]

    def compose(self) -> ComposeResult:
        """Yield the question in a box; banner and help stand below, as on every screen."""
        with VerticalScroll(id="asking", can_focus=False):
            yield from self.question()
        with Vertical(id="asked-below"):
            yield Static(BANNER, markup=False)
            with Horizontal():
                yield Static(_KEYS, id="asked-keys", markup=False)
                yield HurtKey()

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """Name Enter among the keys where a field takes it."""
        enter = "Enter goes on   " if isinstance(event.widget, Field) else ""
        self.query_one("#asked-keys", Static).update(f"{enter}{_KEYS}")

    def question(self) -> ComposeResult:
        """Yield what is asked."""
        yield Static()

    @property
    def place(self) -> Hashable:
        """What is asked, so that a text typed for it is there again when it is asked again."""
        return None

    def rows(self, rows: Sequence[Row]) -> list[Row]:
        """Return the rows with what was typed in them before somebody went back."""
        return self._drafts.into(self.place, rows) if self.place else list(rows)

    @property
    def _drafts(self) -> Drafts:
        app: Doors = self.app  # type: ignore[assignment]  # there is no other app
        return app.drafts

    def action_dismiss_unanswered(self) -> None:
        """Go back without an answer; what was typed is there when the same is asked again."""
        if self.place:
            typed = [pair for form in self.query(Form) for pair in form.typed]
            self._drafts.keep(self.place, tuple(typed))
        self.dismiss(None)

    def give(self, answer: _Result) -> None:
        """Give the answer; nothing typed is kept any longer."""
        if self.place:
            self._drafts.drop(self.place)
        self.dismiss(answer)


class AskText(Asking[str]):
    """Asks for one text."""

    def __init__(self, title: str, label: str, example: str = "") -> None:
        super().__init__()
        self._title = title
        self._row = Row("text", label, f"e.g. {example}" if example else "")

    def question(self) -> ComposeResult:
        """Yield the title and one field."""
        yield Static(shown(self._title), markup=False, classes="title")
        yield Form(self.rows([self._row]))

    @property
    def place(self) -> Hashable:
        """The question and its label."""
        return self._title, self._row.label

    @on(Form.Given)
    def _given(self, event: Form.Given) -> None:
        self.give(str(event.values["text"]))


class AskForm(Asking[dict[str, str]]):
    """Asks for several texts at once; `wrong` says why they are asked again."""

    def __init__(
        self, title: str, says: Sequence[str], rows: Sequence[Row], wrong: str = ""
    ) -> None:
        super().__init__()
        self._title, self._says, self._rows, self._wrong = title, tuple(says), tuple(rows), wrong

    def question(self) -> ComposeResult:
        """Yield the title, what to know, what was wrong, and the fields."""
        yield Static(shown(self._title), markup=False, classes="title")
        for line in self._says:
            yield Static(shown(line), markup=False)
        if self._wrong:
            yield Static(shown(self._wrong), markup=False, classes="stop")
        yield Form(self.rows(self._rows), takes_unknown=False)

    @property
    def place(self) -> Hashable:
        """The question and its labels."""
        return self._title, tuple(row.label for row in self._rows)

    @on(Form.Given)
    def _given(self, event: Form.Given) -> None:
        self.give({name: str(text) for name, text in event.values.items()})


class AskOne(Asking[str]):
    """Asks for one of a few answers, each with its key."""

    def __init__(self, title: str, choices: Sequence[tuple[str, str, str]]) -> None:
        """Take (key, what is given back, label) for each answer."""
        super().__init__()
        self._title, self._choices = title, tuple(choices)

    def question(self) -> ComposeResult:
        """Yield the title and the answers."""
        yield Static(shown(self._title), markup=False, classes="title")
        yield Keys(self._choices)

    def on_mount(self) -> None:
        """Put the focus on the keys."""
        self.query_one(Keys).focus()

    @on(Chosen)
    def _chosen(self, event: Chosen) -> None:
        self.dismiss(event.typed)


class AskYes(Asking[bool]):
    """Asks whether to do what cannot be undone; Enter alone does nothing."""

    def __init__(self, title: str, says: Sequence[str]) -> None:
        super().__init__()
        self._title, self._says = title, tuple(says)

    def question(self) -> ComposeResult:
        """Yield the title, what it means, and two keys."""
        yield Static(shown(self._title), markup=False, classes="title")
        for line in self._says:
            yield Static(shown(line), markup=False)
        yield Keys([("y", "yes", "yes"), ("n", "no", "no, go back")])

    def on_mount(self) -> None:
        """Put the focus on the keys."""
        self.query_one(Keys).focus()

    @on(Chosen)
    def _chosen(self, event: Chosen) -> None:
        self.dismiss(event.typed == "yes")


class AskEvidence(Asking[Clearing]):
    """Asks how a stop was answered, and for the evidence that the way names."""

    def __init__(self, step: Step, ways: Sequence[Way], because: Sequence[str]) -> None:
        super().__init__()
        self._step, self._ways, self._because = step, tuple(ways), tuple(because)
        self._way = self._ways[0]

    def question(self) -> ComposeResult:
        """Yield the stop, then the ways to choose from, or at once the evidence of the only one."""
        yield Static("How was this stop answered?", markup=False, classes="title")
        yield Static(shown(self._step.ask), markup=False)
        for sentence in self._because:
            yield Static(shown(f"STOP  {sentence}"), markup=False, classes="stop")
        if len(self._ways) == 1:
            yield from self._evidence()
        else:
            yield Keys(
                [(str(n), str(n - 1), way_text(w)) for n, w in enumerate(self._ways, start=1)]
            )

    def on_mount(self) -> None:
        """Put the focus where the next key is wanted."""
        for keys in self.query(Keys):
            keys.focus()

    def _evidence(self) -> ComposeResult:
        yield Static(shown(self._way.do), markup=False, id="way")
        yield Form(
            self.rows([Row(label, label) for label in self._way.evidence]), takes_unknown=False
        )

    @property
    def place(self) -> Hashable:
        """The step and the way."""
        return self._step.id, self._way.do

    @on(Chosen)
    async def _chosen(self, event: Chosen) -> None:
        self._way = self._ways[int(event.typed)]
        keys = self.query_one(Keys)
        await self.query_one("#asking").mount_all(list(self._evidence()), after=keys)
        await keys.remove()

    @on(Form.Given)
    def _given(self, event: Form.Given) -> None:
        evidence = {label: str(text) for label, text in event.values.items()}
        if any(text == "?" for text in evidence.values()):
            self.notify("Evidence that is not known answers no stop.", markup=False)
            return
        self.give(Clearing(self._way.do, evidence))
