"""The JSON Schema of the boat file, generated from the records."""

from __future__ import annotations

import json
from typing import Any

from pydantic.json_schema import GenerateJsonSchema

from elec.boat.declared import Record
from elec.boat.records import BoatFile

__all__ = ["boat_schema", "schema_of"]


class _Written(GenerateJsonSchema):
    """Shows what a key left out stands for as it is written in the file."""

    def encode_default(self, dft: Any) -> Any:
        """Return a default as a file has it."""
        if hasattr(dft, "seen"):
            return dft.text if dft.seen else "?"
        return super().encode_default(dft)


def schema_of(model: type[Record], title: str) -> str:
    """Return the schema of a file as JSON text (draft 2020-12)."""
    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    schema |= model.model_json_schema(by_alias=True, schema_generator=_Written)
    schema["title"] = title
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"


def boat_schema() -> str:
    """Return the schema of the boat file, for editors that complete and check."""
    return schema_of(BoatFile, "elec boat file")
