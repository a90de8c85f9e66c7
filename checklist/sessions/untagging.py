"""A tag comes off: by the person who hung it, after a count of the locks at the point."""

from __future__ import annotations

from typing import TYPE_CHECKING

from checklist.errors import StandclearError
from checklist.record.matching import name_key
from checklist.sessions.tags import TAKEN_OFF, OpenTag

if TYPE_CHECKING:
    from checklist.record.folder import LogFolder
    from checklist.record.ledger import Recorded
    from checklist.record.seal import Signing


def take_off(folder: LogFolder, tag: OpenTag, signer: Signing, locks_left: str) -> Recorded:
    """Enter that `tag` is off, signed by the person who hung it.

    `locks_left` is the count of other locks that still hang at the point, as read there;
    the point stays closed while there are any. Raises StandclearError for anybody else's
    signature: 29 CFR 1910.147(e)(3) lets each person remove their own device.
    """
    from checklist.record.entries import Draft
    from checklist.record.ledger import Ledger

    if signer.key is None or name_key(signer.person) != name_key(tag.person):
        raise StandclearError(
            f"this lock was hung by {tag.person}",
            where=tag.point,
            right=f"Only {tag.person} takes it off; until then it stays.",
        )
    if not locks_left.isascii() or not locks_left.isdigit():
        raise StandclearError(
            f"“{locks_left}” is not a count", where="locks left", right="Count them: 0, 1, 2 ..."
        )
    draft = Draft(
        TAKEN_OFF,
        session=tag.session_id,
        signers=(signer.as_signer(),),
        fields=(("point", tag.point), ("lock", tag.lock), ("locks-left", str(int(locks_left)))),
    )
    return Ledger(folder).append(draft, [signer.key])
