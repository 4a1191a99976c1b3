"""One field unread: nothing passes unread that fails for a value that it may have.

Each key of each entry is written with each of its possible values, as "?", and left out. Then:
what is adequate or marginal unread is so for every value; what is judged for a value is judged or
named NOT CHECKED unread; "?" and left out give the same bytes.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from elec.boat.read import from_data
from elec.errors import ElecError
from elec.survey import Survey, survey

from .fields import Place, left_out, places, values, written

__all__ = ["Hole", "holes"]

PASSED = ("adequate", "marginal")


@dataclass(frozen=True)
class Hole:
    """A way in which something unread is taken for safe, or goes silent."""

    kind: str
    place: Place
    check: str
    subject: str
    part: str
    words: str

    def __str__(self) -> str:
        part = f", {self.part}" if self.part else ""
        return (
            f"{self.kind}: {self.place.words} {self.place.index}: {self.check} of '{self.subject}'"
            f"{part}: {self.words}"
        )


def asked(data: dict[str, Any]) -> Survey | None:
    """Return the survey of a boat file; None if it is refused as one that cannot be."""
    try:
        return survey(from_data(data, "soundness"))
    except ElecError:
        return None


def _verdicts(found: Survey) -> dict[tuple[str, str, str], str]:
    return {(f.check, f.subject, f.part): f.verdict for f in found.findings}


def _named(found: Survey, check: str, subject: str) -> bool:
    """Whether anything is said by a check of a subject, alone or among others."""
    return any(f.check == check and f.subject == subject for f in found.findings) or any(
        n.check == check and (n.subject in (subject, "all", "boat") or subject in n.subject)
        for n in found.not_checked
    )


def holes(data: dict[str, Any], only: str = "") -> Iterator[Hole]:
    """Return every hole of a boat file; ``only`` a record or a key, as ``bank.chemistry``."""
    for place in places(data):
        if only and only not in (place.words, place.list_name):
            continue
        yield from _holes(data, place)


def _holes(data: dict[str, Any], place: Place) -> Iterator[Hole]:
    silent = asked(left_out(data, place))
    if silent is None:
        return
    unread = asked(written(data, place, "?"))
    if unread is None:
        yield Hole("refused", place, "", "", "", '"?" is refused, left out is not')
    elif json.dumps(unread.as_dict()) != json.dumps(silent.as_dict()):
        yield Hole("differs", place, "", "", "", '"?" and left out differ')
    passed = {key for key, verdict in _verdicts(silent).items() if verdict in PASSED}
    seen: set[tuple[str, ...]] = set()
    for value in values(data, place):
        found = asked(written(data, place, value))
        if found is None:
            continue
        for (check, subject, part), verdict in _verdicts(found).items():
            if verdict == "inadequate" and (check, subject, part) in passed:
                key = ("passes", check, subject, part)
                if key not in seen:
                    seen.add(key)
                    words = f"passes unread, inadequate with {value!r}"
                    yield Hole("passes", place, check, subject, part, words)
            if not _named(silent, check, subject) and ("vanishes", check, subject) not in seen:
                seen.add(("vanishes", check, subject))
                words = f"said nothing of unread, {verdict} with {value!r}"
                yield Hole("vanishes", place, check, subject, part, words)
