"""One session in a folder of its own, that a stranger checks with public tools."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.record.errors import NotSaved, RecordError
from checklist.record.files import kept
from checklist.record.files.disk import Disk, Kind
from checklist.record.files.folder import LogFolder
from checklist.record.files.whole import create_whole
from checklist.record.journals.lines import hash_of
from checklist.record.journals.states import state_of
from checklist.record.ledgers.entries import FIRST_PREVIOUS
from checklist.record.ledgers.keptbyentries import files_named
from checklist.record.ledgers.ledger import Ledger, Recorded, note_path
from checklist.sessions.past.recordtext import as_text
from checklist.sessions.past.review import read_session
from checklist.sessions.past.sessionfile import read_bytes, understood
from checklist.stopping import Tell, unheard, unstoppable

README = "HOW-TO-CHECK.txt"
"""The steps, in the exported folder itself."""


def export(folder: LogFolder, session_id: str, to: Path, tell: Tell = unheard) -> tuple[Path, ...]:
    """Write one session into the new folder `to`, and return the files written.

    The copies are byte for byte those of the log folder. `tell` hears how far it is, and stops
    it before the first of them is written, or not at all. Raises StandclearError where `to`
    exists, where the session has not ended, or a part of it is missing or was changed.
    """
    files = _files(folder, session_id, tell)
    if folder.disk.facts(to) is not None:
        raise StandclearError(
            "this name is taken", where=shown(str(to)), right="Name a folder that is not there yet."
        )
    return tuple(_write(folder.disk, to, files, unstoppable(tell)))


def _files(folder: LogFolder, session_id: str, tell: Tell) -> dict[str, bytes]:
    group = Ledger(folder).of_session(session_id, tell)
    state = state_of(group)
    if state.ending is None:
        raise StandclearError(
            "it has not ended, so nothing vouches for it",
            where=f"session {session_id[:8]}",
            right="Finish or give up the walk first.",
        )
    data, problem = read_bytes(folder, session_id)
    if problem:
        raise StandclearError(problem.rstrip("."), where=f"session {session_id[:8]}")
    files = {f"sessions/{session_id}.jsonl": data}
    for recorded in group:
        files[f"ledger/{recorded.entry.number:08}.note"] = recorded.data
    files |= _before(folder, state.ending)
    lines = understood(data, session_id).lines
    named = [r for line in lines for r in kept.references(line.data)]
    named += [r for recorded in group for r in files_named(folder, recorded.entry)]
    for part, sha256 in dict.fromkeys(named):
        if part == "rules":
            files[f"rules/{sha256}"] = kept.read(folder, "rules", sha256)
        elif part == "attachments":
            files[f"attachments/{sha256}"] = kept.read(folder, "attachments", sha256)
    text = "\n".join(as_text(read_session(folder, session_id, tell=tell))) + "\n"
    files["session.txt"] = text.encode()
    sums = "".join(f"{hash_of(body)}  {name}\n" for name, body in sorted(files.items()))
    files["SHA256SUMS"] = sums.encode()
    folders = " ".join(f"{part}/*" for part in ("rules", "attachments") if _has(files, part))
    files[README] = _steps(session_id, state.ending, group, folders).encode()
    return files


def _has(files: Mapping[str, bytes], part: str) -> bool:
    return any(name.startswith(f"{part}/") for name in files)


def _before(folder: LogFolder, ending: Recorded) -> Mapping[str, bytes]:
    """Return the entry before the ending, to show that the one names the hash of the other."""
    number = ending.entry.number - 1
    if number < 1:
        return {}
    path = note_path(folder, number)
    try:
        data = folder.disk.read(path, at_most=256 * 1024)
    except (OSError, RecordError):
        return {}
    return {f"ledger/{path.name}": data}


def _write(disk: Disk, to: Path, files: Mapping[str, bytes], tell: Tell) -> Iterator[Path]:
    parent = disk.facts(to.parent)
    if parent is None or parent.kind is not Kind.FOLDER:
        raise StandclearError(
            "there is no such folder", where=shown(str(to.parent)), right="Make it first."
        )
    try:
        disk.make_folder(to)
        for part in dict.fromkeys(Path(name).parent.name for name in files if "/" in name):
            disk.make_folder(to / part)
        for done, (name, body) in enumerate(files.items()):
            tell("files written", done, len(files))
            create_whole(disk, to / name, body)
            yield to / name
    except OSError as problem:
        raise NotSaved(
            f"NOT SAVED, the folder could not be written: {problem.strerror or problem}",
            where=shown(str(to)),
            right="Make room, remove the folder, and export again.",
        ) from problem


def _steps(session_id: str, ending: Recorded, group: tuple[Recorded, ...], folders: str) -> str:
    signed = [recorded for recorded in group if recorded.signatures]
    parts = [_HEAD.format(session=session_id, ending=f"{ending.entry.number:08}.note")]
    chain = ending.entry.previous != FIRST_PREVIOUS
    parts.append(
        _FILE.format(session=session_id, ending=f"{ending.entry.number:08}", folders=folders)
    )
    if chain:
        parts.append(
            _CHAIN.format(
                before=f"{ending.entry.number - 1:08}", ending=f"{ending.entry.number:08}"
            )
        )
    parts.append(_SIGNATURES if signed else _UNSIGNED)
    for recorded in signed:
        for place, _ in enumerate(recorded.signatures, start=1):
            parts.append(_SIGNATURE.format(number=f"{recorded.entry.number:08}", place=place))
    if any(not signer.is_here for signer in ending.entry.signers):
        parts.append(_MISSING.format(ending=f"{ending.entry.number:08}"))
    parts.append(_TAIL)
    return "\n".join(parts)


_HEAD = """\
HOW TO CHECK THIS SESSION
=========================

