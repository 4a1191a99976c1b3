"""Counts: cable against both conductors of its run, batteries against their strings."""

from __future__ import annotations

from typing import Any, Literal

from elec import units
from elec.boat.records import Bank, BoatFile, Entry, Run
from elec.checks.question import Question
from elec.finding import Finding, Step
from elec.noted import Noted
from elec.published import table
from elec.quote.brings import pieces, total_length
from elec.quote.place import item_of_line, line_entry, list_of, new_id
from elec.quote.records import Line, QuoteFile
from elec.quote.remark import Remark
from elec.quote.words import meaning

__all__ = ["COUNT", "LENGTH", "counts", "lengths"]

LENGTH, COUNT = "quote-length", "quote-count"
#: Over this share of what both conductors need, the length itself is asked about. Our own, no
#: source.
_AMPLE = 1.5
_FT_PER_M = 1 / units.to_base(1.0, "ft", "length")
_BOTH = 2
#: A slip of units is recognised within this: a length may be a little short, or have tails.
_UNDER, _OVER = 0.97, 1.3


def lengths(file: QuoteFile, boat: BoatFile, after: BoatFile) -> tuple[list[Finding], list[Remark]]:
    """Judge the length of each line of cable against both conductors of the run it replaces."""
    findings: list[Finding] = []
    remarks: list[Remark] = []
    groups: dict[tuple[str, ...], list[Line]] = {}
    for line in file.line:
        if item_of_line(line) == "cable":
            names = [n for n in (*line.replaces, *line.belongs) if list_of(boat, n) == "run"]
            groups.setdefault(tuple(names) or (new_id(line),), []).append(line)
    for named, lines in groups.items():
        line = lines[0]
        runs = [boat.find(name) or after.find(name) for name in named]
        have = [total_length(one) for one in lines]
        known = [r for r in runs if isinstance(r, Run) and _one_way(line, r, runs).seen]
        if None in have or not known or len(known) < len(runs):
            remarks.append(_unsaid(line, runs != [None], None not in have))
            continue
        finding, remark = _length(lines, known, runs)
        findings.append(finding)
        if remark is not None:
            remarks.append(remark)
    return findings, remarks


def _one_way(line: Line, run: Run, runs: list[Entry | None]) -> Noted:
    """Return the length of a run: noted aboard, or stated on a line that is for it alone."""
    stated = line.length.seen and len(runs) == 1 and not run.length.seen
    return line.length if stated else run.length


def _unsaid(line: Line, named: bool, counted: bool) -> Remark:
    lacking = [
        *([] if counted else ["how many metres of conductor it charges"]),
        *([] if named else ["for which run aboard it is, or that run has no length noted"]),
    ] or ["a run whose length was noted aboard"]
    return Remark(
        f"line '{line.id}'",
        "length",
        f"Line '{line.id}' ({line.text}): its length cannot be checked; it lacks "
        f"{' and '.join(lacking)}.",
        "",
        f"Line {line.id} ({line.text}): which run is it for, how long is that run one way, and how "
        "many metres of each conductor are charged?",
    )


