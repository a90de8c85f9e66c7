"""What only several folders together show: two histories of one ledger, and tags across laptops."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

from checklist.audit import advice
from checklist.audit.report import Evidence, Tally
from checklist.record.errors import RecordError
from checklist.record.files.folder import LogFolder
from checklist.record.ledgers.ledger import Recorded, read_note
from checklist.record.ledgers.tags import tags_of
from checklist.record.verifying.report import Outcome
from checklist.sessions.tagging.tags import AT_THE_POINT


def check_forks(folders: Sequence[tuple[LogFolder, int]], tally: Tally) -> None:
    """Hold folders of one origin against each other: one must be the beginning of the other.

    Each comes with the number of its newest entry. Where both chains hold, the same entry
    at one number means the same entries before it, so a search by halves finds the fork.
    """
    for at, (one, length) in enumerate(folders):
        for other, other_length in folders[:at]:
            if one.origin != other.origin:
                continue
            common = min(length, other_length)
            number = _first_difference(one, other, common)
            if number:
                tally.add(
                    "forks", Outcome.FAILS,
                    f"{one.path} and {other.path} are two histories of one ledger: {_same(number)}"
                    f"from entry {number} on they differ. {advice.TWO_HISTORIES}",
                    entry=number,
                    evidence=(_note(other, number), _note(one, number)),
                )  # fmt: skip
            else:
                tally.add(
                    "forks", Outcome.WARNING,
                    f"{one.path} and {other.path} are copies of one ledger, with {length} and "
                    f"{other_length} entries; up to entry {common} they are the same. "
                    f"{advice.SAME_COPY if length == other_length else advice.OLD_COPY}",
                )  # fmt: skip
    tally.hold_unless_found({"forks": "No two of these folders are histories of one ledger."})


_LOST_TAGS = "Whether more locks hang cannot be told: entries are missing or cannot be read."


def check_tags(
    entries: Iterable[Recorded],
    tally: Tally,
    folders: Mapping[str, str] = MappingProxyType({}),
    *,
    hangs_elsewhere: bool = False,
    is_partial: bool = False,
) -> None:
    """Follow every tag over all ledgers at hand: what hangs, and what was taken off wrongly.

    `hangs_elsewhere` says that a lock hangs by an entry that is in no ledger here; `folders`
    gives the path of the log folder with an origin, where its session can be read;
    `is_partial` says that an entry or a whole ledger could not be read.
    """
    whole = tags_of(entries)
    for tag in whole.open:
        tally.folder = folders.get(tag.origin, "")
        tally.add(
            "tags", Outcome.WARNING,
            f"Lock {tag.lock} of {tag.person} hangs at {tag.point} since "
            f"{tag.since:%Y-%m-%d %H:%M} by these logs. {AT_THE_POINT}",
            session=tag.session,
        )  # fmt: skip
    tally.folder = ""
    for sentence in whole.wrong:
        tally.add("tags", Outcome.FAILS, sentence)
    if is_partial:
        tally.add("tags", Outcome.CANNOT_TELL, f"{_LOST_TAGS} {AT_THE_POINT}")
    elif not hangs_elsewhere:
        tally.hold_unless_found({"tags": "By these logs every tag was taken off as it must be."})


def _first_difference(one: LogFolder, other: LogFolder, common: int) -> int:
    """Return the number of the first entry that differs, or 0."""
    if not common or _is_same(one, other, common):
        return 0
    low, high = 0, common
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if _is_same(one, other, middle) else (low, middle)
    return high


def _same(number: int) -> str:
    return f"up to entry {number - 1} they are the same, and " if number > 1 else ""


def _note(folder: LogFolder, number: int) -> Evidence:
    try:
        text = read_note(folder, f"{number:08}.note").data.decode("utf-8", "replace")
    except RecordError as problem:
        text = problem.sentence()
    return Evidence(str(folder.path), text)


def _is_same(one: LogFolder, other: LogFolder, number: int) -> bool:
    name = f"{number:08}.note"
    try:
        return read_note(one, name).sha256 == read_note(other, name).sha256
    except RecordError:
        return False