You need a shell, sha256sum, OpenSSL 3 and a text editor; no other program.
Open a shell in this folder. Lines that begin with four blanks are commands.

session.txt is the session in plain words, for reading. What counts is
ledger/{ending}, and by the hash in it
sessions/{session}.jsonl;
where they and session.txt differ, session.txt is wrong.

1. NOTHING WAS LOST ON THE WAY HERE. Every line must end in OK:

    sha256sum -c SHA256SUMS
"""
_FILE = """\
2. THE ENTRY NAMES THE SESSION'S FILE. Hash and size in the three
   lines must be the same:

    sha256sum sessions/{session}.jsonl
    wc -c < sessions/{session}.jsonl
    sed -n 's/^file //p' ledger/{ending}.note

   The rule file has its hash as its name. The two must be the same:

    sed -n 's/^rule \\([0-9a-f]*\\) .*/\\1/p' ledger/{ending}.note
    sha256sum rules/$(sed -n 's/^rule \\([0-9a-f]*\\) .*/\\1/p' ledger/{ending}.note)

   So has every other file that the session names. In each line the hash
   must be the file's name:

    sha256sum {folders}
"""
_CHAIN = """\
3. IT STANDS BEHIND THE ENTRY BEFORE IT. The two hashes must be the same:

    sha256sum ledger/{before}.note
    sed -n 's/^previous //p' ledger/{ending}.note
"""
_SIGNATURES = """\
4. THE SIGNATURES. OpenSSL must say "Signature Verified Successfully" for
   each. The line above it says whose it is: key, here, role, name. Compare
   the key with the one that the person, or the club's safety officer, gives
   you; nothing in this folder can vouch for that.
"""
_UNSIGNED = """\
4. THE SIGNATURES. Nobody signed this session. Nothing here shows who wrote
   it.
"""
_MISSING = """\
   SOMEBODY HAS NOT SIGNED THE ENTRY that ends the session. Each line that
   this prints names one of them. The session counts as sealed only where a
   later entry above carries that person's signature, in the same role:

    grep '^signer .* missing ' ledger/{ending}.note
"""
_SIGNATURE = """\
   Entry {number}, signature {place}:

    sed '/^$/,$d' ledger/{number}.note > entry.text
    LINE=$(sed '1,/^$/d' ledger/{number}.note | sed -n {place}p)
    echo "$LINE" | cut -d ' ' -f 3 | openssl base64 -d -A | tail -c 64 > entry.signature
    KEY=$(echo "$LINE" | cut -d ' ' -f 2)
    grep "^signer $KEY here " entry.text
    printf 'asn1=SEQUENCE:k\\n[k]\\na=SEQUENCE:a\\nb=FORMAT:HEX,BITSTRING:%s\\n' $KEY > key.conf
    printf '[a]\\no=OID:1.3.101.112\\n' >> key.conf
    openssl asn1parse -genconf key.conf -noout -out key.der
    openssl pkeyutl -verify -pubin -inkey key.der -keyform DER -rawin -in entry.text \\
      -sigfile entry.signature
"""
_TAIL = """\
5. WHAT THIS DOES NOT SHOW. That the answers were true. Whose the keys are.
   That nothing was entered after this session: that needs the whole log
   folder, and a receipt for it. A person under pressure, a stolen key with
   its passphrase, and a clock that was wrong from the start leave no trace
   here.
"""
