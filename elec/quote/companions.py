"""What the things on a quote need beside them, where neither the quote nor the boat has it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import cast

from elec.boat.records import BoatFile, Protection, Run
from elec.checks.presence import presence_finding
from elec.finding import Finding, Priority
from elec.noted import NO, YES, YES_OR_NO, Choice
from elec.published import table
from elec.quote.place import item_of_line, line_entry, list_of, new_id, targets
from elec.quote.records import Line, QuoteFile
from elec.quote.words import item_of, listed, plain

__all__ = ["CHECK", "omissions"]

CHECK = "quote-omission"
_TABLE = "quote_companions"


def omissions(file: QuoteFile, after: BoatFile) -> list[Finding]:
    """Return what is missing beside the things quoted; ``after`` is the boat with them fitted."""
    found: list[Finding] = []
    once: set[str] = set()
    things = [line for line in file.line if item_of_line(line) in _things()]
    for row in table(_TABLE).rows():
        wanted = row["companion"].split(" or ")
        if row["scope"] == "once":
            lines = things if row["item"] == "any" else _of(things, row["item"])
            first = next(iter(lines), None)
            if first is None or row["companion"] in once or _quoted(wanted, None, (), file):
                continue
            once.add(row["companion"])
            found.append(_finding(row, "quote", None, NO))
            continue
        for line in _of(things, row["item"]):
            near = targets(line, file, after)
            if not _applies(row["where"], line) or _quoted(wanted, line, near, file):
                continue
            has = _aboard(row, wanted, line, near, after)
            if not has.is_surely("yes"):
                found.append(_finding(row, line.id, line, has))
    return found


def _things() -> set[str]:
    return {row["item"] for row in table(_TABLE).rows()} - {"any"}


def _of(lines: Iterable[Line], item: str) -> list[Line]:
    return [line for line in lines if item_of_line(line) == item]


def _applies(where: str, line: Line) -> bool:
    lithium = line.chemistry.is_surely("lfp")
    return where == "always" or (where == "lfp" and lithium) or (where == "lead" and not lithium)


def _quoted(wanted: list[str], line: Line | None, near: tuple[str, ...], file: QuoteFile) -> bool:
    """Whether the quote has it: a line of its own, or in the words of the line itself."""
    for other in file.line:
        if other is line:
            if any(_included(name, other) for name in wanted):
                return True
            continue
        if item_of_line(other) not in wanted and not (
            line is None and any(_included(name, other) for name in wanted)
        ):
            continue
        concerns = {*other.replaces, *other.belongs}
        if line is None or not concerns or concerns & {line.id, *near, *line.belongs}:
            return True
    return False


def _included(item: str, line: Line) -> bool:
    """Whether the words of a line say that it brings a companion along."""
    text = plain(f"{line.text} {line.note or ''}")
    for excluding in ("not included", "not incl", "excluding", "excl", "without", "by others"):
        text = text.split(excluding)[0]
    words = [w for w, means in listed("item").items() if means == item]
    return any(word in text for word in words) and (
        item_of_line(line) != item or item_of(text) != item
    )


def _aboard(
    row: dict[str, str], wanted: list[str], line: Line, near: tuple[str, ...], boat: BoatFile
) -> Choice:
    """Whether the boat has it: by the key that the table names, or by name."""
    list_name, _, key = row["aboard"].partition(".")
    ids = {*near, new_id(line)}
    mine = [boat.find(i) for i in ids]
    if list_name == "run":
        runs = [r for r in boat.run if r.id in ids or ids & {*r.serves, r.start, r.end}]
        if key == "serves":
            return YES if runs else YES_OR_NO
        return _protected(runs, boat)
    if list_name == "protection":
        return YES if any(p.at_battery.is_surely("yes") for p in boat.protection) else YES_OR_NO
    if list_name == "alternator":
        fed = [a for a in boat.alternator if a.bank in near]
        if any(a.regulator.is_surely("no") and not a.converter.seen for a in fed):
            return NO
        return (
            YES if all(a.regulator.is_surely("yes") or a.converter.seen for a in fed) else YES_OR_NO
        )
    if list_name == "cord":
        return YES if any(c.inlet in near for c in boat.cord) else YES_OR_NO
    if list_name:
        given: dict[str, Choice] = {}
        for entry in filter(None, mine):
            if list_of(boat, entry.id) == list_name:
                given.setdefault(getattr(entry, key).text, getattr(entry, key))
        return given.popitem()[1] if len(given) == 1 else YES_OR_NO
    words = [w for w, means in listed("item").items() if means in wanted]
    for _, entry in boat.entries():
        text = f" {plain(entry.id)} {plain(entry.kind or '')} "
        if any(f" {word} " in text for word in words) and row["companion"] != "fuse":
            return YES
    return YES_OR_NO


def _protected(runs: list[Run], boat: BoatFile) -> Choice:
    devices = [boat.find(run.protection) if run.protection else None for run in runs]
    if not devices or any(device is None for device in devices):
        return YES_OR_NO
    bare = any(isinstance(d, Protection) and d.device.is_surely("none") for d in devices)
    return NO if bare else YES


def _finding(row: dict[str, str], subject: str, line: Line | None, has: Choice) -> Finding:
    what = "The quote" if line is None else f"Line '{line.id}' ({line.text})"
    companion = row["companion"]
    lacks = f"{what} comes without: {companion}."
    words = {
        "no": lacks,
        "?": f"{lacks} Whether one is aboard was not noted.",
        "yes": f"{what} has: {companion}.",
    }
    keys = {"item": row["item"], "where": row["where"], "companion": companion}
    entry = line_entry(subject if line is None else f"line {subject}")
    return presence_finding(
        has,
        check=CHECK,
        entry=entry,
        field=companion,
        read=f"whether the boat has: {companion}",
        words=words,
        worst=cast(Priority, row["priority"]),
        sources=[table(_TABLE).source(**keys)],
        remedy=f"Ask: {row['question']}",
        notes=(f"{row['because'][0].upper()}{row['because'][1:]}.",),
    ).with_changes(subject=f"{entry.id}: {companion}")
