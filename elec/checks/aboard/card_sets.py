"""Sets of loads as a load card has them: names, loads alike by their number, amps on a leg."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import overload

from elec.calc.ac import together
from elec.json_form import form, span

__all__ = ["LISTED", "AnyOf", "Listed", "Together", "named_set"]

#: Sets listed for other programs; the rest is counted.
LISTED = 10_000


@dataclass(frozen=True)
class AnyOf:
    """So many of loads that draw the same, whichever they are."""

    number: int
    loads: tuple[str, ...]


@dataclass(frozen=True)
class Together:
    """Loads that run together: their names, and the heaviest leg [A] they give, low to high."""

    loads: tuple[str, ...]
    any_of: tuple[AnyOf, ...]
    legs: tuple[str, ...]
    low_A: float
    high_A: float
    #: Further limits that they are above, each with its amounts, in words.
    beyond: tuple[str, ...] = ()

    JSON = form(
        "loads any_of legs heaviest_leg_A beyond",
        heaviest_leg_A=lambda one: span((one.low_A, one.high_A)),
    )

    @property
    def size(self) -> int:
        """Loads in all."""
        return len(self.loads) + sum(one.number for one in self.any_of)

    def in_words(self, nothing: str) -> str:
        """Return the loads as a sum in words."""
        parts = [*self.loads]
        parts += [f"any {one.number} of ({', '.join(one.loads)})" for one in self.any_of]
        return " + ".join(parts) or nothing


class Listed(Sequence[Together]):
    """Sets in the order found, up to `LISTED`, each put into words only where it is asked for."""

    def __init__(self, sets: together.Sets, made: Callable[[slice], list[Together]]) -> None:
        """Take the sets, and what makes some of them."""
        self._length, self._made = min(len(sets), LISTED), made
        self.whole = len(sets) <= LISTED

    def __len__(self) -> int:
        return self._length

    @overload
    def __getitem__(self, place: int) -> Together: ...

    @overload
    def __getitem__(self, place: slice) -> Sequence[Together]: ...

    def __getitem__(self, place: int | slice) -> Together | Sequence[Together]:
        if isinstance(place, slice):
            return self._made(slice(*place.indices(self._length)))
        if not -self._length <= place < self._length:
            raise IndexError(place)
        at = place % self._length
        return self._made(slice(at, at + 1))[0]


def named_set(
    chosen: Sequence[tuple[int, tuple[int, ...]]],
    names: Sequence[str],
    legs: Sequence[str],
    over: Sequence[bool],
    low_A: float,
    high_A: float,
    beyond: Sequence[str] = (),
) -> Together:
    """Put a set into words: how many of which loads alike, on which legs."""
    alone = sorted(i for number, group in chosen if number == len(group) for i in group)
    some = [(number, group) for number, group in chosen if number < len(group)]
    return Together(
        tuple(names[i] for i in alone),
        tuple(AnyOf(number, tuple(names[i] for i in group)) for number, group in some),
        tuple(leg for leg, is_over in zip(legs, over, strict=False) if is_over),
        low_A,
        high_A,
        tuple(beyond),
    )
