"""One row of a form: a label, a field, and how what is typed in it is understood."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.screens.walking.field import Field, FormField, completed
from checklist.sessions.entryrows import Row


class FormRow(Vertical):
    """A label, its field, and below them how the text is understood or what is wrong."""

    def __init__(self, row: Row, *, takes_unknown: bool = True) -> None:
        super().__init__()
        self.row = row
        self._takes_unknown = takes_unknown and not row.secret

    def compose(self) -> ComposeResult:
        """Yield label and field on one line, the understanding below."""
        with Horizontal():
            yield Static(shown(self.row.label), markup=False, classes="label")
            yield FormField(
                self.row.value,
                example=self.row.example,
                known=self.row.known,
                secret=self.row.secret,
                takes_lines=self.row.many,
            )
        yield Static("", markup=False, classes="understood")
        offered = Static(self._offered(), markup=False, classes="offered")
        offered.display = bool(self.row.offer) and not self.row.value
        yield offered

    def _offered(self) -> str:
        return shown(f"last time: {' | '.join(self.row.offer)}") if self.row.offer else ""

    def take_offer(self) -> None:
        """Put what stood here the last time into the field, for people to look at."""
        if self.row.offer and not self.text:
            self.query_one(Field).value = self.row.offer[0]

    @property
    def text(self) -> str:
        """What stands in the field."""
        return self.query_one(Field).value.strip()

    @property
    def _is_unknown(self) -> bool:
        """Whether don't know is given, which only some forms take."""
        return self._takes_unknown and self.text == "?"

    def complaint(self) -> str:
        """Return what is wrong with the text in one sentence, or an empty text."""
        if not self.text:
            unknown = "; ? stands for don't know" if self._takes_unknown else ""
            return "" if self.row.may_be_empty else f"This is needed{unknown}."
        if self._is_unknown:
            return ""
        try:
            self.row.check(self.text)
        except StandclearError as error:
            return self._said(error)
        return ""

    def _said(self, error: StandclearError) -> str:
        """Return what is wrong, without the field's inner name: it stands at the field."""
        if error.where != self.row.name:
            return error.sentence()
        return StandclearError(error.what, right=error.right).sentence()

    def understand(self, *, complain: bool = False) -> None:
        """Show how the text is understood; what is wrong with it only where `complain` is set."""
        understood = self.query_one(".understood", Static)
        text, wrong = "", ""
        if self.text and not self._is_unknown:
            try:
                text = self.row.check(self.text)
            except StandclearError as error:
                wrong = self._said(error)
        elif complain:
            wrong = self.complaint()
        show_wrong = bool(wrong) and complain
        goes_on = completed(self.row.known, self.query_one(Field).value)
        text = "   ".join(filter(None, [text, f"→ takes {goes_on}" if goes_on else ""]))
        understood.update(Content(shown(wrong if show_wrong else text)))
        understood.set_class(show_wrong, "-wrong")
        understood.display = bool(text) or show_wrong
        self.query_one(".offered").display = bool(self.row.offer) and not self.text
