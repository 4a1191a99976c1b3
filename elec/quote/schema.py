"""The JSON Schema of the quote file, generated from the records."""

from __future__ import annotations

from elec.boat.schema import schema_of
from elec.quote.records import QuoteFile

__all__ = ["quote_schema"]


def quote_schema() -> str:
    """Return the schema of the quote file, for editors that complete and check."""
    return schema_of(QuoteFile, "elec quote file")
