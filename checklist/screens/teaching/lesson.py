"""One calculation with the students' numbers: every line of the arithmetic, as they type."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Horizontal, VerticalScroll
from textual.content import Content
from textual.widgets import Input, Static

from checklist.calculations import Finding, run
from checklist.calculations.kinds import Calculation
from checklist.calculations.kinds import Input as Wanted
from checklist.calculations.lesson import example_inputs, in_both
from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.rulebook import Book
from checklist.screens.frame import Framed
from checklist.screens.teaching.lessontext import before_lines, finding_lines
from checklist.screens.walking.field import Field

if TYPE_CHECKING:
    from checklist.screens.doors import Doors

_BESIDE = 24
"""Columns in which the other unit of a value, or its choices, stand beside its field."""


class InputRow(Horizontal):
    """One input: its name, the field, and the value in the other unit."""

    def __init__(self, wanted: Wanted) -> None:
        super().__init__()
        self.wanted = wanted

    def compose(self) -> ComposeResult:
        """Yield name, field, and what stands beside it."""
        name = f"{self.wanted.name} (optional)" if self.wanted.optional else self.wanted.name
        yield Static(Content(name), classes="name", markup=False)
        yield Field(example=_asked(self.wanted), id=f"input-{self.wanted.name}")
        yield Static(classes="beside", markup=False)

    @property
    def typed(self) -> str:
        """What stands in the field; several rows come one a line."""
        text = self.query_one(Field).value.strip()
        if not self.wanted.columns:
            return text
        return "\n".join(part.strip() for part in text.split(";") if part.strip())

    def say(self, beside: str) -> None:
        """Show a text beside the field."""
        self.query_one(".beside", Static).update(Content(shown(beside)))


class LessonScreen(Framed):
    """Inputs above or at the left, what they come to beside; nothing is kept."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+e", "example", "example", priority=True),
        Binding("ctrl+n", "clear", "empty", priority=True),
        Binding("pagedown", "page(1)", "on", key_display="PgDn", priority=True),
        Binding("pageup", "page(-1)", "back", key_display="PgUp", priority=True),
        Binding("escape", "back", "leave"),
    ]
    DEFAULT_CSS: ClassVar[str] = """
    LessonScreen #lesson { height: 1fr; layout: vertical; }
    LessonScreen.-wide #lesson { layout: horizontal; }
    LessonScreen #inputs {
        height: auto; max-height: 40%; padding: 0 1; scrollbar-size-vertical: 1;
        border-bottom: solid $secondary;
    }
    LessonScreen.-wide #inputs { width: 58; height: 1fr; max-height: 100%; border-bottom: none; }
    LessonScreen InputRow { height: 1; }
    LessonScreen InputRow .name { width: 27; }
    LessonScreen InputRow Field { width: 1fr; }
    LessonScreen InputRow .beside { width: auto; max-width: 24; }
    LessonScreen.-wide InputRow { height: 2; }
    LessonScreen #arithmetic { height: 1fr; padding: 0 1; scrollbar-size-vertical: 1; }
    LessonScreen #arithmetic Static { height: auto; }
    LessonScreen #notice { height: auto; max-height: 2; }
    """

    app: Doors

    def __init__(self, calculation: Calculation, book: Book) -> None:
        super().__init__()
        self._calculation, self._book = calculation, book
        self._edited = ""
        self.before: Finding | None = None
        """What came out before the value at hand was edited."""

        self.finding: Finding | None = None
        """What comes out now; None while the inputs cannot be taken."""

        self._last: Finding | None = None

    def body(self) -> ComposeResult:
        """Yield the fields, and room for what comes of them."""
        with Container(id="lesson"):
            with VerticalScroll(id="inputs", can_focus=False):
                for wanted in self._calculation.inputs:
                    yield InputRow(wanted)
            with VerticalScroll(id="arithmetic", can_focus=False):
                yield Static(id="lines", markup=False)
        yield Static(id="notice", markup=False)

    def on_mount(self) -> None:
        """Begin in the first field; what the calculation is stands there meanwhile."""
        self.query(Field).first().focus()
        self._work_out("")

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        self._work_out(event.input.id or "")

    @on(Field.Entered)
    def _next(self, event: Field.Entered) -> None:
        event.stop()
        self.focus_next(Field)

    def on_descendant_focus(self) -> None:
        """Say what the field at hand asks for."""
        if self.finding is not None or not any(row.typed for row in self.query(InputRow)):
            self._explain()

    def action_example(self) -> None:
        """Fill every field with an example that runs."""
        self._fill(example_inputs(self._calculation, self._book))

    def action_clear(self) -> None:
        """Empty every field, and forget what came out."""
        self._fill({})
        self.query(Field).first().focus()

    def _fill(self, typed: dict[str, str]) -> None:
        """Put all values in at once; what came out before them is no comparison any more."""
        with self.prevent(Input.Changed):
            for row in self.query(InputRow):
                text = typed.get(row.wanted.name, "")
                row.query_one(Field).value = "; ".join(text.splitlines())
        self._edited, self.before, self._last = "", None, None
        self._work_out("")

    def action_page(self, by: int) -> None:
        """Turn the arithmetic a page on or back, while typing."""
        scroll = self.query_one("#arithmetic", VerticalScroll)
        scroll.scroll_relative(y=by * max(1, scroll.size.height - 2), animate=False)

    def _work_out(self, field: str) -> None:
        """Run the calculation on what stands in the fields, and show what it gives."""
        typed = {row.wanted.name: row.typed for row in self.query(InputRow) if row.typed}
        if field != self._edited:  # the value before this one is settled: compare from here on
            self._edited, self.before = field, self._last
        self.finding, wrong = None, ""
        if typed:
            try:
                self.finding = self._last = run(self._calculation.name, typed, self._book)
            except StandclearError as error:
                wrong = error.sentence()
        for row in self.query(InputRow):
            row.say(_beside(row))
        right = str(self.finding.result.outcome).upper() if self.finding else "in class"
        self.title_line.say(self._calculation.title, right)
        width = max(40, self.query_one("#arithmetic").size.width - 3)
        if self.finding is not None:
            lines = finding_lines(self.finding, self.before, self._book, width)
        else:
            lines = before_lines(self._calculation, self._book, width)
        self.query_one("#lines", Static).update(Content("\n").join(lines))
        self.query_one("#arithmetic").scroll_home(animate=False)
        if wrong:
            self.query_one("#notice", Static).update(Content(shown(wrong)))
        else:
            self._explain()

    def _explain(self) -> None:
        row = next((row for row in self.query(InputRow) if row.has_focus_within), None)
        said = f"{row.wanted.name}: {row.wanted.meaning}" if row else ""
        self.query_one("#notice", Static).update(Content(shown(said)))


def _asked(wanted: Wanted) -> str:
    if wanted.choices is not None:
        return " | ".join(wanted.choices)
    return f"as {wanted.example}; ? is unknown"


def _beside(row: InputRow) -> str:
    """Return the typed value in the other habit's unit, where there is one."""
    text = row.typed
    both = in_both(row.wanted, text) if text and not row.wanted.columns else text
    other = both.removeprefix(text).strip(" ()") if both != text else ""
    return f" = {other}"[:_BESIDE] if other else ""
