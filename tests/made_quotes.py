"""Makes a sound quote for a small boat at random, with or without one planted fault."""

from __future__ import annotations

import csv
import io
import random
from decimal import ROUND_HALF_UP, Decimal

BOAT = """
[boat]
name = "Tarnhollow"
length = "11 m"
surveyed = 2026-04-01
hull = "grp"
water = "sea"
fuel = "diesel"
basis = "us"

[[bank]]
id = "house bank"
voltage = "12 V"
chemistry = "agm"
capacity = "100 Ah"
rate = "20 h"
in_series = 1
in_parallel = 2
year = 2019
rings_on_post = 2

[[charger]]
id = "charger"
bank = "house bank"
current = "30 A"
voltage = "12 V"
profile = "agm"

[[run]]
id = "windlass"
kind = "windlass"
voltage = "12 V"
current = "80 A"
length = "9 m"
size = "1/0 AWG"
insulation = "105 °C"
engine_space = "no"
bundled = 2
circuit = "other"
protection = "windlass breaker"

[[run]]
id = "galley feeder"
voltage = "12 V"
current = "30 A"
length = "4 m"
size = "6 AWG"
insulation = "105 °C"
engine_space = "no"
bundled = 2
circuit = "other"
protection = "galley fuse"

[[protection]]
id = "windlass breaker"
device = "breaker"
rating = "100 A"
distance = "5 in"
at_battery = "yes"

[[protection]]
id = "galley fuse"
device = "fuse"
rating = "60 A"
distance = "5 in"
at_battery = "yes"
"""

COIN = Decimal("0.01")
FOOT = Decimal("0.3048")


def coin(amount):
    return amount.quantize(COIN, ROUND_HALF_UP)


def money(rng, low, high):
    return Decimal(rng.randint(low * 100, high * 100)) / 100


def sound(rng: random.Random) -> dict:
    """Return a quote without a fault: every line, companion and sum as it should be."""
    batteries = rng.choice([2, 3])
    windlass, galley = rng.randint(19, 21), rng.randint(9, 10)
    lines = [
        ["Batteries", "AGM battery 12 V 100 Ah", "battery", batteries, "each", money(rng, 150, 400),
         {"replaces": "house bank", "chemistry": "agm", "capacity": "100 Ah", "hour_rate": "20 h",
          "voltage": "12 V", "in_series": 1, "in_parallel": batteries, "charge_limit": "60 A"}],
        ["Batteries", "Hold-downs", "hold-down", 1, "set", money(rng, 40, 90),
         {"for": "house bank"}],
        ["Batteries", "Terminal covers", "terminal cover", 6, "each", money(rng, 3, 9),
         {"for": "house bank"}],
        ["Batteries", "Vents to the outside", "ventilation", 2, "each", money(rng, 20, 60),
         {"for": "house bank", "opening": "150 cm²"}],
        ["Batteries", "Battery switch", "switch", 1, "each", money(rng, 50, 99),
         {"for": "house bank"}],
        ["Batteries", "Battery monitor and shunt", "monitor", 1, "each", money(rng, 120, 300),
         {"for": "house bank"}],
        ["Batteries", "Charger 12 V 30 A", "charger", 1, "each", money(rng, 200, 500),
         {"replaces": "charger", "rating": "30 A", "voltage": "12 V", "profile": "agm"}],
        ["Batteries", "Temperature sensor", "temperature sensor", 1, "each", money(rng, 20, 40),
         {"for": "charger"}],
        ["Batteries", "Fuse of the charger cable", "fuse", 1, "each", money(rng, 20, 40),
         {"for": "charger"}],
        ["Batteries", "Disposal of old batteries", "disposal", 52, "kg", money(rng, 1, 2), {}],
        ["Cables", "Cable 1/0 AWG", "cable", windlass, "m", money(rng, 15, 29),
         {"replaces": "windlass", "size": "1/0 AWG", "insulation": "105 °C"}],
        ["Cables", "Cable 6 AWG", "cable", galley, "m", money(rng, 4, 9),
         {"replaces": "galley feeder", "size": "6 AWG", "insulation": "105 °C"}],
        ["Cables", "Windlass breaker", "fuse", 1, "each", money(rng, 60, 160),
         {"replaces": "windlass breaker", "device": "breaker", "rating": "100 A"}],
        ["Cables", "Lugs and heat-shrink", "lug", 4, "pair", money(rng, 5, 9), {}],
        ["Work", "Labour", "labour", rng.randint(28, 40), "h", money(rng, 60, 95), {}],
        ["Work", "Commissioning and test report", "commissioning", 4, "h", money(rng, 60, 95), {}],
        ["Work", "Wiring diagram", "drawings", 5, "h", money(rng, 60, 95), {}],
        ["Work", "Labels", "labels", 1, "lot", money(rng, 50, 99), {}],
    ]  # fmt: skip
    quote = {
        "currency": rng.choice(["EUR", "GBP", "SEK", "NZD"]),
        "contingency": rng.choice([0, 10, 15]),
        "discount": rng.choice([0, 5]),
        "tax": rng.choice([0, 20, 21, 25]),
        "line": [
            {"id": str(n), "section": s, "text": t, "item": i, "quantity": Decimal(q), "unit": u,
             "rate": r, "amount": coin(q * r), **more}
            for n, (s, t, i, q, u, r, more) in enumerate(lines, start=1)
        ],
    }  # fmt: skip
    return add_up(quote)


