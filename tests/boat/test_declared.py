"""Every field of every record is declared once, and what is declared can be used."""

from __future__ import annotations

from collections.abc import Iterator
from typing import get_args

import pytest

from elec.boat.declared import Declaration, How, Record
from elec.boat.possible import possible
from elec.boat.records import BatteryString, Boat, BoatFile
from elec.noted import Choice, Noted

#: What names an entry or the boat is not read off anything.
NAMES = {"id", "name"}


def records() -> dict[str, type[Record]]:
    """Return every record of a boat file by its list."""
    lists = {name: info.annotation for name, info in BoatFile.model_fields.items()}
    found = {name: get_args(kind)[0] for name, kind in lists.items() if name != "boat"}
    return {"boat": Boat, **found, "bank.string": BatteryString}


def fields() -> Iterator[tuple[str, type[Record], str]]:
    """Return every field with its list and record."""
    for name, record in records().items():
        for field in record.model_fields:
            if field not in NAMES:
                yield name, record, field


FIELDS = [pytest.param(record, field, id=f"{name}.{field}") for name, record, field in fields()]


@pytest.mark.parametrize(("record", "field"), FIELDS)
def test_a_field_says_how_it_is_read_and_what_it_may_be(record: type[Record], field: str) -> None:
    facts = record.declarations[field]
    assert isinstance(facts, Declaration)
    assert facts.how in get_args(How)
    assert "{id}" in facts.read or not facts.read
    assert set(facts.names) <= set(records())
    if facts.may_be:
        low, high, source = possible(facts.may_be)
        assert low <= (low if facts.best is None else facts.best) <= high
        assert source


@pytest.mark.parametrize(("record", "field"), FIELDS)
def test_what_is_left_out_of_a_value_or_a_yes_or_no_was_not_seen(
    record: type[Record], field: str
) -> None:
    info = record.model_fields[field]
    if info.annotation not in (Noted, Choice) or info.is_required():
        return
    if (record.__name__, field) == ("Run", "switch"):
        return  # closed where there is none: to be taken up where unknowns are
    assert not info.default.seen


def test_a_word_and_its_record_are_equal_only_to_their_like() -> None:
    one = BoatFile.model_validate({"boat": {"name": "x"}, "inlet": [{"id": "a"}]})
    same = BoatFile.model_validate(
        {"boat": {"name": "x"}, "inlet": [{"id": "a", "isolator": "?", "service": "?"}]}
    )
    other = BoatFile.model_validate(
        {"boat": {"name": "x"}, "inlet": [{"id": "a", "isolator": "no"}]}
    )
    assert one == same
    assert one != other
