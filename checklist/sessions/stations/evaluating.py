"""Works out, for an answer that names a station file, what the program finds about the station.

The exact bytes of the station file and of the limits are kept by their hash before the answer is
given, so that the same can be worked out again from what the record names.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from checklist.calculations.exposure.evaluate import Evaluation
from checklist.calculations.exposure.figures import figures
from checklist.calculations.exposure.limitfile import load_limits
from checklist.calculations.exposure.limits import LimitSet
from checklist.calculations.exposure.needing import needed_remedies
from checklist.calculations.exposure.onfile import OnFile, evaluation_data, evaluation_from_data
from checklist.calculations.exposure.remedies import Remedies
from checklist.calculations.fromstation import EXPOSURE, STATION_CALCULATIONS
from checklist.calculations.kinds import Finding
from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.record.files import kept, strictjson
from checklist.record.files.folder import LogFolder
from checklist.record.journals.lines import hash_of
from checklist.rulebook import Book
from checklist.sessions.library import CLUB_FOLDER, Library
from checklist.sessions.stations.stationread import station_bytes, station_in, station_path
from checklist.station.findings import finding_of, parts_of
from checklist.stopping import Tell, unheard
from checklist.walk.answers import Described, KeptFile

EVALUATION = "evaluation of exposure.json"
"""What the kept evaluation is called."""


def evaluated(
    answer: Described,
    book: Book,
    library: Library | None,
    folder: LogFolder | None,
    tell: Tell = unheard,
) -> Described:
    """Return the answer with the finding, the kept files and the fingerprints of the parts.

    Without a `folder`, in a rehearsal, nothing is kept. Raises StandclearError in one sentence
    where the file cannot be used, and NotSaved where it cannot be kept.
    """
    calculation = STATION_CALCULATIONS[answer.calculation]
    path = station_path(answer.path)
    data = station_bytes(path)
    texts = _limit_texts(library or Library()) if calculation is EXPOSURE else {}
    sets = _sets(texts, book)
    station = station_in(data, path.name, book, sets if calculation is EXPOSURE else None)
    limits = sets.get(station.law.limits)
    text = _file_of(station.law.limits, texts, book) if limits else ""
    found: list[OnFile] = []

    def keep_whole(evaluation: Evaluation, assumptions: tuple[str, ...]) -> None:
        if folder is not None:
            remedies = _remedies(evaluation, book, tell)
            found.append(OnFile(station.name, evaluation, assumptions, remedies))

    def said(done: int, of: int) -> None:
        tell("places", done, of)

    tell("from the station file", 0, 0)
    finding = finding_of(calculation, station, book, limits, said, keep_whole)
    return replace(
        answer,
        path=str(path),
        finding=finding,
        file=_keep(folder, "attachments", data, shown(path.name)),
        limits=_keep(folder, "rules", texts[text].encode(), text) if text else None,
        parts=parts_of(answer.calculation, station),
        evaluation=_keep(folder, "attachments", _bytes_of(found[0]), EVALUATION) if found else None,
    )


def evaluation_on_file(answer: Described, folder: LogFolder) -> OnFile | None:
    """Return the evaluation that was kept with an answer, whole, as it was found then.

    None where none was kept: of another calculation, or by an older program. Raises Damaged
    where the kept bytes are gone or changed, StandclearError where they cannot be read.
    """
    if answer.evaluation is None:
        return None
    data = kept.read(folder, "attachments", answer.evaluation.sha256)
    return evaluation_from_data(strictjson.parse(data))


def worked_out_again(answer: Described, folder: LogFolder, book: Book) -> Finding:
    """Return the finding that the engine here makes of the kept files of a stored answer.

    Raises StandclearError where these are gone, changed, or not named.
    """
    calculation = STATION_CALCULATIONS.get(answer.calculation)
    if calculation is None or answer.file is None:
        raise StandclearError("the record does not name what it was worked out from")
    station = station_in(kept.read(folder, "attachments", answer.file.sha256), answer.file.name)
    limits = None
    if answer.limits is not None:
        text = kept.read(folder, "rules", answer.limits.sha256).decode()
        limits = _sets({answer.limits.name: text}, book).get(station.law.limits)
    return finding_of(calculation, station, book, limits)


def _remedies(evaluation: Evaluation, book: Book, tell: Tell) -> tuple[Remedies, ...]:
    def said(done: int, of: int) -> None:
        tell("remedies for places", done, of)

    return needed_remedies(evaluation, book, figures(book)["near_the_limit"], said)


def _bytes_of(found: OnFile) -> bytes:
    return strictjson.dump(evaluation_data(found))


def _limit_texts(library: Library) -> dict[str, str]:
    """Return every set of limits at hand, the club's beside the shipped, by its file."""
    shipped, own = library.limit_texts()
    return {**shipped, **own}


def _file_of(name: str, texts: Mapping[str, str], book: Book) -> str:
    """Return which file holds the set of limits of that name."""
    holding = (file for file, text in texts.items() if name in _sets({file: text}, book))
    return next(holding, "")


def _sets(texts: Mapping[str, str], book: Book) -> Mapping[str, LimitSet]:
    """Return the sets in files that are named as the library names them: a club's by its folder."""
    own = {file: text for file, text in texts.items() if file.startswith(f"{CLUB_FOLDER}/")}
    return load_limits({f: t for f, t in texts.items() if f not in own}, book.sources, own)


def _keep(folder: LogFolder | None, part: kept.Part, data: bytes, name: str) -> KeptFile:
    sha256 = hash_of(data) if folder is None else kept.keep(folder, part, data)
    return KeptFile(sha256, len(data), name)
