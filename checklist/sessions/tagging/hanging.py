"""A lock and tag are hung: in a walk, where nearly everything is known, or outside one.

The entry that hangs a tag needs no signature: it can only keep people away, the next signed
entry binds it, and nothing but signatures takes it off.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from checklist.errors import StandclearError
from checklist.names import lock_number
from checklist.plaintext import accept, says_something
from checklist.quantities import parse_quantity
from checklist.record.files.folder import LogFolder, new_session_id
from checklist.record.ledgers.entries import Draft
from checklist.record.ledgers.ledger import LOCK, Ledger, Recorded
from checklist.record.ledgers.otherlogs import other_tags
from checklist.record.ledgers.tags import HUNG, Tag, Tags, hung_fields, tag_of, tags_of
from checklist.record.lookup.matching import name_key
from checklist.record.lookup.registers import IsolationPoint, Person, Registers
from checklist.rulefile import Role
from checklist.sessions.past.ledgerview import view_ledger
from checklist.sessions.tagging.tags import KnownTags, due_tags, named_in
from checklist.walk.answers import Present
from checklist.walk.events import Answered, Event

LONGEST = 80
"""Characters of a point, a lock number or a name."""


@dataclass(frozen=True, slots=True)
class Hanging:
    """A lock and tag to be hung outside a walk, as typed."""

    point: str
    lock: str
    person: str
    why: str
    until: str
    """A time of day, a day and time, or how long: `18:00`, `2026-11-25 18:00`, `8 h`."""

    reach: str = ""
    """Empty: as the register of people knows it."""

    locks: str = ""
    """Locks at the point, this one included, as counted there."""


def hang(folder: LogFolder, wanted: Hanging, *, relieves: str = "") -> Tag:
    """Enter that a lock and tag hang, and return the tag as it stands in the ledger.

    `relieves` is the id of the tag that this one stands in for at a change of shift. Raises
    StandclearError for what is missing, or where this lock hangs already; NotSaved.
    """
    registers = Registers.open(folder)
    reach = wanted.reach or reach_of(registers, wanted.person)
    now = folder.clock.now()
    tag = Tag(
        "",
        new_session_id(folder.chance),
        _needed(wanted.point, "isolation point", "Type the id marked at the point."),
        lock_number(_needed(wanted.lock, "lock", "Type the number on the lock.")),
        _needed(wanted.person, "who hangs it", "Type the name on the tag."),
        now,
        _needed(wanted.why, "why", "Say what the work is.", longest=200),
        read_until(wanted.until, now),
        accept(reach, field="how to reach them", longest=200),
        locks=read_count(wanted.locks, "locks at the point") if wanted.locks else "",
    )
    with folder.lock(LOCK):
        known = known_tags(folder)
        _refuse_hanging(tag, known)
        entered = _enter(folder, tag, known, relieves)
    _remember(registers, entered)
    return entered


def enter_due(
    folder: LogFolder,
    session_id: str,
    title: str,
    answers: Iterable[Answered],
    lasts: timedelta | None = None,
) -> tuple[Tag, ...]:
    """Enter every tag that a walk's answers name and that no entry hangs yet; return those.

    Done again after a crash it enters what is missing and nothing twice. `lasts` is how
    long the walk's result counts, and so the expected end. Raises NotSaved.
    """
    registers = Registers.open(folder)
    entered: list[Tag] = []
    with folder.lock(LOCK):
        known = known_tags(folder)
        for tag in due_tags(session_id, title, named_in(answers), KnownTags(known.all)):
            whole = replace(
                tag,
                until=tag.since + lasts if lasts else None,
                reach=reach_of(registers, tag.person),
            )
            entered.append(_enter(folder, whole, known))
            known = Tags((*known.all, entered[-1]))
    return tuple(entered)


def known_tags(folder: LogFolder) -> Tags:
    """Return every tag that the own ledger and the logs read here tell of."""
    return tags_of((*view_ledger(folder).entries, *other_tags(folder).entries))


def enter(folder: LogFolder, tag: Tag) -> Tag:
    """Enter a tag that a walk named and no entry hangs; the caller holds the ledger's lock."""
    return _enter(folder, tag, known_tags(folder))


def applier_of(events: Sequence[Event]) -> str:
    """Return who most likely hangs the locks of a walk: its worker, else whoever is in charge."""
    return _last_as((Role.WORKER, Role.IN_CHARGE), events)


def in_charge_of(events: Sequence[Event]) -> str:
    """Return who is in charge of a walk, else its worker; empty while neither is named."""
    return _last_as((Role.IN_CHARGE, Role.WORKER), events)


