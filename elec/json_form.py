"""The JSON form of what is handed out: of a record its fields, or what its ``JSON`` says."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from dataclasses import fields, is_dataclass
from decimal import Decimal
from operator import attrgetter
from typing import Any

__all__ = ["Form", "as_json", "form", "span"]

Form = dict[str, Callable[[Any], Any]]


def form(keys: str, **made: str | Callable[[Any], Any]) -> Form:
    """Return the keys of a record in their order, each with what gives its value.

    That is the attribute of the same name, unless ``made`` names another or works it out.
    """
    how = {key: made.get(key, key) for key in keys.split()}
    return {key: attrgetter(one) if isinstance(one, str) else one for key, one in how.items()}


def as_json(value: Any) -> Any:
    """Return the JSON form of a value; money is text, so that no digit is lost."""
    if is_dataclass(value):
        shown = getattr(value, "JSON", None) or form(" ".join(f.name for f in fields(value)))
        return {key: as_json(one(value)) for key, one in shown.items()}
    if isinstance(value, dict):
        return {key: as_json(one) for key, one in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, str):
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
