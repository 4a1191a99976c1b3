"""Every public function documents exactly its parameters and what it returns, with units."""

import importlib
import inspect
import pkgutil
import re

import pytest

import elec
import elec.calc


def public_functions():
    for module_info in pkgutil.walk_packages(elec.calc.__path__, "elec.calc."):
        if module_info.ispkg or module_info.name.rpartition(".")[2].startswith("_"):
            continue
        module = importlib.import_module(module_info.name)
        for name in module.__all__:
            thing = getattr(module, name)
            if inspect.isfunction(thing):
                yield pytest.param(thing, id=f"{module_info.name}.{name}")


def section(doc, title):
    found = re.search(rf"^{title}\n-+\n(.*?)(?=^\S[^\n]*\n-{{3,}}\n|\Z)", doc, re.S | re.M)
    return found.group(1) if found else ""


@pytest.mark.parametrize("function", list(public_functions()))
def test_documented_parameters_equal_the_signature_and_carry_units(function):
    doc = inspect.getdoc(function) or ""
    block = section(doc, "Parameters")
    entries = re.split(r"^(?=\S[^\n]* : )", block, flags=re.M)
    documented = {}
    for entry in filter(str.strip, entries):
        head, _, body = entry.partition("\n")
        for name in head.partition(" : ")[0].split(","):
            documented[name.strip().lstrip("*")] = body
    assert list(documented) == list(inspect.signature(function).parameters)
    for name, body in documented.items():
        assert re.search(r"\[[^\]]+\]\s*$", body.strip()), f"{name}: no unit in brackets"
    returned = section(doc, "Returns") or doc.partition("\n")[0]
    assert re.search(r"\[[^\]]+\]", returned), "no unit of what is returned"
