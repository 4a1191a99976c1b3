"""A judged quote as JSON; the same quote gives the same bytes."""

from __future__ import annotations

from elec.json_form import as_json
from elec.quote.judging import Judged
from elec.report.json_text import finite, written

__all__ = ["render"]


def render(judged: Judged) -> str:
    """Return one document; money stands as text, so that no digit is lost."""
    return written(finite(as_json(judged)))
