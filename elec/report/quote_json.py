"""A judged quote as JSON; the same quote gives the same bytes."""

from __future__ import annotations

import json

from elec.quote.judging import Judged
from elec.report.json_text import finite

__all__ = ["render"]


def render(judged: Judged) -> str:
    """Return one document; money stands as text, so that no digit is lost."""
    return json.dumps(finite(judged.as_dict()), indent=2, ensure_ascii=False) + "\n"
