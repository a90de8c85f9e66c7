"""How long a result holds, read from the rule file as it was kept for the session."""

from __future__ import annotations

from datetime import datetime, timedelta

from checklist.errors import StandclearError
from checklist.quantities import parse_quantity
from checklist.record.files import kept
from checklist.record.files.folder import LogFolder
from checklist.record.journals.states import SessionState
from checklist.rulefile import Verdict

_LASTING = frozenset(map(str, (Verdict.NO_STOP, Verdict.CAUTIONS)))

_CLOCK_SLACK = timedelta(minutes=2)
"""By so much an entry may be ahead of the clock without remark, as in a walk."""


class Validity:
    """Looks up the life of results in one log folder; each kept rule file is read once."""

    def __init__(self, folder: LogFolder) -> None:
        self._folder = folder
        self._now = folder.clock.now()
        self._known: dict[str, timedelta | None] = {}

    def until(self, state: SessionState) -> datetime | None:
        """Return when a session's result expires, counted from its entry in the ledger.

        None for a session without such a result, where the rule file cannot be read, and
        where the entry is dated ahead of the clock: one of the two was wrong then.
        """
        ending = state.ending
        if ending is None or ending.entry.rule is None:
            return None
        if ending.entry.verdict not in _LASTING:
            return None
        if ending.entry.at - self._now > _CLOCK_SLACK:
            return None
        life = self._life(ending.entry.rule.sha256)
        return ending.entry.at + life if life is not None else None

    def _life(self, sha256: str) -> timedelta | None:
        if sha256 not in self._known:
            self._known[sha256] = self._read(sha256)
        return self._known[sha256]

    def _read(self, sha256: str) -> timedelta | None:
        """Read `valid` alone: a rule file of another version of the format still has it."""
        from checklist.strictyaml import read_yaml  # late: an empty log needs none of it

        try:
            text = kept.read(self._folder, "rules", sha256).decode("utf-8")
            data = read_yaml(text, "rule file").data
            valid = data.get("valid") if isinstance(data, dict) else None
            seconds = float(parse_quantity(str(valid), "time").si)
            return timedelta(seconds=seconds) if seconds > 0 else None
        except (StandclearError, UnicodeDecodeError, OverflowError):
            return None
