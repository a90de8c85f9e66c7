"""A tag comes off: by the person who hung it, or by another where the rule for that is met."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from checklist.errors import StandclearError
from checklist.plaintext import accept, says_something
from checklist.record.errors import EntryRefused
from checklist.record.ledgers.entries import Draft
from checklist.record.ledgers.ledger import LOCK, Ledger, Recorded
from checklist.record.ledgers.tags import EXCEPTION, TAKEN_OFF, Tag, Tags, flaw_of_draft
from checklist.record.lookup.matching import name_key
from checklist.sessions.tagging.hanging import enter, known_tags, read_count

if TYPE_CHECKING:
    from checklist.record.files.folder import LogFolder
    from checklist.record.journals.seal import Signing


def take_off(
    folder: LogFolder, tag: Tag, signer: Signing, locks_left: str, *, relieved_by: str = ""
) -> Recorded:
    """Enter that `tag` is off, signed by the person who hung it.

    `locks_left` is the count of other locks that still hang at the point, as read there;
    the point stays closed while there are any. `relieved_by` is the id of the lock that
    stands in for this one at a change of shift: it must hang at the same point. Raises
    StandclearError for anybody else's signature: 29 CFR 1910.147(e)(3) lets each person
    remove their own device.
    """
    if signer.key is None or name_key(signer.person) != name_key(tag.person):
        raise StandclearError(
            f"this lock was hung by {tag.person}",
            where=tag.point,
            right=f"Only {tag.person} takes it off; until then it stays.",
        )
    more = (("relieved-by", relieved_by),) if relieved_by else ()
    return _enter_off(folder, tag, [signer], locks_left, more)


def take_off_for_another(
    folder: LogFolder,
    tag: Tag,
    signers: Sequence[Signing],
    facts: Mapping[str, str],
    locks_left: str,
) -> Recorded:
    """Enter that somebody else took `tag` off, by the exception of 29 CFR 1910.147(e)(3).

    `facts` holds the three of `record.tags.EXCEPTION`, in words. `signers` are the person
    who takes it off and, second, whoever is in charge or the safety officer. Raises
    StandclearError while a fact or a signature is missing: the tag then stays open.
    """
    said = []
    for name, means in EXCEPTION.items():
        text = accept(facts.get(name, ""), field=means, longest=400)
        if not says_something(text):
            raise StandclearError(
                f"it is not said {means}",
                where=tag.point,
                right="Without all three facts nobody takes another person's lock off.",
            )
        said.append((name, text))
    if any(name_key(signer.person) == name_key(tag.person) for signer in signers):
        raise StandclearError(f"{tag.person} is here", right=f"Then {tag.person} takes it off.")
    return _enter_off(folder, tag, signers, locks_left, said)


def _enter_off(
    folder: LogFolder,
    tag: Tag,
    signers: Sequence[Signing],
    locks_left: str,
    more: Sequence[tuple[str, str]],
) -> Recorded:
    left = read_count(locks_left, "locks left")
    keys = [signer.key for signer in signers if signer.key is not None]
    with folder.lock(LOCK):
        known = known_tags(folder)
        tag = _still_open(folder, tag, known)
        others = [other for other in known.at(tag.point) if other.id != tag.id]
        _require_relief(dict(more).get("relieved-by", ""), others, left)
        draft = Draft(
            TAKEN_OFF,
            session=tag.session or None,
            signers=tuple(signer.as_signer() for signer in signers),
            fields=(
                ("tag", tag.id),
                ("hung-in", tag.origin),
                ("point", tag.point),
                ("lock", tag.lock),
                ("person", tag.person),
                ("locks-left", left),
                ("locks-known", str(len(others))),
                *more,
            ),
        )
        if flaw := flaw_of_draft(draft, tag):
            raise EntryRefused(flaw.rstrip("."), where=tag.point, right="Until then it stays.")
        return Ledger(folder).append_held(draft, keys)


def _still_open(folder: LogFolder, tag: Tag, known: Tags) -> Tag:
    found = next(
        (t for t in known.all if t.id == tag.id and t.origin == (tag.origin or folder.origin)), None
    )
    if found is None:
        return enter(folder, tag)
    if found.off is not None:
        raise EntryRefused(
            f"lock {tag.lock} at {tag.point} is off since {found.off:%d %b %H:%M}",
            right="Nothing is left to do.",
        )
    return found


def _require_relief(relieved_by: str, others: Sequence[Tag], left: str) -> None:
    if not relieved_by:
        return
    if not any(other.id == relieved_by for other in others):
        raise EntryRefused(
            "the lock of the person who comes on does not hang at this point",
            right="It is hung first, so that there is no gap.",
        )
    if left == "0":
        raise EntryRefused(
            "no lock was counted at the point, and one must hang there now",
            right="Look whether the lock of the person who comes on is on, and count again.",
        )


def after_taking_off(recorded: Recorded) -> str:
    """Return what the people at the point should know once a tag is off, in whole sentences."""
    counted, known = (int(recorded.entry.field(n) or 0) for n in ("locks-left", "locks-known"))
    said = f"The tag is off: entry {recorded.entry.number}."
    if counted:
        locks = "1 other lock hangs" if counted == 1 else f"{counted} other locks hang"
        said += f" {locks} there: the point stays closed."
    if counted != known:
        said += (
            f" Counted at the point: {counted}; these logs know of {known}. The locks at the "
            "point decide: find out whose they are."
        )
    return said
