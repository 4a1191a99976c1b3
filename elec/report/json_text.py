"""Surveys as JSON; the same survey gives the same bytes."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from typing import Any

from elec.json_form import as_json
from elec.survey import Survey

__all__ = ["document", "render", "written"]


def _finite(value: Any) -> Any:
    if isinstance(value, float):
        return float(f"{value:.12g}") if math.isfinite(value) else None
    if isinstance(value, dict):
        return {key: _finite(item) for key, item in value.items()}
    return [_finite(item) for item in value] if isinstance(value, list) else value


def document(record: Any) -> Any:
    """Return the JSON form: numbers with twelve significant digits, null for what is not finite."""
    return _finite(as_json(record))


def written(whole: Any) -> str:
    """Return a document as text."""
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def render(surveys: Sequence[Survey]) -> str:
    """Return one document, or a list of them when several boats were surveyed."""
    documents = [document(survey) for survey in surveys]
    return written(documents[0] if len(documents) == 1 else documents)
