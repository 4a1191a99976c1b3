"""The JSON form of what is handed out: of a record its fields, or what its ``JSON`` says."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from dataclasses import is_dataclass
from decimal import Decimal
from operator import attrgetter
from typing import Any

__all__ = ["Form", "as_json", "form", "span"]

Form = Callable[[Any], dict[str, Any]]


def form(keys: str, **made: str | Callable[[Any], Any]) -> Form:
    """Return what gives these keys of a record, in this order.

    Each is the attribute of its name, unless ``made`` names another or works it out.
    """
    named = {key: made.get(key, key) for key in keys.split()}
    how = {key: attrgetter(one) if isinstance(one, str) else one for key, one in named.items()}
    return lambda record: {key: one(record) for key, one in how.items()}


def as_json(value: Any) -> Any:
    """Return the JSON form of a value; money is text, so that no digit is lost."""
    if value is None or isinstance(value, (str, int, float)):
        return value
    if is_dataclass(value):
        value = value.JSON() if hasattr(value, "JSON") else vars(value)
    if isinstance(value, dict):
        return {key: as_json(one) for key, one in value.items()}
    if isinstance(value, Sequence):
        return [as_json(one) for one in value[:]]  # a slice: some make all they hold at once
    if isinstance(value, Decimal):
        return f"{value:f}"
    return value.isoformat() if isinstance(value, datetime.date) else value


def span(ends: Sequence[float] | None) -> dict[str, float] | None:
    """Return two numbers as low and high, three with the best between them."""
    if ends is None:
        return None
    names = ("low", "high") if len(ends) == 2 else ("low", "best", "high")
    return dict(zip(names, ends, strict=True))
