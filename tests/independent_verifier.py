"""A second verifier of log folders, written from logs/README.md alone.

It shares no code with the package and needs `cryptography` alone. `flaws(folder)` returns a
sentence for everything in hashes, chain, signatures and pairing that is not as the page wants.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
import sys
import unicodedata
from datetime import datetime
from pathlib import Path
from typing import Any

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

WORDS = ("origin", "number", "previous", "kind", "time", "program", "session", "file",
         "verdict", "rule", "target", "signer", "field")  # fmt: skip
MANY = {"signer", "field"}
STAMP = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}[+-]\d\d:\d\d")
ENDINGS = {"sealed", "closed", "abandoned"}
ROLES = {"in-charge", "worker", "helper", "safety-officer"}
PRIME = 2**255 - 19
ORDER_8 = "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05"


class Flaw(Exception): ...


def sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def want(condition: object, said: str) -> None:
    if not condition:
        raise Flaw(said)


def is_time(text: object) -> bool:  # ValueError for a day that does not exist
    if not isinstance(text, str) or not STAMP.fullmatch(text):
        return False
    return datetime.fromisoformat(text).isoformat(timespec="milliseconds") == text


def plain(text: str) -> bool:
    categories = {unicodedata.category(c) for c in text} & {"Cc", "Cs", "Co", "Cn", "Zl", "Zp"}
    return unicodedata.normalize("NFC", text).strip() == text != "" and not categories


def strict_json(data: bytes) -> dict[str, Any]:
    def pairs(found: list[tuple[str, Any]]) -> dict[str, Any]:
        want(len({k for k, _ in found}) == len(found), "a key stands twice")
        return dict(found)

    def refuse(text: str) -> None:
        raise Flaw(f"{text} is no whole number")

    try:
        read = json.loads(data.decode(), object_pairs_hook=pairs, parse_float=refuse,
                          parse_constant=refuse)  # fmt: skip
        again = json.dumps(read, ensure_ascii=False, separators=(",", ":")).encode()
    except (ValueError, RecursionError) as problem:
        raise Flaw("a line is no JSON") from problem
    want(isinstance(read, dict) and again == data, "a line is not in its one spelling")
    return dict(read)


def sound_key(key: str) -> bytes:
    want(re.fullmatch(r"[0-9a-f]{64}", key), "a key is not 64 hex digits")
    y = int.from_bytes(bytes.fromhex(key), "little") % 2**255
    eight = int.from_bytes(bytes.fromhex(ORDER_8), "little")
    want(y < PRIME and y not in {0, 1, PRIME - 1, eight, PRIME - eight}, "a key is worthless")
    return bytes.fromhex(key)


def read_entry(data: bytes) -> tuple[dict[str, Any], list[str]]:
    try:
        whole = data.decode()
    except UnicodeDecodeError as problem:
        raise Flaw("an entry is not UTF-8") from problem
    text, blank, below = whole.rpartition("\n\n")
    lines = (text := text + "\n").splitlines()
    want(blank and text.count("\n") == len(lines), "an entry has no blank line")
    want(lines and lines[0] == "standclear ledger entry 1", "an entry has another title")
    entry: dict[str, Any] = {"signer": [], "field": []}
    order = []
    for line in lines[1:]:
        word, _, value = line.partition(" ")
        want(word in WORDS and plain(value), "a line of an entry is not in form")
        order.append(WORDS.index(word))
        if word in MANY:
            entry[word].append(value)
        else:
            want(word not in entry, "a line stands twice")
            entry[word] = value
    want(order == sorted(order) and {*WORDS[:6]} <= entry.keys(), "lines are misplaced")
    want(is_time(entry["time"]), "a time is not in form")
    return entry, signatures(text, below)


def signatures(text: str, below: str) -> list[str]:
    want(not below or below.endswith("\n"), "a signature line is cut off")
    found = []
    for line in below.split("\n")[:-1]:  # splitlines would take other bytes for ends, too
        parts = line.split(" ")
        want(len(parts) == 3 and parts[0] == "\u2014", "a signature line is not in form")
        raw = base64.b64decode(parts[2], validate=True) if len(parts[2]) % 4 == 0 else b""
        want(len(raw) == 68 and base64.b64encode(raw).decode() == parts[2], "no signature")
        key = sound_key(parts[1])
        name = hashlib.sha256(f"{parts[1]}\n".encode() + b"\x01" + key).digest()[:4]
        want(raw[:4] == name, "a signature names another key")
        try:
            Ed25519PublicKey.from_public_bytes(key).verify(raw[4:], text.encode())
        except (InvalidSignature, ValueError) as problem:
            raise Flaw("a signature does not verify") from problem
        found.append(parts[1])
    return found


def check_lines(data: bytes, session: str) -> list[dict[str, Any]]:
    previous, found = sha256(f"standclear session {session}\n".encode()), []
    want(data.endswith(b"\n"), "the last line is cut off")
    for number, piece in enumerate(data.split(b"\n")[:-1], start=1):
        line = strict_json(piece)
        want([*line] == ["n", "previous", "at", "boot", "boot_ns", "what", "data"], "parts")
        want(line["n"] == number and line["previous"] == previous, "a line does not follow")
        want(is_time(line["at"]), "a line's time is not in form")
        previous = sha256(piece + b"\n")
        found.append(line)
    return found


def kept(data: Any) -> list[tuple[str, str]]:
    if isinstance(data, dict):
        own = [(data["kept"], data["sha256"])] if {"kept", "sha256"} <= data.keys() else []
        return own + [pair for value in data.values() for pair in kept(value)]
    return [pair for value in data for pair in kept(value)] if isinstance(data, list) else []


def check_session(folder: Path, session: str, entries: list[dict[str, Any]]) -> None:
    data = (folder / "sessions" / f"{session}.jsonl").read_bytes()
    begun = [e for e in entries if e["kind"] == "begun"]
    ended = [e for e in entries if e["kind"] in ENDINGS]
    want(len(begun) == 1 and len(ended) <= 1, "a session does not begin or end once")
    want(not ended or entries.index(begun[0]) < entries.index(ended[0]), "it ends first")
    lines = check_lines(data if ended else data.rstrip(b"\0"), session)  # room while it runs
    first = data.split(b"\n")[0] + b"\n"
    want(begun[0]["file"] == f"{sha256(first)} {len(first)}", "the first line was changed")
    want(lines[0]["data"]["origin"] == begun[0]["origin"], "it comes from another folder")
    if ended:
        want(ended[0]["file"] == f"{sha256(data)} {len(data)}", "the file was changed")
        said = lines[-1]["data"].get("verdict")
        want(ended[0].get("verdict") == said, "the verdict is another")
        reason = lines[-1]["data"].get("reason")
        want(reason is None or ended[0]["field"] == [f"reason {reason}"], "the reason is another")
        want("rule" in ended[0], "it names no rule file")
    texts = [f for e in entries if e["kind"] == "corrected" for f in e["field"]]
    named = [strict_json(f[7:].encode()) for f in texts if f.startswith("answer ")]
    named += [strict_json((folder / part / name).read_bytes()) for part, name in kept(named)]
    for part, name in kept([named, *(line["data"] for line in lines)]):
        want(sha256((folder / part / name).read_bytes()) == name, "a kept file was changed")


def flaws(folder: Path) -> list[str]:
    found, previous, by_session = [], "0" * 64, dict[str, list[dict[str, Any]]]()
    origin = (folder / "origin").read_bytes()
    paths = sorted(p for p in (folder / "ledger").iterdir() if not p.name.startswith("."))
    for number, path in enumerate(paths, start=1):
        data = path.read_bytes()
        try:
            entry, keys = read_entry(data)
            want(path.name == f"{number:08}.note" and entry["number"] == str(number), "number")
            want(f"{entry['origin']}\n".encode() == origin, "another folder's entry")
            want(entry["previous"] == previous, "the entry before it was changed")
            signers = [s.split(" ", 3) for s in entry["signer"]]
            want(all(len(s) == 4 and s[2] in ROLES for s in signers), "a signer is not in form")
            here = dict.fromkeys(s[0] for s in signers if s[1] == "here")
            want([*here] == keys, "signatures and signers differ")
            if "session" in entry or entry["kind"] in {"begun", *ENDINGS}:
                by_session.setdefault(entry["session"], []).append(entry)
        except (Flaw, ValueError, KeyError) as problem:
            found.append(f"{path.name}: {problem}")
        previous = sha256(data)
    names = {p.name for p in (folder / "sessions").iterdir() if not p.name.startswith(".")}
    for session in sorted({*by_session, *(n.removesuffix(".jsonl") for n in names)}):
        try:
            check_session(folder, session, by_session.get(session, []))
        except (Flaw, OSError, KeyError, ValueError) as problem:
            found.append(f"session {session}: {problem}")
    return found


if __name__ == "__main__":
    print("\n".join(flaws(Path(sys.argv[1]))) or "no flaw was found")
