"""Redoes every sum of a quote in decimal money; says where each slip is and what follows from it.

Rules: an amount may be rounded either way at a half of its smallest coin, the quote's own; nothing
else is rounded. Below the lines stand, in this order: contingency, discount, tax on what remains,
total.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from elec.json_form import form
from elec.noted import Noted
from elec.quote.money import EXACT, half_coin, show, to_coin
from elec.quote.place import item_of_line
from elec.quote.read import Given
from elec.quote.records import Line, QuoteFile
from elec.quote.slips import likely_figure, likely_product
from elec.quote.words import meaning, plain

__all__ = ["RULES", "Slip", "Sums", "add_up"]

RULES = (
    "Amounts are compared to the smallest coin that the quote prints; a half may be rounded either "
    "way. Contingency is added to the lines, discount taken off, tax is on what remains."
)


@dataclass(frozen=True)
class Slip:
    """One figure that does not follow from those it is made of, and what follows from it."""

    place: str
    file_line: int | None
    kind: str
    printed: Decimal | None
    computed: Decimal | None
    statement: str
    working: str
    likely: str = ""
    follows: tuple[str, ...] = ()
    certain: bool = True

    JSON = form(
        "place file_line kind printed computed statement working likely follows certain",
        likely=lambda slip: slip.likely or None,
    )


@dataclass(frozen=True)
class Figure:
    """One sum of the quote: as printed, from what is printed, and from what should be."""

    name: str
    printed: Decimal | None
    from_printed: Decimal
    right: Decimal
    working: str
    bases: tuple[tuple[Decimal, str], ...] = ()


@dataclass(frozen=True)
class Sums:
    """The sums of a quote, redone."""

    slips: tuple[Slip, ...]
    total_printed: Decimal | None
    total_right: Decimal
    unpriced: tuple[str, ...]
    currency: str
    decimals: int

    JSON = form(
        "rules total_printed total_right without_price slips",
        rules=lambda _: RULES,
        without_price="unpriced",
    )


def add_up(given: Given) -> Sums:
    """Redo every line, subtotal, contingency, discount, tax and the total."""
    quote = given.file.quote
    figures = list(_figures(given))
    slips = list(_lines(given, figures))
    for figure in figures:
        slips += _sum_slip(figure, given, [f.name for f in figures])
    slips += _twice(given)
    total = figures[-1]
    unpriced = tuple(
        line.id
        for line in given.file.line
        if line.amount is None and (line.quantity is None or line.rate is None)
    )
    return Sums(tuple(slips), quote.total, total.right, unpriced, given.currency, given.decimals)


def _right(line: Line, decimals: int) -> Decimal:
    """Return what a line should come to: the printed amount if it is the product, rounded."""
    if line.quantity is None or line.rate is None:
        return line.amount or Decimal(0)
    product = EXACT.multiply(line.quantity, line.rate)
    if line.amount is not None and abs(line.amount - product) <= half_coin(decimals):
        return line.amount
    return to_coin(product, decimals)


def _share(printed: Decimal | None, share: Noted, base: Decimal, decimals: int) -> Decimal:
    """Return a share of a base to the coin: the printed amount if it is that share, rounded."""
    if not share.settled:
        return printed or Decimal(0)
    exact = EXACT.multiply(base, Decimal(repr(round(share.span[1], 12))))
    if printed is not None and abs(printed - exact) <= half_coin(decimals):
        return printed
    return to_coin(exact, decimals)


def _figures(given: Given) -> Iterator[Figure]:
    """Yield each sum in the order of the quote, the total last."""
    file, decimals = given.file, given.decimals
    quote = file.quote
    printed = {line.id: line.amount for line in file.line}
    right = {line.id: _right(line, decimals) for line in file.line}
    as_is = {key: right[key] if value is None else value for key, value in printed.items()}
    yield from _subtotals(file, as_is, right)
    section_sum = sum((subtotal.amount for subtotal in file.subtotal), Decimal(0))
    base, base_right = sum(as_is.values(), Decimal(0)), sum(right.values(), Decimal(0))
    if quote.subtotal is not None:
        whole = all(
            ln.section and any(plain(ln.section) == plain(s.section) for s in file.subtotal)
            for ln in file.line
        )
        from_sections = bool(file.subtotal) and whole and quote.subtotal == section_sum
        yield Figure(
            "subtotal of all lines",
            quote.subtotal,
            section_sum if from_sections else base,
            base_right,
            "sum of all lines",
        )
        base = quote.subtotal
    added, added_right = Decimal(0), Decimal(0)
    steps = (
        ("contingency", quote.contingency, quote.contingency_amount, 1),
        ("discount", quote.discount, quote.discount_amount, -1),
        ("tax", quote.tax, quote.tax_amount, 1),
    )
    words = ["lines"]
    for name, share, amount, sign in steps:
        if amount is None and not share.seen:
            continue
        amount = None if amount is None else abs(amount)
        on, on_right = base + added, base_right + added_right
        on_words = " and ".join(words) if name == "tax" else "the lines"
        if name == "contingency" and quote.contingency_on == "labour":
            hours = [ln.id for ln in file.line if item_of_line(ln) == "labour"]
            on = sum((as_is[i] for i in hours), Decimal(0))
            on_right = sum((right[i] for i in hours), Decimal(0))
            on_words = "labour"
        elif name == "discount":
            on_words = " and ".join(words)
        here = _share(amount, share, on, decimals)
        here_right = _share(amount, share, on_right, decimals)
        if share.settled:
            percent = f"{Decimal(repr(round(share.span[1] * 100, 10))).normalize():f} %"
            working = f"{percent} of {on_words}: {show(on)}"
        else:
            working = "no percentage is stated"
        others = tuple(
            (_share(None, share, other, decimals), f"it is that share of {said}")
            for other, said in ((base, "the lines alone"), (base + added, "what stands above it"))
            if share.settled and other != on
        )
        yield Figure(name, amount, here, here_right, working, others)
        used = here if amount is None else amount
        added, added_right = added + sign * used, added_right + sign * here_right
        words.append(f"{'less ' if sign < 0 else ''}{name}")
    names = {"lines": "lines"} | {f"less {n}": f"- {n}" for n, *_ in steps}
    formula = " ".join(names.get(w, f"+ {w}") if i else w for i, w in enumerate(words))
    yield Figure("total", quote.total, base + added, base_right + added_right, formula)


def _subtotals(
    file: QuoteFile, as_is: dict[str, Decimal], right: dict[str, Decimal]
) -> Iterator[Figure]:
    for subtotal in file.subtotal:
        ids = [
            ln.id for ln in file.line if ln.section and plain(ln.section) == plain(subtotal.section)
        ]
        yield Figure(
            f"subtotal '{subtotal.section}'",
            subtotal.amount,
            sum((as_is[i] for i in ids), Decimal(0)),
            sum((right[i] for i in ids), Decimal(0)),
            "sum of lines " + ", ".join(ids) if ids else "no line stands in this section",
        )


def _lines(given: Given, figures: list[Figure]) -> Iterator[Slip]:
    decimals, currency = given.decimals, given.currency
    for index, line in enumerate(given.file.line):
        if line.quantity is None or line.rate is None:
            continue
        product = EXACT.multiply(line.quantity, line.rate)
        right = _right(line, decimals)
        working = f"{line.quantity:f} x {line.rate:f} = {show(product)}"
        place = f"line '{line.id}'"
        if line.amount is None:
            yield Slip(
                place,
                given.line_number(index),
                "no amount",
                None,
                right,
                f"Line '{line.id}' ({line.text}) has no amount; it comes to "
                f"{show(right, currency)}.",
                working,
                certain=False,
            )
            continue
        if line.amount == right:
            continue
        unit = meaning("unit", line.unit) if line.unit else None
        side = "too much" if line.amount > right else "too little"
        gap = show(abs(line.amount - right), currency)
        yield Slip(
            place,
            given.line_number(index),
            "product",
            line.amount,
            right,
            f"Line '{line.id}' ({line.text}) is charged at {show(line.amount, currency)}; quantity "
            f"times rate is {show(right, currency)}: {gap} {side}.",
            working,
            likely_product(line.quantity, line.rate, line.amount, unit, decimals),
            tuple(_follows(line, figures, currency)),
        )


def _follows(line: Line, figures: list[Figure], currency: str) -> Iterator[str]:
    for figure in figures:
        mine = figure.name.startswith("subtotal '")
        if mine and (not line.section or plain(figure.name[10:-1]) != plain(line.section)):
            continue
        if figure.printed is None or figure.from_printed == figure.right:
            continue
        if figure.printed == figure.right:
            yield f"The {figure.name} is right all the same: it was not made with this amount."
        elif figure.printed == figure.from_printed:
            yield (
                f"The {figure.name}, {show(figure.printed, currency)}, agrees with the wrong "
                f"amount and is wrong with it: {show(figure.right, currency)} with every line put "
                "right."
            )


def _sum_slip(figure: Figure, given: Given, names: list[str]) -> Iterator[Slip]:
    printed, currency, decimals = figure.printed, given.currency, given.decimals
    if printed is None or printed in (figure.from_printed, figure.right):
        return
    key = {"subtotal of all lines": "subtotal", "total": "total"}.get(
        figure.name, f"{figure.name}_amount"
    )
    number = given.lines.get(("quote", key))
    for index, subtotal in enumerate(given.file.subtotal):
        if figure.name == f"subtotal '{subtotal.section}'":
            number = given.lines.get(("subtotal", index))
    computed = figure.from_printed
    gap = abs(printed - computed)
    likely = next((words for other, words in figure.bases if other == printed), "")
    likely = likely or likely_figure(printed, computed, decimals)
    if (
        not likely
        and figure.name == "tax"
        and gap <= half_coin(decimals) * (len(given.file.line) + 1)
    ):
        likely = "each line's tax rounded by itself would explain it"
    later = names[names.index(figure.name) + 1 :]
    after = [name for name in later if not name.startswith("subtotal '")]
    yield Slip(
        f"the {figure.name}",
        number,
        "sum",
        printed,
        computed,
        f"The {figure.name} is printed as {show(printed, currency)}; it comes to "
        f"{show(computed, currency)}: {show(gap, currency)} "
        f"{'too much' if printed > computed else 'too little'}.",
        f"{figure.working} = {show(computed)}",
        likely,
        (f"It is carried into: {', '.join(after)}.",) if after else (),
    )


def _twice(given: Given) -> Iterator[Slip]:
    first: dict[tuple[object, ...], str] = {}
    for index, line in enumerate(given.file.line):
        if not line.amount:
            continue
        key = (plain(line.text), line.quantity, line.rate, line.replaces, line.belongs)
        if key in first:
            yield Slip(
                f"line '{line.id}'",
                given.line_number(index),
                "twice",
                line.amount,
                None,
                f"Line '{line.id}' ({line.text}) is the same as line '{first[key]}': is "
                f"{show(line.amount, given.currency)} charged twice?",
                "same words, quantity and rate",
                certain=False,
            )
        first.setdefault(key, line.id)
