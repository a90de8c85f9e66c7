"""What is done in the station editor: add, go on with, change, rename and take out.

Each returns what came of it in whole sentences, or an empty text where somebody went back.
"""

from __future__ import annotations

import asyncio

from checklist.errors import StandclearError
from checklist.screens.asking import AskYes
from checklist.screens.askuntil import until_it_holds
from checklist.screens.stations.stationdraft import Draft
from checklist.screens.stations.stationform import Values
from checklist.screens.stations.stationpages import Pages
from checklist.sessions.entryrows import Row
from checklist.station import editing
from checklist.station.asked import Asked, asked_for, data_of, row_for, typed_in, typed_of, value_of
from checklist.station.outline import Line
from checklist.station.placed import key_at, shape_at
from checklist.station.records import ByName, Entry, Kinds
from checklist.station.shapes import Matching, Shape
from checklist.station.unfinished import Unfinished
from checklist.strictyaml import Path

_NAME = Asked(
    "name", "name", "a word of your own by which the file and other entries call it",
    Matching(r"[a-z][a-z0-9]*(-[a-z0-9]+)*", "small letters, digits and -, as dipole-40"),
    is_optional=False,
)  # fmt: skip


class Paths(Pages):
    """The paths over one sitting: each asks for what it needs, and edits the file."""

    async def added(self, section: Path) -> str:
        """Ask for one more entry of a section, only for what is needed."""
        entry = self._entry_of(section)
        typed: Values = {}
        if isinstance(entry, Kinds):
            kind = await self._kind_chosen(entry, f"What is added to the {section[-1]}?")
            if not kind:
                return ""
            typed["kind"] = kind
        return await self._finished(Unfinished(section, "", typed), None)

    async def gone_on(self, begun: Unfinished) -> str:
        """Go on with an entry that is not finished."""
        return await self._finished(begun, begun)

    async def changed(self, path: Path) -> str:
        """Change what stands at a path, or give it where nothing does."""
        data = self._sitting.data
        if path[-1] == "kind":
            return await self._other_kind(path[:-1])
        shape, held = shape_at(path, data), _held(data, path)
        if isinstance(shape, Entry | Kinds):
            return await self._whole(path, shape, typed_of(shape, held) if held else {})
        key = key_at(path, data)
        if key is None:
            return ""
        rows = row_for(str(path[-1]), key.means, key.shape, is_optional=False)
        typed = {row.name: typed_in(row, held) for row in rows if held is not None}

        def attempt(values: Values) -> str:
            (row,) = rows
            new = value_of(row, values.get(row.name, ""))
            self._sitting.edit(
                lambda text: editing.set_value(text, path, new, self._sitting.known), _said(path)
            )
            return f"Saved: {_said(path)}."

        return await self._until_saved(_said(path), rows, typed, attempt)

    async def renamed(self, path: Path) -> str:
        """Give an entry another name, wherever it is referred to."""
        count = len(editing.references(self._sitting.text, path))
        says = [f"{count} references follow." if count else "Nothing refers to it."]

        def attempt(values: dict[str, str]) -> str:
            new = values["name"].strip()
            self._sitting.edit(
                lambda text: editing.rename(text, path, new, self._sitting.known),
                f"{_said(path)} renamed",
            )
            self._sitting.rename_in_unfinished(str(path[-2]), str(path[-1]), new)
            return f"Saved: {path[-1]} is now {new}."

        row = Row("name", "new name", "dipole-40", str(path[-1]))
        title = f"Rename {_said(path)}"
        return await until_it_holds(self._app, title, says, [row], attempt) or ""

    async def removed(self, line: Line) -> str:
        """Take out an entry, or a key that may be left out; undo brings it back."""
        if line.unfinished is not None:
            begun = line.unfinished
            says = ["What was typed for it is lost; undo does not bring it back."]
            if not await self._app.push_screen_wait(AskYes(f"Give {begun.called} up?", says)):
                return ""
            await asyncio.to_thread(self._sitting.drop_unfinished, begun)
            return f"Given up: {begun.called}."
        path = line.path

        def attempt() -> None:
            self._sitting.edit(
                lambda text: editing.remove(text, path, self._sitting.known),
                f"{_said(path)} taken out",
            )

        await asyncio.to_thread(attempt)
        return f"Saved: {_said(path)} is taken out. u brings it back."

    async def _finished(self, begun: Unfinished, kept: Unfinished | None) -> str:
        """Ask for an entry until it stands in the file; what is left stays unfinished."""
        draft = Draft(self._sitting, begun, kept, self._one_by_one)
        section, entry = begun.section, self._entry_of(begun.section)
        kind = str(begun.typed.get("kind", ""))
        title = f"One more of the {section[-1]}{f', {kind}' if kind else ''}"

        def attempt(values: Values) -> str:
            name = str(values.get("name", "")).strip()
            data = data_of(entry, values)
            self._sitting.edit(
                lambda text: editing.add_entry(text, section, name, data, self._sitting.known),
                f"{section[-1]} {name} added",
            )
            draft.finish()
            return f"Saved: {name} stands in the {section[-1]}. Enter on it adds what is optional."

        typed = {**begun.typed, **({"name": begun.name} if begun.name else {})}
        said = await self._in_pages(
            title,
            lambda held, every: [_NAME, *_without_kind(entry, held, every=every)],
            typed, attempt, draft.keep,
        )  # fmt: skip
        await draft.settled()
        return said or (f"Kept as unfinished: {draft.called}." if draft.is_kept else "")

    async def _whole(self, path: Path, shape: Shape, typed: Values) -> str:
        """Ask for a whole inner entry, such as the training or the time on the air."""

        def attempt(values: Values) -> str:
            data = data_of(shape, values)
            self._sitting.edit(
                lambda text: editing.set_value(text, path, data, self._sitting.known), _said(path)
            )
            return f"Saved: {_said(path)}."

        return await self._in_pages(
            _said(path), lambda held, every: asked_for(shape, held, every=every), typed, attempt
        )

    async def _other_kind(self, path: Path) -> str:
        data = self._sitting.data
        shape, held = shape_at(path, data), _held(data, path)
        if not isinstance(shape, Kinds):
            return ""
        kind = await self._kind_chosen(shape, f"{_said(path)}: of another kind")
        if not kind:
            return ""
        return await self._whole(path, shape, {**typed_of(shape, held), "kind": kind})

    def _entry_of(self, section: Path) -> Entry | Kinds:
        shape = shape_at(section, self._sitting.data)
        if not isinstance(shape, ByName):
            raise StandclearError("no entries stand here")
        return shape.entry


def _without_kind(entry: Entry | Kinds, typed: Values, *, every: bool) -> list[Asked]:
    rows = asked_for(entry, typed, every=every)
    return [row for row in rows if row.name != "kind" or not typed.get("kind")]


def _held(data: object, path: Path) -> object:
    for step in path:
        data = data.get(step) if isinstance(data, dict) else None
    return data


def _said(path: Path) -> str:
    return " ".join(str(step) for step in path)
