"""The search behind a load card: which sets of loads are too much, and which fit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from elec import units
from elec.boat.ac_loads import AcDraw, Service, is_always
from elec.calc.ac import together
from elec.checks.aboard.card_also import Also, beside
from elec.checks.aboard.card_limit import Limit
from elec.checks.aboard.card_sets import Listed, Together, named_set
from elec.checks.legs.leg_draws import LegDraws, leg_draws
from elec.noted import Noted

__all__ = ["FITS_SHOWN", "Search", "name_of", "search_of"]

#: Above any current: a leg that limits nothing.
_NO_LIMIT = 1e9
#: Largest sets that fit, shown before those that hold a load that is in none of them.
FITS_SHOWN = 3
#: Partial sets held at once: enough for every set of 24 loads that are read, and quick.
_MOST_HELD = 400_000
#: Loads of which every set that fits is found at once, and how many of those are wanted.
_TABLE_LOADS, _ALL_OF_FITS = 24, 10_000


@dataclass(frozen=True)
class Search:
    """What loads draw on the legs of a source, its further limits as columns after the legs."""

    names: tuple[str, ...]
    always_on: tuple[str, ...]
    legs: tuple[str, ...]
    choices: LegDraws
    always: LegDraws
    alsos: tuple[Also, ...]
    limit_low: npt.NDArray[np.float64]
    limit_high: npt.NDArray[np.float64]

    @property
    def known(self) -> bool:
        """Whether every current and its power factor is known."""
        return self.choices.settled and self.always.settled

    @property
    def settled(self) -> bool:
        """Whether every limit is known as well."""
        return self.known and bool(np.all(self.limit_low == self.limit_high))

    @property
    def always_A(self) -> tuple[float, float]:
        """Return the least and the most on the heaviest leg before anything is chosen."""
        nothing = self.choices.only([])
        low, high = together.carried_A(
            nothing.low,
            high_A=nothing.high,
            always_low_A=self.always.low,
            always_high_A=self.always.high,
        )
        legs = len(self.legs)
        return float(low[:legs].max()), float(high[:legs].max())

    def overloads(self) -> together.RangedSets:
        """Return the sets that are surely and possibly too much."""
        return together.overloads_in_range(
            self.choices.low,
            high_A=self.choices.high,
            limit_low_A=self.limit_low,
            limit_high_A=self.limit_high,
            always_low_A=self.always.low,
            always_high_A=self.always.high,
            most=_MOST_HELD,
            exact=self.known,
        )

    def fits(self) -> tuple[together.Sets, together.Sets]:
        """Return the largest sets that fit, and one with each load in none of the first."""
        largest = together.largest_fits(
            self.choices.high,
            limit_A=self.limit_low,
            always_A=self.always.high,
            enough=_ALL_OF_FITS if len(self.names) <= _TABLE_LOADS else 2 * FITS_SHOWN,
            most=_MOST_HELD,
            exact=self.known,
        )
        rest = together.fits_with(
            self.choices.high,
            limit_A=self.limit_low,
            always_A=self.always.high,
            without=largest.masks[:FITS_SHOWN],
            exact=self.known,
        )
        return largest, rest

    def listed(self, sets: together.Sets) -> Listed:
        """Return sets by the names of their loads, each with its amps on the heaviest leg."""
        legs = len(self.legs)

        def made(part: slice) -> list[Together]:
            some = replace(sets, masks=sets.masks[part], legs=sets.legs[part])
            lows, highs = together.carried_A(
                self.choices.low,
                high_A=self.choices.high,
                always_low_A=self.always.low,
                always_high_A=self.always.high,
                masks=some.masks,
            )
            return [
                named_set(
                    chosen,
                    self.names,
                    self.legs,
                    over,
                    float(low[:legs].max()),
                    float(high[:legs].max()),
                    self._beyond(over[legs:], low[legs:], high[legs:]),
                )
                for chosen, over, low, high in zip(
                    some.chosen(), some.legs, lows, highs, strict=True
                )
            ]

        return Listed(sets, made)

    def _beyond(
        self, over: Sequence[bool], low: Sequence[float], high: Sequence[float]
    ) -> list[str]:
        """Return the further limits that a set is above, in words, each once."""
        return list(
            dict.fromkeys(
                f"{units.show_range(float(least), float(most), one.quantity)} {one.words}"
                for one, is_over, least, most in zip(self.alsos, over, low, high, strict=True)
                if is_over
            )
        )


def search_of(
    draws: Sequence[AcDraw],
    service: Service,
    supply: Noted | None,
    limit: Limit,
    alsos: Sequence[Also],
    *,
    by_leg: bool,
) -> Search:
    """Return the search among loads; not ``by_leg`` where legs are shown and limit nothing."""
    always = [row for row, one in enumerate(draws) if is_always(one.load)]
    choices = [row for row in range(len(draws)) if row not in always]
    every = beside(leg_draws(draws, service, supply), alsos)
    low_A, high_A = (limit.low_A, limit.high_A) if by_leg else (_NO_LIMIT, _NO_LIMIT)
    return Search(
        names=tuple(name_of(draws[row]) for row in choices),
        always_on=tuple(name_of(draws[row]) for row in always),
        legs=service.legs,
        choices=every.only(choices),
        always=every.only(always),
        alsos=tuple(alsos),
        limit_low=np.array([low_A for _ in service.legs] + [one.limit_low for one in alsos]),
        limit_high=np.array([high_A for _ in service.legs] + [one.limit_high for one in alsos]),
    )


def name_of(one: AcDraw) -> str:
    """Return a load by its name, with its number where there are several."""
    count = one.load.count
    return one.load.id if count == 1 else f"{one.load.id} x{count}"
