"""Which published values a calculation can read, found in its code and by running it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib import import_module
from importlib.abc import SourceLoader
from importlib.util import find_spec
from pkgutil import iter_modules
from types import CodeType, FunctionType

from checklist.calculations.kinds import Calculation, Given, Input, Result
from checklist.rulebook import Book, Table, Value

_OURS = "checklist.calculations"


@dataclass(frozen=True, slots=True)
class RecordingBook(Book):
    """A book that notes every address it is asked for."""

    asked: set[str] = field(default_factory=set)

    @classmethod
    def of(cls, book: Book) -> RecordingBook:
        """Return the same book, with nothing asked yet."""
        return cls(book.sources, book.values, book.tables, book.limit_texts)

    def value(self, address: str) -> Value:
        """Return the value at `address`, and note that it was asked for."""
        self.asked.add(address)
        return Book.value(self, address)

    def table(self, address: str) -> Table:
        """Return the table at `address`, and note that it was asked for."""
        self.asked.add(address)
        return Book.table(self, address)


def addresses_read(calculation: Calculation, book: Book) -> frozenset[str]:
    """Return every address in `book` that the calculation can read, whatever its inputs.

    Found in the texts of the code that `compute` can reach, so that no branch is missed: an
    address stands there whole, or as its table and a name (or the beginning and the end of a
    name) that are put together. An address may so be named that no input ever leads to; one
    that is read and not named is what a test looks for, with a RecordingBook.
    """
    texts = set(_texts_reached(calculation.compute))
    texts |= {choice for wanted in calculation.inputs for choice in _choices(wanted)}
    return frozenset(a for a in (*book.values, *book.tables) if _can_be_made(a, texts))


@cache
def _texts_reached(compute: Callable[[Given, Book], Result]) -> frozenset[str]:
    """Return every text that the code can reach, looked up once: code does not change."""
    return frozenset(text for text in _texts(compute, set()) if text)


def addresses_in(modules: Iterable[str], book: Book) -> frozenset[str]:
    """Return every address in `book` that stands in the code of these modules.

    A name that ends in `*` stands for every module of its package that begins so. The code is
    read and not run: nothing that a module imports is loaded.
    """
    texts: set[str] = set()
    for name in modules:
        for code in _codes(name):
            texts |= set(_texts(code, set()))
    return frozenset(a for a in (*book.values, *book.tables) if _can_be_made(a, texts))


def _codes(name: str) -> Iterator[CodeType]:
    package, _, last = name.rpartition(".")
    if last.endswith("*"):
        folder = import_module(package).__path__
        found = [m.name for m in iter_modules(folder) if m.name.startswith(last[:-1])]
        names = [f"{package}.{module}" for module in found]
    else:
        names = [name]
    for each in names:
        spec = find_spec(each)
        if spec is not None and isinstance(spec.loader, SourceLoader):
            code = spec.loader.get_code(each)
            if code is not None:
                yield code


def _can_be_made(address: str, texts: set[str]) -> bool:
    if address in texts:
        return True
    prefix, _, name = address.partition("/")
    if f"{prefix}/" not in texts:
        return False
    return any(
        name == text or (name.startswith(text) and name.removeprefix(text) in texts)
        for text in texts
    )


def _choices(wanted: Input) -> Iterator[str]:
    yield from wanted.choices or ()
    for column in wanted.columns:
        yield from _choices(column)


def _texts(thing: object, seen: set[int]) -> Iterator[str]:
    """Yield every text that the code reachable from `thing` holds, within our calculations."""
    if isinstance(thing, str):
        yield thing
    elif id(thing) not in seen:
        seen.add(id(thing))
        for inner in _inside(thing):
            yield from _texts(inner, seen)


def _inside(thing: object) -> Iterable[object]:
    """Return what a piece of code or data leads on to; nothing for what is not our own."""
    match thing:
        case FunctionType() if thing.__module__.startswith(_OURS):
            named = (thing.__globals__.get(name) for name in _names(thing.__code__))
            cells = (cell.cell_contents for cell in thing.__closure__ or ())
            return (*named, *cells, *(thing.__defaults__ or ()), thing.__code__)
        case CodeType():
            return thing.co_consts
        case Mapping():
            return (*thing.keys(), *thing.values())
        case tuple() | list() | set() | frozenset():
            return thing
        case type() if thing.__module__.startswith(_OURS):
            return tuple(vars(thing).values())
        case _:
            return ()


def _names(code: CodeType) -> Iterator[str]:
    """Yield the names that a function and those inside it look up."""
    yield from code.co_names
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield from _names(constant)
