"""What starting up loads: what takes long to load is loaded where it is used, not before.

Counts modules, not milliseconds; the times are measured by ``tests/benchmarks/bench_commands.py``.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
HEAVY = {"matplotlib", "numpy", "pint", "rich", "scipy", "tabulate"}
#: The command library itself loads pydantic when it runs a command, so only imports forgo it.
RECORDS = {"pydantic", "pydantic_core"}
COMMANDS = {"typer", "click"}


def loaded(code: str, *arguments: str) -> tuple[set[str], subprocess.CompletedProcess[str]]:
    """Return the top-level modules that a fresh process loads to run ``code``, and how it ended."""
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-c", code, *arguments],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    lines = done.stderr.splitlines()
    timed = [line.split("|") for line in lines if line.startswith("import time:")]
    assert len(timed) > 10, done.stderr
    return {parts[-1].strip().partition(".")[0] for parts in timed}, done


def command(*arguments: str) -> tuple[set[str], subprocess.CompletedProcess[str]]:
    """Run the command line in a fresh process."""
    return loaded("from elec.cli import main; main()", *arguments)


def test_a_heavy_module_would_be_seen() -> None:
    modules, _ = loaded("import numpy")
    assert modules & HEAVY == {"numpy"}


def test_the_package_loads_nothing_heavy() -> None:
    modules, done = loaded("import elec")
    assert done.returncode == 0, done.stderr
    assert not modules & (HEAVY | RECORDS | COMMANDS)


@pytest.mark.parametrize("module", ["elec.cli", "elec.cli.app"])
def test_the_command_line_loads_nothing_heavy(module: str) -> None:
    modules, done = loaded(f"import {module}")
    assert done.returncode == 0, done.stderr
    assert not modules & (HEAVY | RECORDS)


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        pytest.param(("--help",), 0, id="help"),
        pytest.param(("--version",), 0, id="version"),
        pytest.param(("survey", "--help"), 0, id="help of a command"),
        pytest.param((), 2, id="nothing given"),
        pytest.param(("survey",), 2, id="no boat given"),
        pytest.param(("survy",), 2, id="misspelt command"),
        pytest.param(("survey", "--no-such-option", "boat.toml"), 2, id="unknown option"),
        pytest.param(("survey", "--basis", "none", "boat.toml"), 2, id="unknown basis"),
        pytest.param(("survey", "--json", "--csv", "boat.toml"), 2, id="two forms at once"),
    ],
)
def test_help_version_and_usage_errors_load_nothing_heavy(
    arguments: tuple[str, ...], code: int
) -> None:
    modules, done = command(*arguments)
    assert done.returncode == code, done.stderr
    assert "Traceback" not in done.stderr
    assert not modules & HEAVY


def test_version_is_that_of_the_package() -> None:
    from elec import __version__

    _, done = command("--version")
    assert done.stdout == f"elec {__version__}\n"


def test_listing_tables_loads_no_numbers() -> None:
    modules, done = command("table")
    assert done.returncode == 0, done.stderr
    assert not modules & (HEAVY - {"tabulate"})


@pytest.mark.parametrize("boat", ["caldra_wren", "ostrelline", "vindle_sorrel"])
def test_a_survey_does_without_what_takes_long_to_load(boat: str) -> None:
    modules, done = command("survey", str(EXAMPLES / f"{boat}.toml"))
    assert "INADEQUATE" in done.stdout, done.stderr
    assert not modules & {"matplotlib", "pint", "rich", "scipy"}


def test_calculations_load_no_units_library_and_no_records() -> None:
    code = """
import importlib, pkgutil, elec.calc
for found in pkgutil.walk_packages(elec.calc.__path__, "elec.calc."):
    importlib.import_module(found.name)
"""
    modules, done = loaded(code)
    assert done.returncode == 0, done.stderr
    assert not modules & (HEAVY | RECORDS | COMMANDS) - {"numpy"}
    assert "numpy" in modules
