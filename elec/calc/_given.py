"""Checks of the arguments of calculations: named, with what was given and what is accepted."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from elec.errors import InputError

__all__ = ["at_least_zero", "finite", "one_of", "positive", "up_to_one", "within"]

Floats = npt.NDArray[np.float64]


def _array(name: str, value: npt.ArrayLike) -> Floats:
    try:
        return np.asarray(value, dtype=np.float64)
    except (TypeError, ValueError):
        raise InputError(f"{name}: {value!r} is not a number.", remedy="Give a number.") from None


def _refuse(name: str, value: Floats, bad: npt.NDArray[np.bool_], accepted: str) -> None:
    if bad.any():
        first = float(value[bad].flat[0]) if value.ndim else float(value)
        raise InputError(f"{name}: {first:g} was given.", remedy=f"Accepted: {accepted}.")


def finite(name: str, value: npt.ArrayLike) -> Floats:
    """Return ``value`` as an array, or raise if any of it is NaN or infinite."""
    array = _array(name, value)
    _refuse(name, array, ~np.isfinite(array), "a finite number")
    return array


def positive(name: str, value: npt.ArrayLike) -> Floats:
    """Return ``value`` as an array, or raise unless all of it is finite and above zero."""
    array = _array(name, value)
    _refuse(name, array, ~(np.isfinite(array) & (array > 0)), "a finite number above zero")
    return array


def at_least_zero(name: str, value: npt.ArrayLike) -> Floats:
    """Return ``value`` as an array, or raise unless all of it is finite and zero or more."""
    array = _array(name, value)
    _refuse(name, array, ~(np.isfinite(array) & (array >= 0)), "a finite number, zero or more")
    return array


def within(name: str, value: npt.ArrayLike, low: float, high: float) -> Floats:
    """Return ``value`` as an array, or raise unless all of it lies in ``low..high``, ends in."""
    array = _array(name, value)
    inside = np.isfinite(array) & (array >= low) & (array <= high)
    _refuse(name, array, ~inside, f"a number from {low:g} to {high:g}")
    return array


def up_to_one(name: str, value: npt.ArrayLike) -> Floats:
    """Return ``value`` as an array, or raise unless all of it is above 0, up to 1."""
    return within(name, positive(name, value), 0, 1)


def one_of(name: str, given: str, accepted: Sequence[str]) -> str:
    """Return ``given``, or raise unless it is one of the words accepted."""
    if given not in accepted:
        raise InputError(
            f"{name}: {given!r} was given.", remedy=f"Accepted: {', '.join(accepted)}."
        )
    return given
