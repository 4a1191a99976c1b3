"""The registry: a check is one record in the file of its name; a refusal stays with its entry."""

from __future__ import annotations

from importlib import import_module
from pkgutil import walk_packages
from typing import get_args

import pytest

from elec import checks as house
from elec.boat.read import from_data
from elec.checks import registry
from elec.checks.cannot import CannotJudge
from elec.checks.registry import Check, System
from elec.errors import InputError
from elec.finding import NotChecked

MODULES = [one.name for one in walk_packages(house.__path__, "elec.checks.") if not one.ispkg]
BOAT = from_data(
    {
        "boat": {"name": "Tern"},
        "bank": [{"id": name, "where": "locker"} for name in ("a", "b", "c")],
    },
    "test",
)


@pytest.mark.parametrize("module", MODULES)
def test_a_check_stands_in_the_file_of_its_name_and_nowhere_else(module: str) -> None:
    record = getattr(import_module(module), "CHECK", None)
    if record is None:
        return
    assert isinstance(record, Check)
    assert module.rpartition(".")[2] == record.name.replace("-", "_")
    assert registry.check_of(record.name) is record
    assert registry.checks()[record.name] is record
    assert record.judges
    assert record.system in get_args(System)


def test_every_system_is_asked_about_and_no_two_checks_stand_in_one_place() -> None:
    records = registry.checks().values()
    assert {one.system for one in records} == set(get_args(System))
    assert len({one.place for one in records}) == len(records)


def test_no_two_files_of_the_wings_share_a_name() -> None:
    names = [module.rpartition(".")[2] for module in MODULES]
    assert len(set(names)) == len(names)


def test_a_name_that_is_no_check_is_answered_with_the_nearest() -> None:
    with pytest.raises(InputError, match="there is no check 'run-dorp'") as error:
        registry.check_of("run-dorp")
    assert "Did you mean 'run-drop'?" in error.value.remedy


def of_banks(ask) -> Check:
    return Check("invented", "nothing", "metals", 1, ask, "bank")


@pytest.mark.parametrize(
    ("error", "reason", "read"),
    [
        pytest.param(CannotJudge("no label", "the label"), "no label", "the label", id="lacking"),
        pytest.param(
            InputError("0 A heats nothing."),
            "it could not be worked out: 0 A heats nothing.",
            "0 A heats nothing.",
            id="arithmetic",
        ),
    ],
)
def test_what_one_entry_lacks_leaves_the_others_judged(error, reason, read) -> None:
    def ask(bank, _boat, _basis):
        if bank.id == "b":
            raise error
        return NotChecked("asked", bank.id, "")

    found = list(registry._ask_together([of_banks(ask)], BOAT, "us"))
    assert [(one.check, one.subject) for one in found] == [
        ("asked", "a"),
        ("invented", "b"),
        ("asked", "c"),
    ]
    assert found[1] == NotChecked("invented", "b", reason, "locker", read)


def test_what_was_answered_before_a_refusal_stands() -> None:
    def ask(bank, _boat, _basis):
        yield NotChecked("asked", bank.id, "first")
        raise CannotJudge("then nothing")

    found = list(registry._ask_together([of_banks(ask)], BOAT, "us"))
    assert [one.reason for one in found] == ["first", "then nothing"] * 3


def test_what_cannot_be_prepared_is_refused_to_each_of_those_that_share_it() -> None:
    def prepare(bank, _boat, _basis):
        if bank.id == "a":
            raise CannotJudge("not traced")
        return bank.id

    def ask(made, _boat, _basis):
        return NotChecked("asked", made, "")

    two = [
        Check(name, "nothing", "metals", place, ask, "bank", prepare)
        for place, name in ((11, "one"), (12, "other"))
    ]
    found = list(registry._ask_together(two, BOAT, "us"))
    assert [(one.check, one.subject) for one in found] == [
        ("one", "a"),
        ("other", "a"),
        ("asked", "b"),
        ("asked", "b"),
        ("asked", "c"),
        ("asked", "c"),
    ]
