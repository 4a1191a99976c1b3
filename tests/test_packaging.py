"""What is shipped: the data folder beside the code, the names taken, versions that agree.

The wheel itself is built, installed and used by ``.ci/package``.
"""

from __future__ import annotations

import ast
import importlib.metadata
import re
import sys
import tomllib
from pathlib import Path

import elec
from elec import published

ROOT = Path(__file__).resolve().parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
BUILD = PROJECT["tool"]["hatch"]["build"]["targets"]


def test_no_python_in_the_tables_folder() -> None:
    """An editable install fails with Python there, and ``tables`` is another package's name."""
    assert not [path.name for path in (ROOT / "tables").rglob("*.py*")]
    assert not (ROOT / "tables" / "__init__.py").exists()


def test_tables_are_mapped_into_the_package_and_found() -> None:
    wheel = BUILD["wheel"]
    assert set(wheel["only-include"]) == {"elec", "tables"}
    assert wheel["sources"] == {"tables": "elec/tables"}
    shipped = {path.stem for path in (ROOT / "tables").glob("*/*.csv")}
    assert shipped
    assert set(published.names()) == shipped


def test_the_source_distribution_holds_what_it_names() -> None:
    for name in BUILD["sdist"]["include"]:
        assert (ROOT / name.removeprefix("/")).exists(), name
    assert (ROOT / PROJECT["project"]["readme"]).is_file()
    assert (ROOT / "elec" / "py.typed").is_file()


def test_nothing_else_takes_a_place_at_import() -> None:
    assert list(PROJECT["project"]["scripts"]) == ["elec"]
    assert not (ROOT / "elec" / "tables").exists()


def test_installed_version_is_that_of_the_code() -> None:
    assert importlib.metadata.version("elec") == elec.__version__


def third_party_imports(folder: str) -> set[str]:
    """Return the top-level names imported there, but for Python's own, ours, and benchmarks'."""
    found: set[str] = set()
    for path in (ROOT / folder).rglob("*.py"):
        if "benchmarks" in path.parts:
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                found.update(alias.name.partition(".")[0] for alias in node.names)
            elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                found.add(node.module.partition(".")[0])
    return found - set(sys.stdlib_module_names) - {"elec"}


def declared(requirements: list[str]) -> set[str]:
    return {re.match(r"[\w.-]+", entry).group().lower() for entry in requirements}  # type: ignore[union-attr]


def test_what_the_package_imports_is_what_it_declares() -> None:
    companions = {"pydantic_core"}  # of pydantic, of one version with it
    dependencies = declared(PROJECT["project"]["dependencies"])
    assert third_party_imports("elec") - companions == dependencies


def test_what_the_tests_import_is_declared() -> None:
    extra = PROJECT["project"]["optional-dependencies"]["test"]
    runtime = declared(PROJECT["project"]["dependencies"])
    shared = {path.stem for path in (ROOT / "tests").glob("*.py")}
    assert third_party_imports("tests") - shared <= declared(extra) | runtime