def add_up(quote: dict) -> dict:
    """Fill in every sum from the amounts as they stand."""
    sections = dict.fromkeys(line["section"] for line in quote["line"])
    quote["subtotals"] = {
        s: sum(ln["amount"] for ln in quote["line"] if ln["section"] == s) for s in sections
    }
    base = quote["subtotal"] = sum(quote["subtotals"].values())
    for name, sign in (("contingency", 1), ("discount", -1), ("tax", 1)):
        here = quote["subtotal"] if name == "contingency" else base
        quote[f"{name}_amount"] = coin(here * quote[name] / 100)
        base += sign * quote[f"{name}_amount"]
    quote["total"] = base
    return quote


def line_of(quote: dict, item: str, **having) -> dict:
    """Return the first line for an item, with such keys."""
    return next(
        ln
        for ln in quote["line"]
        if ln["item"] == item and all(ln.get(k) == v for k, v in having.items())
    )


def as_toml(quote: dict) -> str:
    """Write it as a quote file."""
    out = ["[quote]", f'currency = "{quote["currency"]}"', f'subtotal = "{quote["subtotal"]}"']
    for name in ("contingency", "discount", "tax"):
        if quote[name]:
            out += [f'{name} = "{quote[name]} %"', f'{name}_amount = "{quote[name + "_amount"]}"']
    out.append(f'total = "{quote["total"]}"')
    for line in quote["line"]:
        out.append("[[line]]")
        out += [f"{k} = {v}" if isinstance(v, int) else f'{k} = "{v}"' for k, v in line.items()]
    for section, amount in quote["subtotals"].items():
        out += ["[[subtotal]]", f'section = "{section}"', f'amount = "{amount}"']
    return "\n".join(out) + "\n"


def as_csv(quote: dict, delimiter: str = ";", comma: bool = True) -> str:
    """Write it as a yard would export it."""
    keys = list(dict.fromkeys(k for line in quote["line"] for k in line))
    place = {key: keys.index(key) for key in ("text", "amount")}

    def number(value):
        return str(value).replace(".", ",") if comma else str(value)

    def row(text, amount):
        cells = [""] * len(keys)
        cells[place["text"]], cells[place["amount"]] = text, number(amount)
        return cells

    out = io.StringIO()
    writer = csv.writer(out, delimiter=delimiter, lineterminator="\r\n")
    writer.writerow(["Currency", quote["currency"]])
    writer.writerow(keys)
    for line in quote["line"]:
        cells = [line.get(k, "") for k in keys]
        writer.writerow([number(c) if isinstance(c, Decimal) else c for c in cells])
    for section, amount in quote["subtotals"].items():
        writer.writerow(row(f"Subtotal {section}", amount))
    writer.writerow(row("Subtotal", quote["subtotal"]))
    for name, word in (("contingency", "Contingency"), ("discount", "Discount"), ("tax", "VAT")):
        if quote[name]:
            writer.writerow(row(f"{word} {quote[name]} %", quote[f"{name}_amount"]))
    writer.writerow(row("Total", quote["total"]))
    return out.getvalue()
