"""The JSON Schema of the boat file, generated from the records."""

from __future__ import annotations

import json

from elec.boat.records import BoatFile

__all__ = ["boat_schema"]


def boat_schema() -> str:
    """Return the schema as JSON text (draft 2020-12), for editors that complete and check."""
    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    schema |= BoatFile.model_json_schema(by_alias=True)
    schema["title"] = "elec boat file"
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"
