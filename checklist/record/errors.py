"""What can go wrong with the record, each as one sentence for a person."""

from __future__ import annotations

from checklist.errors import StandclearError


class RecordError(StandclearError):
    """Something about the kept record is not as it must be."""


class NotSaved(RecordError):
    """The last thing written is not known to be on disk; nothing may be shown as saved."""


class Damaged(RecordError):
    """A kept file is not what was written, and the program will not guess what it was."""


class LaterForm(Damaged):
    """A kept file is in a later version of its form than this program reads."""


class FolderRefused(RecordError):
    """A log folder, or a file in it, cannot be trusted or used."""


class HeldElsewhere(RecordError):
    """Another program holds the lock that is needed."""


class WrongPassphrase(RecordError):
    """The passphrase does not open the key."""


class KeyRefused(RecordError):
    """A key, or what was asked for it, is not acceptable."""


class EntryRefused(RecordError):
    """A ledger entry cannot be written as asked."""


class TooLarge(RecordError):
    """A file is larger than the program reads."""
