"""What the judge is given, and what it answers."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy.typing as npt

from elec.errors import InputError

__all__ = [
    "HOLDS_WITHIN",
    "Input",
    "Requirement",
    "Ruling",
    "Sense",
    "Span",
    "TurningPoint",
    "Verdict",
]

Sense = Literal["at most", "at least"]
Verdict = Literal["adequate", "marginal", "inadequate", "undetermined"]
Worse = Literal["higher", "lower"]
Interval = tuple[float, float]

#: A requirement holds while its margin is no further below zero than this fraction of the limit:
#: wide enough that a conversion of units never turns a verdict, far below any reading aboard.
HOLDS_WITHIN = 1e-9


@dataclass(frozen=True)
class Input:
    """One input of a requirement, with the values it can take.

    Parameters
    ----------
    name : str
        Keyword argument of the requirement's function. [text]
    low, best, high : float
        The range, and the value most likely. [unit of the argument]
    worse : {"higher", "lower"}, optional
        Direction in which the requirement gets no easier to meet, all else unchanged; None when
        it has no single direction, or an unknown one. [text]
    choices : tuple of float, default ()
        When only some values can occur: all of them, ascending. [unit of the argument]

    Raises
    ------
    InputError
        If a number is not finite, or they are not in order.
    """

    name: str
    low: float
    best: float
    high: float
    worse: Worse | None = None
    choices: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        for field in ("low", "best", "high"):  # whole numbers would be laid out as such
            object.__setattr__(self, field, float(getattr(self, field)))
        object.__setattr__(self, "choices", tuple(map(float, self.choices)))
        values = (self.low, self.best, self.high)
        if not all(map(math.isfinite, values)) or not self.low <= self.best <= self.high:
            raise InputError(
                f"{self.name}: low, best, high {values} is no range.",
                remedy="Give finite numbers with low <= best <= high.",
            )
        if self.worse not in (None, "higher", "lower"):
            raise InputError(
                f"{self.name}: worse is {self.worse!r}.", remedy="Give 'higher', 'lower' or None."
            )
        if self.choices and (
            any(a >= b for a, b in pairwise(self.choices))
            or (self.choices[0], self.choices[-1]) != (self.low, self.high)
            or self.best not in self.choices
        ):
            raise InputError(
                f"{self.name}: choices {self.choices} do not go with low, best and high.",
                remedy="Give them ascending, low first, high last, best among them.",
            )

    @property
    def settled(self) -> bool:
        """Whether only one value is possible."""
        return self.low == self.high

    @classmethod
    def exact(cls, name: str, value: float) -> Input:
        """Return an input that was read: one value."""
        return cls(name, value, value, value)

    @classmethod
    def between(
        cls, name: str, low: float, best: float, high: float, *, worse: Worse | None
    ) -> Input:
        """Return an input that lies somewhere from ``low`` to ``high``, ends in."""
        return cls(name, low, best, high, worse)

    @classmethod
    def among(
        cls,
        name: str,
        choices: Sequence[float],
        best: float | None = None,
        *,
        worse: Worse | None = None,
    ) -> Input:
        """Return an input that is one of ``choices``; ``best`` is the middle one if not given."""
        ascending = tuple(sorted(set(choices)))
        if not ascending:
            raise InputError(f"{name}: no choices were given.", remedy="Give at least one value.")
        middle = ascending[(len(ascending) - 1) // 2]
        chosen = middle if best is None else best
        return cls(name, ascending[0], chosen, ascending[-1], worse, ascending)


@dataclass(frozen=True)
class Requirement:
    """A value held against a limit, with what its inputs can be.

    Parameters
    ----------
    function : callable
        Takes every input by keyword, as floats or as arrays of one shape; returns the value and
        the limit, each as an array that broadcasts to that shape. Pure; never NaN; a value
        without bound is given as infinite.
    inputs : tuple of Input
        Independent of each other: a quantity used twice is one input.
    sense : {"at most", "at least"}
        How the value must lie to the limit. [text]
    dear : bool, default False
        Whether a single evaluation takes long: between the corners, all of which are evaluated,
        fewer points are then tried, and turning points are told less finely.
    """

    function: Callable[..., tuple[npt.ArrayLike, npt.ArrayLike]]
    inputs: tuple[Input, ...]
    sense: Sense
    dear: bool = False

    def __post_init__(self) -> None:
        names = [entry.name for entry in self.inputs]
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise InputError(f"{', '.join(twice)}: given twice.", remedy="Name each input once.")
        if self.sense not in ("at most", "at least"):
            raise InputError(f"sense is {self.sense!r}.", remedy="Give 'at most' or 'at least'.")


@dataclass(frozen=True)
class Span:
    """A quantity over what is possible: least, at the best values, and greatest."""

    low: float
    best: float
    high: float


@dataclass(frozen=True)
class TurningPoint:
    """What reading one unsettled input would decide.

    ``adequate_if`` and ``inadequate_if`` are the closed intervals within ``low..high`` on which
    the requirement holds, or fails, whatever the other inputs are (for choices: runs of
    neighbouring choices). Their ends themselves hold, or fail. ``settles`` is the part of the
    range, or of the choices, that they cover: the chance that this reading alone decides.
    ``swing`` is how far the margin moves along this input with the others at their best values.
    """

    input: str
    low: float
    best: float
    high: float
    adequate_if: tuple[Interval, ...]
    inadequate_if: tuple[Interval, ...]
    settles: float
    swing: float


@dataclass(frozen=True)
class Ruling:
    """The verdict over what is possible.

    ``margin`` is the fraction of the limit in hand, negative when the requirement fails.
    ``turns_on`` has every unsettled input of an undetermined requirement, the likeliest to settle
    it first, then by swing; it is empty for the other verdicts. ``rigorous`` says that the whole
    range is covered (every unsettled input has a declared direction, or all its choices were
    tried) and not only a sample of it. ``points`` counts the evaluations made.
    """

    verdict: Verdict
    value: Span
    limit: Span
    margin: Span
    turns_on: tuple[TurningPoint, ...]
    rigorous: bool
    points: int
    sense: Sense
