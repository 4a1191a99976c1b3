"""Quotes made at random for a small boat, with one fault planted: found in all, none invented.

What is expected follows from how each fault is planted, not from the program's output.
"""

from __future__ import annotations

import random
from decimal import Decimal

import pytest

import made_quotes as make
from elec.json_form import as_json
from elec.quote.judging import judge_quote
from elec.quote.read import read
from elec.survey import survey
from made import from_text

OMITTED = {
    "hold-down": "B", "terminal cover": "C", "switch": "C", "monitor": "C", "disposal": "C",
    "temperature sensor": "C", "lug": "C", "commissioning": "C", "drawings": "C", "labels": "C",
}  # fmt: skip


@pytest.fixture(scope="module")
def aboard():
    boat = from_text(make.BOAT)
    return boat, survey(boat)


def judged(quote, aboard, tmp_path, form="toml"):
    path = tmp_path / f"quote.{form}"
    text = make.as_toml(quote) if form == "toml" else make.as_csv(quote)
    path.write_bytes(text.encode())
    boat, before = aboard
    return judge_quote(read(path), boat, before=before)


def bad(result):
    """Return the quote's own findings that are not adequate, and those that it makes."""
    own = {
        (f.check, f.subject) for f in result.findings if f.verdict in ("inadequate", "undetermined")
    }
    return own | {(f.check, f.subject) for f in result.made}


# -- faults: each plants one, and returns how to see that it was found -------------------------


def _wrong_amount(change):
    def plant(quote, rng):
        line = rng.choice([ln for ln in quote["line"] if change(ln) != ln["amount"]])
        line["amount"] = change(line)
        make.add_up(quote)
        return lambda r: [s.place for s in r.sums.slips if s.certain] == [f"line '{line['id']}'"]

    return plant


def _swapped(line):
    digits = f"{line['amount']:.2f}"
    for i in range(len(digits) - 1):
        a, b = digits[i], digits[i + 1]
        if a != b and "." not in (a, b):
            return Decimal(digits[:i] + b + a + digits[i + 2 :])
    return line["amount"]


def _feet(line):
    return make.coin(line["amount"] * make.FOOT) if line["unit"] == "m" else line["amount"]


def _pair(line):
    return line["amount"] * 2 if line["unit"] == "each" else line["amount"]


def _tenfold(line):
    return line["amount"] * 10


def _wrong_sum(key, place):
    def plant(quote, rng):
        step = make.Decimal(rng.randint(1, 99999)) / 100
        if key in quote:
            quote[key] += step
        else:
            quote["subtotals"][key] += step
        if key == "tax_amount" and not quote["tax"]:
            quote["tax"] = 20
            make.add_up(quote)
            quote[key] += step
        return lambda r: (
            r.sums.slips[0].place == place and all(s.kind == "sum" for s in r.sums.slips)
        )

    return plant


def _twice(quote, rng):
    line = rng.choice(quote["line"][12:])
    quote["line"].append({**line, "id": "99"})
    make.add_up(quote)
    return lambda r: [(s.place, s.kind) for s in r.sums.slips] == [("line '99'", "twice")]


def _one_conductor(quote, rng):
    line = rng.choice([ln for ln in quote["line"] if ln["item"] == "cable"])
    line["quantity"] = make.Decimal({"windlass": 9, "galley feeder": 4}[line["replaces"]])
    line["amount"] = make.coin(line["quantity"] * line["rate"])
    make.add_up(quote)
    return lambda r: ("quote-length", f"line {line['id']}") in bad(r) and not r.sums.slips


def _metres_for_feet(quote, rng):
    line = rng.choice([ln for ln in quote["line"] if ln["item"] == "cable"])
    line["quantity"] = make.Decimal(int(line["quantity"] / make.FOOT) + 1)
    line["amount"] = make.coin(line["quantity"] * line["rate"])
    make.add_up(quote)
    return lambda r: any(
        x.kind == "length" and line["id"] in x.place and "feet" in x.statement for x in r.remarks
    )


def _thin_cable(quote, rng):
    # 80 A on 12 AWG: 33 CFR 183.425 Table 5, 45 A at 105 °C
    line = make.line_of(quote, "cable", replaces="windlass")
    line["size"] = "12 AWG"
    return lambda r: {("run-drop", "windlass"), ("run-protection", "windlass")} <= bad(r)


