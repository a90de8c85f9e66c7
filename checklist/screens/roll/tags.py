"""The locks and tags that hang, and what can be done with each."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers.tags import Tag
from checklist.screens.frame import Framed
from checklist.screens.marklist import MarkList
from checklist.screens.roll import tagging
from checklist.screens.turns import loaded
from checklist.sessions.tagging.duetags import complete_due
from checklist.sessions.tagging.tags import AT_THE_POINT, TagsHere, look_at_tags
from checklist.sessions.tagging.tagtext import is_overdue, logs_line, tag_line, tag_lines

if TYPE_CHECKING:
    from checklist.screens.doors import Doors

_Job = Callable[["Doors", LogFolder, Tag], Awaitable[str]]


class TagList(MarkList):
    """One line for each open tag; Enter takes the marked one off."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "select", "take off")]


class TagsScreen(Framed):
    """Open tags, the longest hanging first; everything is done to the one at the mark."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("h", "hang", "hang"),
        Binding("s", "relieve", "shift"),
        Binding("o", "remove", "other's"),
        Binding("f4", "paper", "page", key_display="F4", show=False),  # said at the tag
        Binding("i", "read_log", "log"),
    ]

    app: Doors

    def __init__(self, marked: str = "") -> None:
        super().__init__()
        self._marked = marked
        self._here = TagsHere()
        self._origin = ""

    def body(self) -> ComposeResult:
        """Yield the word on the lock, the list, and what is known of the tag at the mark."""
        yield Static(AT_THE_POINT, id="at-the-point", markup=False)
        yield TagList(id="tags")
        with VerticalScroll(id="tag", can_focus=False):
            yield Static(id="tag-lines", markup=False)
        yield Static(id="notice", markup=False)

    def on_mount(self) -> None:
        """Read the logs off the event loop, then show what hangs."""
        self.title_line.say("Locks and tags", "reading")
        self.query_one(TagList).focus()
        self._read()

    @work(exclusive=True, group="reading")
    async def _read(self, says: str = "") -> None:
        try:
            folder, read_only = await asyncio.to_thread(self.app.desk.looked)
        except StandclearError as error:
            self.title_line.say("Locks and tags", "cannot be told", urgent=True)
            self._notice(error.sentence(), wrong=True)
            return
        self._here = await asyncio.to_thread(lambda: complete_due(folder, look_at_tags(folder)))
        self._origin = folder.origin
        self._show()
        problems = " ".join(filter(None, (read_only, *self._here.problems)))
        self._notice(says or problems or logs_line(self._here, self.app.now()), bool(problems))

    def _show(self) -> None:
        tags = self.query_one(TagList)
        now = self.app.now()
        tags.clear_options()
        tags.add_options(Option(Content(shown(tag_line(t, now))), id=t.id) for t in self._here.open)
        ids = [tag.id for tag in self._here.open]
        if ids:
            tags.highlighted = ids.index(self._marked) if self._marked in ids else 0
        late = sum(is_overdue(tag, now) for tag in self._here.open)
        count = ("1 hangs" if len(ids) == 1 else f"{len(ids)} hang") + (
            f", {late} OVERDUE" if late else ""
        )
        self.title_line.say("Locks and tags", count, urgent=bool(late))
        self._show_marked()

    def _show_marked(self) -> None:
        tag = self._tag()
        lines = (
            tag_lines(tag, self._here, self._origin, self.app.now())
            if tag
            else [_none_hangs(self._here), "h hangs one, i reads another log."]
        )
        lines = [*lines, "F4 writes a page of it, to hang at the point."] if tag else lines
        text = Content("\n").join(Content(shown(line)) for line in lines)
        self.query_one("#tag-lines", Static).update(text)

    def _tag(self) -> Tag | None:
        option = self.query_one(TagList).highlighted_option
        wanted = option.id if option else ""
        return next((tag for tag in self._here.open if tag.id == wanted), None)

    def _notice(self, text: str, wrong: bool = False) -> None:
        notice = self.query_one("#notice", Static)
        notice.update(Content(shown(text)))
        notice.set_class(wrong, "-wrong")

    @on(OptionList.OptionHighlighted)
    def _highlighted(self, event: OptionList.OptionHighlighted) -> None:
        self._marked = event.option.id or ""
        self._show_marked()

    @on(OptionList.OptionSelected)
    def _selected(self) -> None:
        self._do(tagging.taken_off)

    def action_relieve(self) -> None:
        """Change the shift at the marked tag: the new lock first, then the old one off."""
        self._do(tagging.relieved)

    def action_remove(self) -> None:
        """Take off the lock of somebody who is not here, by the rule for that."""
        self._do(tagging.removed)

    @work(exclusive=True, group="place")
    async def action_paper(self) -> None:
        """Write the page of the marked tag, to be cut out, beside the log folder."""
        desk, tag = self.app.desk, self._tag()
        await loaded("checklist.pages.making")
        from checklist.pages.making import page_of_tag

        if tag is None:
            self._notice("No tag is marked.")
        else:
            name, tag_id = f"tag {tag.point}", tag.id
            self.app.put_on_paper((name, lambda tell: page_of_tag(desk, desk.folder, tag_id)))

    @work
    async def action_hang(self) -> None:
        """Hang a lock and tag outside a walk."""
        if folder := self._writable():
            self._read(await tagging.hung(self.app, folder))

    @work
    async def action_read_log(self) -> None:
        """Read what another laptop's log tells of tags."""
        if folder := self._writable():
            self._read(await tagging.log_read(self.app, folder))

    @work
    async def _do(self, job: _Job) -> None:
        tag = self._tag()
        if tag is None:
            self._notice("No tag is at the mark.")
            return
        if folder := self._writable():
            self._read(await job(self.app, folder, tag))

    def _writable(self) -> LogFolder | None:
        """Return the log folder, or say why nothing can be entered in it."""
        try:
            return self.app.desk.folder
        except StandclearError as error:
            self._notice(error.sentence(), wrong=True)
            return None


def _none_hangs(here: TagsHere) -> str:
    return (
        "Whether a tag hangs cannot be told: not all of the logs can be read."
        if here.problems
        else "No tag hangs by the logs that are here."
    )
