"""What takes a tag off, and what does not: the applier, or 29 CFR 1910.147(e)(3) in full."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from checklist.record.errors import EntryRefused
from checklist.record.ledgers.entries import Draft, Signer
from checklist.record.ledgers.ledger import Ledger, Recorded
from checklist.record.ledgers.tags import (
    EXCEPTION,
    HUNG,
    TAKEN_OFF,
    Tag,
    flaw_of_removal,
    hung_fields,
    tag_of,
    tags_of,
)
from tests.record.making import HandClock, open_folder, person

if TYPE_CHECKING:
    from pathlib import Path

    from checklist.record.files.folder import LogFolder

WREN, ODD = "Wren Holloway", "Zoë [/b] O’Hara <x> & Söhne"
FACTS = {
    "absent": "gate book: left at 18:10; not on site, walked twice",
    "contact": "called three times, 18:20 to 18:50; wife told",
    "told": "Tamsin Reed calls before the breaker is closed",
}
"""All three facts of the exception, as a person would put them."""

PARAGRAPH = {
    "absent": "29 CFR 1910.147(e)(3)(i)",
    "contact": "29 CFR 1910.147(e)(3)(ii)",
    "told": "29 CFR 1910.147(e)(3)(iii)",
}
"""Which paragraph asks for which fact; read in a copy."""


def hung(folder: LogFolder, *, name: str = WREN, lock: str = "5", number: int = 1) -> Tag:
    now = HandClock().now()
    tag = Tag("", f"{number:032x}", "breaker 14", lock, name, now, "rotator", reach="channel 7")
    found = tag_of(Ledger(folder).append(Draft(HUNG, fields=hung_fields(tag))).entry)

    assert found is not None

    return found


def off(
    folder: LogFolder, tag: Tag, signers: dict[str, str], facts: dict[str, str] | None = None
) -> Recorded:
    """Enter that a tag is off, past everything that refuses to: an entry as a stranger's file."""
    keys = {name: person(folder, name) for name in signers}
    here = tuple(Signer(n, role, keys[n].public, is_here=True) for n, role in signers.items())
    fields = {"tag": tag.id, "hung-in": tag.origin, "point": tag.point, "lock": tag.lock}
    fields |= {"locks-left": "0"} | (facts or {})
    draft = Draft(TAKEN_OFF, signers=here, fields=tuple(fields.items()))
    return Ledger(folder).append(draft, list(keys.values()))


def test_applier_takes_the_tag_off(tmp_path: Path) -> None:
    """A signed entry by the person who hung it ends a tag, and no other tag."""
    folder = open_folder(tmp_path)
    first, second = hung(folder), hung(folder, lock="6", number=2)
    off(folder, first, {WREN: "worker"})

    assert tags_of(Ledger(folder).entries()).open == (second,)


def test_a_signature_that_cannot_be_read_takes_no_tag_off(tmp_path: Path) -> None:
    """Damaged bytes of an entry sign nothing, whatever its text says of the signers."""
    folder = open_folder(tmp_path)
    tag = hung(folder)
    recorded = off(folder, tag, {WREN: "worker"})

    assert flaw_of_removal(recorded, tag) == ""
    assert flaw_of_removal(replace(recorded, data=b"no note"), tag)


@pytest.mark.parametrize("lacking", ["tag", "point", "lock", "person"])
def test_what_lacks_its_name_is_no_tag(tmp_path: Path, lacking: str) -> None:
    """A tag is known by four texts; of a tag that says nothing of locks none is made up."""
    folder = open_folder(tmp_path)
    tag = hung(folder)
    entry = Ledger(folder).entries()[0].entry
    fields = tuple((name, text) for name, text in entry.fields if name != lacking)

    assert tag.locks == ""
    assert tag_of(replace(entry, fields=fields)) is None


def test_name_in_another_spelling_is_the_applier(tmp_path: Path) -> None:
    """Case and blanks in the name make no difference to who hung it."""
    folder = open_folder(tmp_path)
    off(folder, hung(folder), {"WREN  HOLLOWAY": "worker"})

    assert tags_of(Ledger(folder).entries()).open == ()


def test_somebody_else_takes_nothing_off(tmp_path: Path) -> None:
    """Another person's signature alone leaves the tag open and is said to be wrong."""
    folder = open_folder(tmp_path)
    tag = hung(folder)
    off(folder, tag, {"Tamsin Reed": "in charge"})
    found = tags_of(Ledger(folder).entries())

    assert found.open == (tag,)
    assert "The tag stays open." in found.wrong[0]


