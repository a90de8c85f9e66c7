"""What to do where copies of one ledger do not agree: said beside the finding, in plain words."""

from __future__ import annotations

WHAT_TO_DO = "What to do:"
"""Stands before the next step in each of these; the notes themselves are shown above it."""

TWO_HISTORIES = (
    "An old copy was put back, or two people went on from one copy; no check can say which is "
    "true. What to do: change neither, ask who worked from which, go on with one, and write into "
    "the paper log what was done in the other."
)
"""Beside two ledgers that part at one entry."""

ENDS_EARLY = (
    "It was cut off, it was rolled back, or this is an old copy: the three look alike. What to "
    "do: ask the station for its newest folder and audit that. If there is no other, the entries "
    "that were seen are kept in {kept}; write into the paper log what is lost."
)
"""Beside a ledger that lacks entries which were seen; `kept` is where they are."""

OLD_COPY = (
    "The shorter one is an older copy and contradicts nothing. What to do: see that people go on "
    "in the longer one alone, and audit only that."
)
SAME_COPY = (
    "They hold the same. What to do: see that people go on in one of them alone, or they will "
    "become two histories."
)
"""Beside two copies that agree as far as both go."""

HANDED_IN_OLD = (
    "An old copy shows no change of anything. What to do: ask who handed it in, and see that the "
    "station goes on in its own newest folder."
)
HANDED_IN_OTHER = (
    "This stays a finding of every audit of this ledger: nothing can make it unseen. What to do: "
    "compare the two notes, ask who worked from which folder, and write what came out into the "
    "paper log; your countersignature of this audit then keeps that you have seen it."
)
"""Beside what was once handed in for a receipt and got none."""
