"""The JSON Schema of the quote file, generated from the records."""

from __future__ import annotations

import json

from elec.quote.records import QuoteFile

__all__ = ["quote_schema"]


def quote_schema() -> str:
    """Return the schema as JSON text (draft 2020-12), for editors that complete and check."""
    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    schema |= QuoteFile.model_json_schema(by_alias=True)
    schema["title"] = "elec quote file"
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"
