"""The numbers with which the program ends, so that a script can tell what happened."""

from __future__ import annotations

FINE = 0
"""Done, and nothing that was checked is wrong."""

WRONG = 1
"""Checked, and something is wrong: over a limit, a record that fails, errors in a rule file."""

REFUSED = 2
"""The command or its input cannot be used as given; the sentence on stderr says why."""

NOT_SHOWN = 3
"""Checked, and it cannot be told: an unknown input, a signer whom nobody vouches for."""

FAULT = 4
"""The program itself failed; the sentence on stderr names the file that says how."""

WARNED = 5
"""Checked; nothing fails and nothing is untold, but something wants a look."""

INTERRUPTED = 130
"""Ended by the interrupt key: 128 and the number of the signal, as shells have it."""

CUT_OFF = 141
"""The reader of the output went away: 128 and the number of the signal, as shells have it."""

MEANINGS = {
    FINE: "done, and nothing that was checked is wrong",
    WRONG: "checked, and something is wrong: over, a record that fails, errors in a rule file",
    REFUSED: "the command or its input cannot be used as given",
    NOT_SHOWN: "checked, and it is not shown or cannot be told; never a permission",
    FAULT: "the program itself failed; the message names the file that says how",
    WARNED: "checked; nothing fails, but something wants a look",
    INTERRUPTED: "interrupted",
    CUT_OFF: "the reader of the output went away",
}
"""Every number with its meaning, as --help prints them."""
