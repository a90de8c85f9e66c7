"""The end of a walk: everything once more in whole lines, then the signatures."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from checklist.errors import StandclearError
from checklist.plaintext import accept, shown
from checklist.rulefile import Role, Verdict
from checklist.screens.asking import Asking, AskYes
from checklist.screens.frame import Framed
from checklist.screens.walking.field import Field
from checklist.screens.walking.form import Form
from checklist.sessions.closing import (
    key_of,
    places,
    repeated,
    seal_walk,
    short_code,
    signing,
    unvouched,
)
from checklist.sessions.entryrows import Row
from checklist.sessions.session import Session
from checklist.walk.summary import summary_lines

if TYPE_CHECKING:
    from checklist.record.files.folder import LogFolder
    from checklist.record.journals.seal import Signing
    from checklist.record.ledgers.ledger import Recorded
    from checklist.screens.doors import Doors

_SHORTEST = 8
_PASSPHRASE = Row("passphrase", "passphrase", may_be_empty=True, secret=True)


class SignScreen(Framed):
    """Shows what is signed, then asks each signer in turn; escape goes back to the walk."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+g", "sign", "sign and seal", priority=True),
        Binding("ctrl+g", "home", "home", priority=True),
        Binding("escape", "back", "back to the walk"),
        Binding("escape", "home", "home", show=False),
    ]

    app: Doors

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self._sealed: Recorded | None = None

    def body(self) -> ComposeResult:
        """Yield the summary and a line for what happens."""
        with VerticalScroll(id="summary"):
            yield Static(id="lines", markup=False)
        yield Static(id="notice", markup=False)

    def on_mount(self) -> None:
        """Show the whole walk."""
        walk = self.session.walk
        lines = [Content(shown(line)) for line in summary_lines(walk, self.session.now())]
        self.query_one("#lines", Static).update(Content("\n").join(lines))
        self.query_one("#summary").focus()
        progress = self.session.progress()
        kind = "REHEARSAL: " if self.session.is_rehearsal else ""
        self.title_line.say(
            f"{kind}{walk.rule_file.title}",
            str(progress.verdict).upper() if progress.stops else str(progress.verdict),
            urgent=progress.verdict is Verdict.STOPPED,
        )
        if self.session.is_rehearsal:
            self._notice("A rehearsal is not signed and not kept.")
        else:
            signers = ", ".join(f"{p.role}" for p in places(self.session))
            self._notice(f"Read it, then ^G: {signers} sign.")

    def _notice(self, text: str, *, wrong: bool = False) -> None:
        notice = self.query_one("#notice", Static)
        notice.update(Content(shown(text)))
        notice.set_class(wrong, "-wrong")

    @work
    async def action_sign(self) -> None:
        """Ask each signer, then seal."""
        try:
            folder, _ = self.session.kept_in()
            if not self.session.walk.closed:
                self.session.end()
            signings = await self._signings(folder)
            if signings is None:
                self._notice("Nothing is signed yet. ^G begins again.")
                return
            self._sealed = await asyncio.to_thread(seal_walk, self.session, signings)
        except StandclearError as error:
            self._notice(error.sentence(), wrong=True)
            return
        doubts = await asyncio.to_thread(unvouched, folder, self._sealed)
        self._show_sealed(self._sealed, signings, doubts)

    async def _signings(self, folder: LogFolder) -> list[Signing] | None:
        """Return everybody ready to sign, or None when somebody went back."""
        ready: list[Signing] = []
        for place in places(self.session):
            taken = [s.person for s in ready]
            one = await self.app.push_screen_wait(
                AskSigner(folder, place.role, place.suggested, taken)
            )
            if one is None:
                return None
            ready.append(one)
        return ready

    def _show_sealed(self, entry: Recorded, signings: list[Signing], doubts: str) -> None:
        missing = [f"{s.person} ({s.role})" for s in signings if s.key is None]
        verdict = entry.entry.verdict or ""
        if missing:
            title = "NOT SEALED: a signature is missing"
            said = f"NOT SEALED. Missing: {', '.join(missing)}. It can be given later from home."
        else:
            title = f"Sealed: {self.session.walk.rule_file.title}"
            said = f"Sealed and on disk: entry {entry.entry.number}, code {short_code(entry)}."
        self.title_line.say(title, verdict, urgent=bool(missing) or verdict == Verdict.STOPPED)
        self._notice(" ".join(filter(None, (said, doubts, "^G goes home."))), wrong=bool(missing))
        self.refresh_bindings()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer signing until it is done, and only the way home after that."""
        if action in {"sign", "back", "home"}:
            return (self._sealed is not None) is (action == "home")
        return True

    def action_home(self) -> None:
        """Go home: the walk has ended and is signed, as far as it was."""
        self.app.go_home()


class AskSigner(Asking["Signing"]):
    """Asks one person for name and passphrase, and gives back the opened key."""

    def __init__(
        self, folder: LogFolder, role: Role | str, suggested: str, taken: list[str]
    ) -> None:
        super().__init__()
        self._folder, self._role, self._suggested, self._taken = folder, role, suggested, taken
        self._person = ""

    def question(self) -> ComposeResult:
        """Yield the role and the name."""
        yield Static(shown(f"Signature: {self._role}"), markup=False, classes="title")
        yield Static("", markup=False, id="said")
        yield Form([Row("person", "name", value=self._suggested)], takes_unknown=False, id="person")

    def on_mount(self) -> None:
        """Ask for the passphrase at once where the person who is expected has a key here."""
        self.query_one("#said").display = False
        self._expect()

    @work
    async def _expect(self) -> None:
        person = self._suggested
        if not person or repeated([*self._taken, person]):
            return
        card = await asyncio.to_thread(key_of, self._folder, person)
        if card is None or self._person or not self.query("#person"):
            return
        self._person = person
        self._say(f"The key of {person} is kept here. Empty: not here now. Another name: press Up.")
        await self.query_one("#asking").mount(Form([_PASSPHRASE], id="secret"), after="#person")

    @on(Form.Given, "#person")
    async def _named(self, event: Form.Given) -> None:
        event.stop()
        await self._take_name(str(event.values["person"]))

    async def _take_name(self, typed: str) -> None:
        """Take a name; the same once more leads on to the passphrase that is asked already."""
        if self.query("#secret") and typed == self._person:
            self.query_one("#secret", Form).focus_first()
            return
        try:
            self._person = accept(typed, field="name", longest=80)
        except StandclearError as error:
            self._say(error.sentence())
            return
        if repeated([*self._taken, self._person]):
            self._say(f"{self._person} signs already; another person is needed as {self._role}.")
            return
        await self._ask_passphrase()

    async def _ask_passphrase(self) -> None:
        card = await asyncio.to_thread(key_of, self._folder, self._person)
        rows = [_PASSPHRASE]
        if card is None:
            rows.append(Row("again", "passphrase again", may_be_empty=True, secret=True))
        how = (
            "Your key is kept here. Empty: not here now, the signature stays missing."
            if card
            else f"A key is made for {self._person} now, locked by a passphrase of {_SHORTEST} "
            "characters or more that only you know. Empty: not here now."
        )
        self._say(how)
        form = Form(rows, id="secret")
        await self.query("#person, #secret").remove()
        await self.query_one("#asking").mount(form, after="#said")

    @on(Form.Given, "#secret")
    async def _secret_given(self, event: Form.Given) -> None:
        event.stop()
        for field in self.query("#person Field").results(Field):
            if field.value.strip() != self._person:  # the name was changed above the passphrase
                await self._take_name(field.value.strip())
                return
        self._open_key(dict(event.values))

    @work
    async def _open_key(self, values: dict[str, str | list[str]]) -> None:
        passphrase = str(values["passphrase"])
        if passphrase != str(values.get("again", passphrase)):
            self._again("The two passphrases differ. Type both again.")
            return
        if not passphrase and not await self.app.push_screen_wait(
            AskYes(
                f"{self._person} is not here to sign?",
                ["Until the signature is given, the session is NOT called sealed."],
            )
        ):
            return
        try:
            signer = await asyncio.to_thread(
                signing, self._folder, self._person, self._role, passphrase
            )
        except StandclearError as error:
            self._again(error.sentence())
            return
        self.dismiss(signer)

    def _again(self, text: str) -> None:
        """Say what is wrong and begin the passphrase anew."""
        self._say(text)
        for field in self.query("#secret Field").results(Field):
            field.value = ""
        self.query_one("#secret", Form).focus_first()

    def _say(self, text: str) -> None:
        sentence = f"{text[:1].upper()}{text[1:]}"
        said = self.query_one("#said", Static)
        said.update(Content(shown(sentence)))
        said.display = bool(sentence)
