"""A figure for the terminal: state of charge through the hours, 80 columns."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["charge_figure"]

_COLUMNS = 72
_ROWS = 10
_MARKS = {"band": "░", "best": "█", "limit": "─", "axis": "│"}
_PLAIN = {"band": ".", "best": "#", "limit": "-", "axis": "|"}


def charge_figure(
    hours: Sequence[float],
    *,
    low: Sequence[float],
    best: Sequence[float],
    high: Sequence[float],
    limit: float,
    plain: bool = False,
) -> str:
    """Draw state of charge, 0 to 1, against time, with all that is possible behind the likeliest.

    ``limit`` is the usable one, drawn as a line; ``plain`` keeps to ASCII characters.
    """
    marks = _PLAIN if plain else _MARKS
    end = hours[-1]
    at = [_nearest(hours, end * column / (_COLUMNS - 1)) for column in range(_COLUMNS)]
    lines = ["State of charge, % of what the bank holds"]
    limit_row = round(limit * _ROWS)
    for row in range(_ROWS, -1, -1):
        cells = []
        for i in at:
            bottom, middle, top = (round(values[i] * _ROWS) for values in (low, best, high))
            if row == middle:
                cells.append(marks["best"])
            elif row == limit_row:
                cells.append(marks["limit"])
            elif bottom <= row <= top:
                cells.append(marks["band"])
            else:
                cells.append(" ")
        lines.append(f"{row * 100 // _ROWS:4d} {marks['axis']}{''.join(cells)}".rstrip())
    ticks = [" "] * (_COLUMNS + 6)
    for part in range(5):
        text = f"{end * part / 4:.3g}"
        start = min(round((_COLUMNS - 1) * part / 4), _COLUMNS - len(text))
        ticks[start : start + len(text)] = text
    lines.append(f"      {''.join(ticks).rstrip()} h")
    lines.append(
        f"      {marks['best']} best values   {marks['band']} all that is possible   "
        f"{marks['limit']} usable limit"
    )
    return "\n".join(lines)


def _nearest(hours: Sequence[float], wanted: float) -> int:
    return min(range(len(hours)), key=lambda i: abs(hours[i] - wanted))