def _length(
    lines: list[Line], known: list[Run], runs: list[Entry | None]
) -> tuple[Finding, Remark | None]:
    """Judge the lines charged for one run, which may come as one line for each conductor."""
    line = lines[0]
    got = sum(length.span[1] for one in lines if (length := total_length(one)) is not None)
    question = Question()
    for number, run in enumerate(known):
        question.noted(
            f"run_{number}_m", _one_way(line, run, runs), entry=run, field="length", worse="higher"
        )

    def requirement(**given: Any) -> tuple[Any, Any]:
        return got, _BOTH * sum(given[f"run_{i}_m"] for i in range(len(known)))

    ruling = question.rule(requirement, "at least")
    best = question.best_values()
    one_way = float(sum(best[f"run_{i}_m"] for i in range(len(known))))
    need = _BOTH * one_way
    names = " and ".join(f"'{run.id}'" for run in known)
    others = "".join(f", with line '{one.id}'," for one in lines[1:])
    words = f"Line '{line.id}' ({line.text}){others}"
    likely = _likely(got, need, meaning("unit", line.unit or "") or "")
    high = float(ruling.limit.high)
    finding = question.finding(
        ruling,
        check=LENGTH,
        entry=line_entry(f"line {line.id}"),
        quantity="length",
        worst="B",
        statement=lambda value, limit: (
            f"{words} charges {value} of conductor; {names} needs {limit}, out and back.{likely}"
        ),
        working=(
            Step("need", "2 x length one way", f"2 x {one_way:.4g} m", need, "m"),
            Step(
                "have",
                "quantity x conductors in the cable",
                " + ".join(f"{one.quantity:f} {one.unit} x {one.conductors}" for one in lines),
                got,
                "m",
            ),
        ),
        sources=[table("refit_quote_items").source(item="battery cable")],
        remedy=f"Ask for {units.show_limit(high, 'length', sense='at least')} or more of single "
        "conductor, and something for tails.",
    )
    if got <= _AMPLE * high:
        return finding, None
    return finding, Remark(
        f"line '{line.id}'",
        "length",
        f"{words} charges {units.show(got, 'length')} of conductor, "
        f"{got / high:.2g} times what {names} needs ({units.show(high, 'length')}, out and back)."
        f"{likely}",
        f"{got:.4g} m / (2 x {high / _BOTH:.4g} m) = {got / high:.3g}",
        f"Line {line.id} ({line.text}): why {units.show(got, 'length')}, when {names} is "
        f"{units.show(high / _BOTH, 'length')} one way?{likely}",
    )


def _likely(got: float, need: float, unit: str) -> str:
    """Say which slip of units or of counting would explain a length."""
    fits = [
        (0.5, "it fits one conductor only: the way back is left out?"),
        (2.0, "it fits both conductors counted twice: is it a twin cable?"),
    ]
    if unit == "m":
        fits.insert(0, (_FT_PER_M, "the figure fits feet: metres charged for feet?"))
    else:
        fits.insert(0, (1 / _FT_PER_M, "the figure fits metres: feet charged for metres?"))
    for factor, words in fits:
        if need * factor * _UNDER <= got <= need * factor * _OVER:
            return f" Likely {words}"
    return ""


def counts(file: QuoteFile, boat: BoatFile) -> list[Finding]:
    """Judge the number of batteries charged against the strings that the quote states."""
    found = []
    for line in file.line:
        count = pieces(line)
        if item_of_line(line) != "battery" or count is None:
            continue
        series, parallel = line.in_series, line.in_parallel
        bank = next((boat.find(n) for n in line.replaces if list_of(boat, n) == "bank"), None)
        if series == "?" and isinstance(bank, Bank):
            series = bank.in_series
            if line.voltage.seen and bank.voltage.seen:
                series = max(1, round(bank.voltage.span[1] / line.voltage.span[1]))
        if not isinstance(series, int):
            continue
        strings = parallel if isinstance(parallel, int) else max(1, -(-count // series))
        if series * strings != count:
            found.append(_count(line, count, series, strings))
    return found


def _count(line: Line, count: int, series: int, strings: int) -> Finding:
    need = series * strings
    sense: Literal["at least", "at most"] = "at least" if count < need else "at most"
    question = Question()
    return question.finding(
        question.rule(lambda: (count, need), sense),
        check=COUNT,
        entry=line_entry(f"line {line.id}"),
        quantity="ratio",
        worst="B",
        statement=lambda _value, _limit: (
            f"Line '{line.id}' ({line.text}) charges {count} batteries; {series} in series by "
            f"{strings} in parallel are {need}."
        ),
        working=(Step("n", "in series x in parallel", f"{series} x {strings}", float(need), ""),),
        sources=[table("refit_quote_items").source(item="batteries and hold-downs")],
        remedy=f"Ask for {need} batteries, or how {count} are to be connected.",
    )
