"""The checks, each found in the file of its name, and the one runner that asks them.

A check is a module of a wing whose ``CHECK`` is its record: ``run-drop`` stands in
``elec/checks/cables/run_drop.py``. Nothing else lists it.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from itertools import groupby
from pkgutil import iter_modules
from typing import Any, Literal

from elec.boat.records import BoatFile
from elec.checks.cannot import cannot
from elec.errors import ElecError, InputError
from elec.finding import Finding, NotChecked

__all__ = ["Answer", "Check", "System", "answers", "asked_by", "check_of", "checks", "each"]

System = Literal[
    "shore power",
    "AC and generator",
    "cables and protection",
    "batteries and charging",
    "metals",
]
#: What a check may answer of one thing: findings, questions not asked, a card, or nothing.
Answer = Any

#: What is asked of the boat as a whole says itself of which of her parts something is not known.
WHOLE_BOAT = "boat"


@dataclass(frozen=True)
class Check:
    """One question asked of the things aboard.

    Parameters
    ----------
    name : str
        As printed, and as its file is named. [text]
    judges : str
        What it judges, in a line of a list. [text]
    system : System
        The part of the boat that it belongs to. [text]
    place : int
        Where it stands in a report. Those of one ten are asked together, entry by entry. [-]
    ask : callable
        Given a thing, the boat and the basis, returns or yields what it has to answer; a
        ``CannotJudge`` or another ``ElecError`` makes that thing alone NOT CHECKED. [-]
    of : str or callable
        The list of the boat file whose entries are asked, or a function from the boat to the
        things; "boat" for the boat as a whole. [text]
    prepare : callable, optional
        Makes of an entry, the boat and the basis what ``ask`` is given; done once for the checks
        of one ten that name the same. [-]
    commands : tuple of str, default ()
        Commands besides the survey that ask it. [text]
    """

    name: str
    judges: str
    system: System
    place: int
    ask: Callable[[Any, BoatFile, str], Answer]
    of: str | Callable[[BoatFile], Iterable[Any]]
    prepare: Callable[[Any, BoatFile, str], Any] | None = None
    commands: tuple[str, ...] = ()

    def things(self, boat: BoatFile) -> Iterable[Any]:
        """Return what it is asked of."""
        if not isinstance(self.of, str):
            return self.of(boat)
        if self.of == WHOLE_BOAT:
            return (boat.boat,)
        entries: Iterable[Any] = getattr(boat, self.of)
        return entries


def _wings() -> list[str]:
    package = import_module("elec.checks")
    found = iter_modules(package.__path__, "elec.checks.")
    return [one.name for one in found if one.ispkg]


@cache
def _files() -> dict[str, str]:
    """Return the modules of all wings by their name; no two wings share one."""
    return {
        one.name: f"{wing}.{one.name}"
        for wing in _wings()
        for one in iter_modules(import_module(wing).__path__)
    }


@cache
def checks() -> dict[str, Check]:
    """Return every check by its name, in the order of a report."""
    found = (getattr(import_module(module), "CHECK", None) for module in _files().values())
    records = sorted((one for one in found if isinstance(one, Check)), key=lambda one: one.place)
    return {one.name: one for one in records}


def check_of(name: str) -> Check:
    """Return the check of a name, without looking for the others.

    Raises
    ------
    InputError
        If there is none; names the nearest.
    """
    module = _files().get(name.replace("-", "_"))
    found = getattr(import_module(module), "CHECK", None) if module else None
    if isinstance(found, Check):
        return found
    near = difflib.get_close_matches(name, checks(), n=1, cutoff=0.4)
    hint = f" Did you mean '{near[0]}'?" if near else ""
    raise InputError(f"there is no check '{name}'.", remedy=f"Known: {', '.join(checks())}.{hint}")


def asked_by(command: str) -> list[str]:
    """Return the names of the checks that a command besides the survey asks."""
    return [one.name for one in checks().values() if command in one.commands]


def answers(boat: BoatFile, basis: str, only: Sequence[str] = ()) -> Iterator[Answer]:
    """Ask every check, or some, of everything that it is asked of, and give what they answer."""
    chosen = [check_of(name) for name in dict.fromkeys(only)] if only else checks().values()
    ordered = sorted(chosen, key=lambda one: one.place)
    for _, together in groupby(ordered, key=lambda one: (one.place // 10, one.prepare, one.of)):
        yield from _ask_together(list(together), boat, basis)


def _ask_together(group: list[Check], boat: BoatFile, basis: str) -> Iterator[Answer]:
    prepare = group[0].prepare
    for thing in group[0].things(boat):
        try:
            made = prepare(thing, boat, basis) if prepare else thing
        except ElecError as error:
            yield from (_refused(check.name, thing, error) for check in group)
            continue
        for check in group:
            yield from _asked(check.name, thing, check.ask, made, boat, basis)


def each(name: str, things: Iterable[Any], ask: Callable[[Any], Answer]) -> Iterator[Answer]:
    """Ask of each thing; where that is refused, the thing alone is NOT CHECKED."""
    for thing in things:
        yield from _asked(name, thing, ask, thing)


def _asked(name: str, thing: Any, ask: Callable[..., Answer], *given: Any) -> Iterator[Answer]:
    try:
        answer = ask(*given)
        for one in [answer] if isinstance(answer, Finding | NotChecked) else answer or ():
            if isinstance(one, Finding) and not one.check:
                one = one.with_changes(check=name)
            yield one
    except ElecError as error:
        yield _refused(name, thing, error)


def _refused(name: str, thing: Any, error: ElecError) -> NotChecked:
    why, where = cannot(error), getattr(thing, "where", None)
    return NotChecked(name, getattr(thing, "id", "boat"), why.reason, where, why.read)