def test_exception_in_full_takes_the_tag_off(tmp_path: Path) -> None:
    """All three facts and two signatures, one by whoever is in charge, end a tag."""
    folder = open_folder(tmp_path)
    off(folder, hung(folder), {"Tamsin Reed": "worker", "Orrin Vale": "in charge"}, FACTS)

    assert tags_of(Ledger(folder).entries()).open == ()


@pytest.mark.parametrize("missing", EXCEPTION, ids=PARAGRAPH.get)
def test_exception_needs_each_fact(tmp_path: Path, missing: str) -> None:
    """With any one of the three facts missing the tag stays open."""
    folder = open_folder(tmp_path)
    tag = hung(folder)
    facts = {name: text for name, text in FACTS.items() if name != missing}
    off(folder, tag, {"Tamsin Reed": "worker", "Orrin Vale": "safety officer"}, facts)

    assert tags_of(Ledger(folder).entries()).open == (tag,)


@pytest.mark.parametrize(
    "signers",
    [
        {"Orrin Vale": "in charge"},
        {"Tamsin Reed": "worker", "Orrin Vale": "helper"},
        {"Orrin Vale": "in charge", "ORRIN VALE": "worker"},
    ],
    ids=["one alone", "nobody in charge", "one person twice"],
)
def test_exception_needs_a_second_person_who_answers_for_it(
    tmp_path: Path, signers: dict[str, str]
) -> None:
    """The facts alone do not do: two different people sign, one in charge or safety officer."""
    folder = open_folder(tmp_path)
    tag = hung(folder)
    off(folder, tag, signers, FACTS)

    assert tags_of(Ledger(folder).entries()).open == (tag,)


def test_signature_that_does_not_hold_takes_nothing_off(tmp_path: Path) -> None:
    """An entry that names the applier with a signature that fails leaves the tag open."""
    folder = open_folder(tmp_path)
    tag = hung(folder)
    real = off(folder, tag, {WREN: "worker"})
    forged = replace(real, data=real.data.replace(b"breaker 14", b"breaker 15"))

    assert tags_of([*Ledger(folder).entries()[:-1], forged]).open == (tag,)


def test_tag_is_known_by_folder_and_id(tmp_path: Path) -> None:
    """The same id in another folder is another tag; taking one off leaves the other."""
    here, there = open_folder(tmp_path / "a"), open_folder(tmp_path / "b")
    mine, other = hung(here), hung(there)
    off(here, mine, {WREN: "worker"})
    entries = (*Ledger(here).entries(), *Ledger(there).entries())

    assert tags_of(entries).open == (other,)


def test_odd_names_are_text(tmp_path: Path) -> None:
    """Markup, quotes and accents in a name come back as they were typed, and sign."""
    folder = open_folder(tmp_path)
    tag = hung(folder, name=ODD)

    assert tags_of(Ledger(folder).entries()).open[0].person == ODD

    off(folder, tag, {ODD: "worker"})

    assert tags_of(Ledger(folder).entries()).open == ()


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        (HUNG, (("tag", "0" * 32), ("point", "breaker 14"), ("lock", "5"))),
        (HUNG, ()),
        (TAKEN_OFF, (("tag", "0" * 32),)),
    ],
)
def test_entry_that_names_no_whole_tag_is_refused(
    tmp_path: Path, kind: str, fields: tuple[tuple[str, str], ...]
) -> None:
    """An entry about a tag must say which, where and whose, and a taking off must be signed."""
    with pytest.raises(EntryRefused):
        Ledger(open_folder(tmp_path)).append(Draft(kind, fields=fields))


def test_a_tag_reads_back_as_it_was_hung(tmp_path: Path) -> None:
    """Every part of a tag stands in its entry and comes back, those that may be left out too."""
    folder = open_folder(tmp_path)
    now = HandClock().now()
    whole = Tag(
        folder.origin, "1" * 32, "breaker 14", "5", WREN, now, "rotator",
        now + timedelta(hours=2), "channel 7", "2" * 32, "3",
    )  # fmt: skip
    bare = replace(whole, id="4" * 32, why="", until=None, reach="", locks="")
    for tag in (whole, bare):
        draft = Draft(HUNG, tag.session, fields=hung_fields(tag, "6" * 32))
        recorded = Ledger(folder).append(draft)

        assert tag_of(recorded.entry) == replace(tag, since=recorded.entry.at)
        assert recorded.entry.field("relieves") == "6" * 32
