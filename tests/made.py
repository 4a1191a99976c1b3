"""What tests share: a boat in a line, her survey, one finding of it, and printed numbers."""

from __future__ import annotations

import datetime
import tomllib
from pathlib import Path

import pytest

from elec.boat.lines import Places
from elec.boat.read import from_data
from elec.boat.records import BoatFile
from elec.survey import survey

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
PASSES = {"adequate", "marginal"}
FOOT_M, INCH_M, POUND_KG = 0.3048, 0.0254, 0.45359237  # international foot, inch and pound
YEAR_H = 8760.0  # as DNV-RP-B401 and the ABS guidance notes count it


# -- boats -----------------------------------------------------------------------------------------


def from_text(text):
    """The boat of a file with this text."""
    return from_data(tomllib.loads(text), "boat.toml", Places(text))


def changed(text, *changes):
    """The text with every old words in it replaced by new ones."""
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text


def example(name, *changes):
    """One of the boats that come with the package, some words of her file changed."""
    return from_text(changed((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8"), *changes))


def boat_of(*, about=None, basis="us", odd=False, **lists):
    """A boat of these lists of entries; an odd one is not asked whether they fit each other."""
    first = {"name": "Test", "basis": basis, "length": "12 m"}
    first |= {"surveyed": datetime.date(2026, 5, 20)} | (about or {})
    data = {"boat": first, **lists}
    return BoatFile.model_validate(data) if odd else from_data(data, "boat.toml")


def run(**changes):
    """A cable of which all is noted; a field that is None is left out."""
    whole = {
        "id": "r",
        "voltage": "24 V",
        "current": "40 A",
        "length": "8 m",
        "size": "6 AWG",
        "insulation": "105 °C",
        "engine_space": "no",
        "bundled": 2,
        "circuit": "other",
    } | changes
    return {name: value for name, value in whole.items() if value is not None}


def inlet(**changes):
    return {"id": "i", "rating": "50 A", "service": "120/240 V", "supply": "240 V"} | changes


def ac_load(name, current, legs, **changes):
    """A load of so many amperes on the legs of an inlet."""
    volts = "240 V" if "-" in legs else "120 V"
    drawn = {"id": name, "inlet": "i", "current": f"{current} A", "volts": volts, "legs": legs}
    return drawn | {"when": ["shore"]} | changes


CORD = {"id": "c", "inlet": "i", "size": "6 AWG", "length": "15 m"}
FEEDER = run(id="f", voltage="240 V", current="50 A", length="3 m", size="2 AWG", circuit=None)
FEEDER |= {"from": "i"}
BANK = {
    "id": "bank",
    "voltage": "12 V",
    "chemistry": "agm",
    "capacity": "200 Ah",
    "rate": "20 h",
    "temperature": "25 °C",
    "remaining": "100 %",
}
LOAD = {"id": "load", "bank": "bank", "current": "2 A", "hours": "24 h", "when": ["anchor"]}


def bank(**changes):
    return BANK | changes


# -- what is found of them -------------------------------------------------------------------------


def surveyed(*only, **lists):
    """The survey of a boat of these lists, by some checks or by all."""
    return survey(boat_of(**lists), only=only)


def one(result, check="", subject="", words="", *, part=None):
    """The only finding of a survey that is of all this."""
    found = [
        f
        for f in result.findings
        if check in ("", f.check)
        and subject in ("", f.subject)
        and part in (None, f.part)
        and all(some in f.statement for some in ([words] if isinstance(words, str) else words))
    ]
    assert len(found) == 1, [(f.check, f.about, f.statement) for f in result.findings]
    return found[0]


def judged(check, part=None, **lists):
    """The only finding of one check of a boat of these lists."""
    return one(surveyed(check, **lists), part=part)


def alone(result):
    """The only finding of a survey that left nothing unchecked."""
    assert not result.not_checked
    return one(result)


def unjudged(result):
    """What was not checked, nothing having been found."""
    assert not result.findings
    (item,) = result.not_checked
    return item


def step(found, symbol, words=""):
    """The number of a step of the working."""
    (one,) = [s for s in found.working if s.symbol == symbol and words in s.formula]
    return one.result


# -- numbers ---------------------------------------------------------------------------------------


def near(value, rel=0.01):
    return pytest.approx(value, rel=rel)


def half_digit(text):
    """Half of the last digit of a printed number."""
    return 0.5 * 10.0 ** -len(text.partition(".")[2]) * (1 + 1e-9)


def printed(text):
    """A printed number, with half of its last digit as tolerance."""
    return pytest.approx(float(text), abs=half_digit(text) + 1e-12, rel=0)


def holds(text, exact, *, also=0.0):
    """Assert that a printed cell is its exact value, rounded."""
    assert float(text) == pytest.approx(exact, abs=half_digit(text) + also, rel=0)


def pairs(table, *columns):
    """The rows of some columns of a table, as printed."""
    return list(zip(*(table.text(column) for column in columns), strict=True))


# -- the command line ------------------------------------------------------------------------------