def crew_of(events: Sequence[Event]) -> tuple[str, ...]:
    """Return who was named in a walk, by the newest answer to each step."""
    newest = {e.step: e.answer for e in events if isinstance(e, Answered)}
    present = (answer for answer in newest.values() if isinstance(answer, Present))
    return tuple(dict.fromkeys(p.name for answer in present for p in answer.people))


def _last_as(roles: Sequence[Role], events: Sequence[Event]) -> str:
    present = [
        person
        for event in events
        if isinstance(event, Answered) and isinstance(event.answer, Present)
        for person in event.answer.people
    ]
    for role in roles:
        for person in reversed(present):
            if person.role is role:
                return person.name
    return ""


def reach_of(registers: Registers, person: str) -> str:
    """Return how a person is reached, as the register knows it; empty where it does not."""
    try:
        known = registers.person(person)
    except StandclearError:  # a register saves typing and must not stand in the way
        return ""
    return known.reach if known else ""


def read_until(text: str, now: datetime) -> datetime:
    """Return the time that `18:00`, `2026-11-25 18:00` or `8 h` means, read at `now`.

    A time of day that is past means tomorrow. Raises StandclearError for anything else,
    and for a time that is not ahead.
    """
    clean = accept(text, field="expected end", longest=LONGEST)
    until = _clock_time(clean, now) or _day_and_time(clean, now) or _from_now(clean, now)
    if until <= now:
        raise StandclearError(
            f"“{clean}” is past", where="expected end", right=f"It is {now:%Y-%m-%d %H:%M} now."
        )
    return until.replace(microsecond=0)


def read_count(text: str, field: str) -> str:
    """Return a count of locks as plain digits; raises StandclearError for anything else."""
    clean = text.strip()
    if not clean.isascii() or not clean.isdigit() or len(clean) > 3:
        raise StandclearError(
            f"“{clean}” is not a count", where=field, right="Count them: 0, 1, 2 ..."
        )
    return str(int(clean))


def _clock_time(text: str, now: datetime) -> datetime | None:
    try:
        hour = datetime.strptime(text, "%H:%M").time()  # noqa: DTZ007 - the zone is that of now
    except ValueError:
        return None
    until = now.replace(hour=hour.hour, minute=hour.minute, second=0, microsecond=0)
    return until if until > now else until + timedelta(days=1)


def _day_and_time(text: str, now: datetime) -> datetime | None:
    if len(text) < len("2026-11-25"):
        return None
    try:
        until = datetime.fromisoformat(text)
    except ValueError:
        return None
    return until if until.tzinfo else until.replace(tzinfo=now.tzinfo)


def _from_now(text: str, now: datetime) -> datetime:
    try:
        lasts = parse_quantity(text, "time")
        return now + timedelta(seconds=float(lasts.si))
    except (StandclearError, OverflowError):
        raise StandclearError(
            f"“{text}” is not a time",
            where="expected end",
            right="Write it as 18:00, 2026-11-25 18:00 or 8 h.",
        ) from None


def _refuse_hanging(tag: Tag, known: Tags) -> None:
    for other in known.open:
        if name_key(other.lock) != name_key(tag.lock):
            continue
        same_person = name_key(other.person) == name_key(tag.person)
        if name_key(other.point) == name_key(tag.point) or same_person:
            raise StandclearError(
                f"lock {other.lock} of {other.person} hangs at {other.point} since "
                f"{other.since:%d %b %H:%M}",
                right="Each person hangs a lock of their own; a lock hangs at one place.",
            )


def _enter(folder: LogFolder, tag: Tag, known: Tags, relieves: str = "") -> Tag:
    locks = tag.locks or str(len(known.at(tag.point)) + 1)
    draft = Draft(
        HUNG, session=tag.session or None, fields=hung_fields(replace(tag, locks=locks), relieves)
    )
    recorded = Ledger(folder).append_held(draft)
    return _as_entered(recorded, tag)


def _as_entered(recorded: Recorded, tag: Tag) -> Tag:
    found = tag_of(recorded.entry)
    return found if found is not None else tag


def _remember(registers: Registers, tag: Tag) -> None:
    try:
        registers.remember_isolation_point(IsolationPoint(tag.point))
        registers.remember_person(Person(tag.person, reach=tag.reach))
    except StandclearError:  # the entry is on disk; the register only saves typing
        return


def _needed(text: str, field: str, right: str, longest: int = LONGEST) -> str:
    clean = accept(text, field=field, longest=longest)
    if not says_something(clean):
        raise StandclearError("nothing was typed", where=field, right=right)
    return clean