def _large_breaker(quote, rng):
    # 33 CFR 183.455(c)(1): 150 % of the ampacity of 1/0 AWG, 285 A at 105 °C, is 428 A
    line = make.line_of(quote, "fuse", replaces="windlass breaker")
    line["rating"] = f"{rng.choice([450, 500, 600])} A"
    return lambda r: ("run-protection", "windlass") in bad(r)


def _batteries(quote, rng):
    line = make.line_of(quote, "battery")
    line["quantity"] += rng.choice([-1, 1])
    line["amount"] = make.coin(line["quantity"] * line["rate"])
    make.add_up(quote)
    return lambda r: ("quote-count", "line 1") in bad(r)


def _left_out(quote, rng):
    item = rng.choice(list(OMITTED))
    quote["line"] = [ln for ln in quote["line"] if ln["item"] != item]
    make.add_up(quote)

    def found(result):
        hits = [f for f in result.findings if f.check == "quote-omission"]
        return [(f.subject.rpartition(": ")[2], f.priority) for f in hits] == [
            (item, OMITTED[item])
        ]

    return found


def _hours(quote, rng):
    line = make.line_of(quote, "labour")
    line["quantity"] = make.Decimal(rng.choice([3, 150]))
    line["amount"] = make.coin(line["quantity"] * line["rate"])
    make.add_up(quote)
    return lambda r: [x.kind for x in r.remarks if x.kind == "labour"] == ["labour"]


def _lithium(quote, rng):
    line = make.line_of(quote, "battery")
    line["chemistry"] = "lfp"
    return lambda r: (
        {
            ("charger-profile", "charger"),
            ("quote-omission", "line 1: management system"),
        }
        <= bad(r)
    )


def _profile(quote, rng):
    make.line_of(quote, "charger")["profile"] = "lfp"
    return lambda r: ("charger-profile", "charger") in bad(r)


FAULTS = {
    "digits swapped": _wrong_amount(_swapped),
    "metres priced as feet": _wrong_amount(_feet),
    "each for pair": _wrong_amount(_pair),
    "decimal mark": _wrong_amount(_tenfold),
    "section": _wrong_sum("Cables", "the subtotal 'Cables'"),
    "subtotal": _wrong_sum("subtotal", "the subtotal of all lines"),
    "tax": _wrong_sum("tax_amount", "the tax"),
    "total": _wrong_sum("total", "the total"),
    "charged twice": _twice,
    "one conductor": _one_conductor,
    "metres for feet": _metres_for_feet,
    "thin cable": _thin_cable,
    "large breaker": _large_breaker,
    "number of batteries": _batteries,
    "left out": _left_out,
    "hours": _hours,
    "lithium": _lithium,
    "charger profile": _profile,
}


@pytest.mark.parametrize("block", range(10))
def test_one_planted_fault_is_found(block, aboard, tmp_path):
    """200 quotes: 20 in each block, the kinds of fault in turn."""
    for seed in range(block * 20, block * 20 + 20):
        rng = random.Random(seed)
        quote = make.sound(rng)
        name = list(FAULTS)[seed % len(FAULTS)]
        found = FAULTS[name](quote, rng)
        result = judged(quote, aboard, tmp_path, form=("toml", "csv")[seed // 18 % 2])
        assert found(result), (seed, name, [s.statement for s in result.sums.slips], bad(result))
        assert result.questions
        assert result.exit_code in (1, 3)


@pytest.mark.parametrize("seed", range(12))
def test_nothing_is_invented_for_a_sound_quote(seed, aboard, tmp_path):
    quote = make.sound(random.Random(1000 + seed))
    for form in ("toml", "csv"):
        result = judged(quote, aboard, tmp_path, form)
        assert result.sums.slips == ()
        assert result.sums.total_right == quote["total"]
        assert bad(result) == set()
        assert [r.statement for r in result.remarks if r.kind in ("length", "labour")] == []
        assert result.fitted.left == ()


@pytest.mark.parametrize("seed", range(6))
def test_both_forms_say_the_same(seed, aboard, tmp_path):
    rng = random.Random(2000 + seed)
    quote = make.sound(rng)
    _twice(quote, rng)
    _hours(quote, rng)
    documents = []
    for form in ("toml", "csv"):
        document = as_json(judged(quote, aboard, tmp_path, form))
        for slip in document["sums"]["slips"]:
            del slip["file_line"]
        documents.append(document)
    assert documents[0] == documents[1]
