"""The last stand before the terminal: whatever goes wrong ends as one sentence and a number."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from checklist import __version__
from checklist.commands.exits import CUT_OFF, FAULT, INTERRUPTED, REFUSED
from checklist.commands.output import ReaderGone, print_error
from checklist.errors import StandclearError


def guarded(run: Callable[[], int], quarantine: Callable[[], Path]) -> int:
    """Return what `run` returns, or the number for what it raised, its sentence on stderr.

    The traceback of an unexpected error goes to a file in the folder that `quarantine`
    gives, or into the system's folder for temporary files where there is none.
    """
    try:
        return run()
    except StandclearError as error:
        print_error(error.sentence())
        return REFUSED
    except ReaderGone:
        return CUT_OFF
    except KeyboardInterrupt:
        print_error("interrupted.")
        return INTERRUPTED
    except Exception as error:  # noqa: BLE001 - whatever it is, nobody gets a traceback
        return report_fault(error, quarantine)


def report_fault(error: BaseException, quarantine: Callable[[], Path]) -> int:
    """Say in one sentence that the program failed, and where its traceback is kept."""
    import traceback  # late: hardly ever needed

    text = f"standclear {__version__}, Python {sys.version}\n\n"
    text += "".join(traceback.format_exception(error))
    kept = _keep(text, quarantine)
    where = f"How is kept in {kept}." if kept else "How could not be kept anywhere."
    print_error(
        f"the program itself failed ({type(error).__name__}); rely on nothing that it printed. "
        f"{where}"
    )
    return FAULT


def _keep(text: str, quarantine: Callable[[], Path]) -> str:
    import tempfile  # late: hardly ever needed

    for folder in (quarantine, lambda: Path(tempfile.gettempdir())):
        # The folder may be the very thing that failed, in whatever way.
        with suppress(Exception):
            handle, name = tempfile.mkstemp(prefix="fault-", suffix=".txt", dir=folder())
            with os.fdopen(handle, "w", encoding="utf-8", errors="backslashreplace") as file:
                file.write(text)
            return name
    return ""
