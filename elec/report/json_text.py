"""Surveys as JSON; the same survey gives the same bytes."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from typing import Any

from elec.survey import Survey

__all__ = ["finite", "render"]


def finite(value: Any) -> Any:
    """Return a value with twelve significant digits, and null for what is not finite."""
    """Return a value with twelve significant digits; what is not finite is None."""
    if isinstance(value, float):
        if math.isfinite(value):
            return float(f"{value:.12g}")
        return None
    if isinstance(value, dict):
        return {key: finite(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [finite(item) for item in value]
    return value


def render(surveys: Sequence[Survey]) -> str:
    """Return one document, or a list of them when several boats were surveyed.

    Numbers carry twelve significant digits; what is not finite is null.
    """
    documents = [finite(survey.as_dict()) for survey in surveys]
    whole = documents[0] if len(documents) == 1 else documents
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"
