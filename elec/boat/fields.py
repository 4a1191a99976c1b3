"""Field types of the boat file: values as noted, sizes, years, yes/no/not seen."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Annotated, Any

from pydantic import BeforeValidator
from pydantic_core import core_schema

from elec import noted, units
from elec.errors import InputError
from elec.noted import Choice, Noted

__all__ = [
    "Amount",
    "Factor",
    "Gauge",
    "GaugeNoted",
    "Id",
    "OneOf",
    "Presence",
    "Words",
    "Year",
    "YearNoted",
]


class OneOf:
    """Makes a field one of some words: ``Annotated[Choice, OneOf("yes", "no")]``."""

    def __init__(self, *words: str) -> None:
        self.words = words
        self.any = Choice(words, seen=False)

    def read(self, given: Any, handler: Callable[[Any], Any]) -> Choice:
        """Read a word that pydantic accepts, or take a choice as it is."""
        if isinstance(given, Choice):
            return given
        word = handler(given)
        return self.any if word == "?" else Choice((word,))

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> core_schema.CoreSchema:
        accepted = core_schema.literal_schema([*self.words, "?"])
        return core_schema.no_info_wrap_validator_function(self.read, accepted)


#: yes, no, or not seen
Presence = Annotated[Choice, OneOf("yes", "no")]


@dataclass(frozen=True)
class _Read:
    """Makes a field what a function makes of it; the schema is given, nothing is looked into."""

    read: Callable[[Any], Any]
    schema: dict[str, Any]

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: Any, handler: Any) -> dict[str, Any]:
        return self.schema


def _quoted(given: Any) -> str:
    text = repr(given) if isinstance(given, str) else str(given)
    return text if len(text) <= 60 else text[:57] + "..."


@dataclass(frozen=True)
class Amount:
    """Makes a field a noted value of one quantity: ``Annotated[Noted, Amount("current")]``."""

    quantity: str

    def read(self, given: Any) -> Noted:
        """Read what the file gives, refusing bare numbers and other things without a unit."""
        known = units.QUANTITIES[self.quantity]
        remedy = (
            f'Give a value with its unit in quotes, for example "{known.example}", '
            'a range, or "?" if not seen.'
        )
        if isinstance(given, Noted):
            return given
        if isinstance(given, str):
            return noted.read(given, self.quantity)
        if isinstance(given, (int, float)) and not isinstance(given, bool):
            if not known.base:
                return noted.read(repr(given), self.quantity)
            raise InputError(f"{given} has no unit; {known.words} is needed.", remedy=remedy)
        raise InputError(f"{_quoted(given)} is not {known.words}.", remedy=remedy)

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: Any, handler: Any) -> dict[str, Any]:
        known = units.QUANTITIES[self.quantity]
        return {
            "type": "string",
            "description": (
                f"{known.words}: exact, a range (low..high), about (~), or ? if not seen; "
                f"units {', '.join(known.units)}"
            ),
            "examples": [known.example],
        }


@dataclass(frozen=True)
class Factor(Amount):
    """Makes a field a power factor, lagging unless ``leading`` stands behind it."""

    quantity: str = "ratio"

    def read(self, given: Any) -> Noted:
        """Read a power factor; the text of a leading one says so."""
        if not isinstance(given, str):
            return super().read(given)
        plain, side = re.fullmatch(r"(.*?)\s*(leading|lagging|)\s*", given, re.I | re.S).groups()  # type: ignore[union-attr]
        value = super().read(plain)
        leads = side.lower() == "leading" and value.seen
        return replace(value, text=f"{value.text} leading") if leads else value

    def __get_pydantic_json_schema__(self, schema: Any, handler: Any) -> dict[str, Any]:
        made = super().__get_pydantic_json_schema__(schema, handler)
        words = f"{made['description']}; 'leading' behind it where it is"
        return made | {"description": words, "examples": ["0.8", "0.95 leading"]}


@dataclass(frozen=True)
class GaugeNoted:
    """A conductor size as noted; ``ambiguous`` when "gauge" may mean AWG or smaller SAE.

    ``among`` are the sizes that it may be, smallest first, where that is several.
    """

    size: units.Size | None
    ambiguous: bool
    text: str
    among: tuple[units.Size, ...] = ()

    @property
    def seen(self) -> bool:
        """Whether a size was read at all."""
        return self.size is not None

    def show(self) -> str:
        """Return the size in words for a screen."""
        if self.size is None and self.among:
            return f"{self.among[0].label} to {self.among[-1].label}"
        return self.size.label if self.size else "not seen"


def _gauge(given: Any) -> GaugeNoted:
    if not isinstance(given, str):
        raise InputError(
            f"{_quoted(given)} is not a conductor size.",
            remedy='Give it with its system in quotes, for example "2 AWG", "35 mm²", or "?".',
        )
    if given.strip() in {"?", "not seen"}:
        return GaugeNoted(None, False, given)
    size = units.size(given)
    return GaugeNoted(size, bool(re.search(r"ga(uge)?\b|^\s*#", given, re.I)), given)


Gauge = Annotated[
    GaugeNoted,
    _Read(
        _gauge,
        {
            "type": "string",
            "description": "conductor size with its system; ? if not seen",
            "examples": ["2 AWG", "4/0 AWG", "250 kcmil", "35 mm²"],
        },
    ),
]


@dataclass(frozen=True)
class YearNoted:
    """A year, or the years it may be, as noted."""

    years: tuple[int, ...]
    text: str

    @property
    def seen(self) -> bool:
        """Whether any year was read."""
        return bool(self.years)


_YEAR_HELP = 'Give a year such as 2016, a range "2014..2016", "2005 or 2015", or "?".'


def _year(given: Any) -> YearNoted:
    if isinstance(given, int) and not isinstance(given, bool):
        years: tuple[int, ...] = (given,)
    elif isinstance(given, str):
        text = given.strip()
        if text in {"?", "not seen"}:
            return YearNoted((), given)
        if found := re.fullmatch(r"(\d{4})\s*(?:\.\.|-|–)\s*(\d{4})", text):
            first, last = int(found[1]), int(found[2])
            if last < first or last - first > 60:
                raise InputError(f"{_quoted(given)} is not a range of years.", remedy=_YEAR_HELP)
            years = tuple(range(first, last + 1))
        elif re.fullmatch(r"\d{4}(\s*(or|,)\s*\d{4})*", text):
            years = tuple(sorted(int(y) for y in re.findall(r"\d{4}", text)))
        else:
            raise InputError(f"{_quoted(given)} is not a year.", remedy=_YEAR_HELP)
    else:
        raise InputError(f"{_quoted(given)} is not a year.", remedy=_YEAR_HELP)
    if any(year < 1900 or year > 2100 for year in years):
        raise InputError(f"{_quoted(given)} is outside 1900..2100.", remedy=_YEAR_HELP)
    return YearNoted(years, str(given))


Year = Annotated[
    YearNoted,
    _Read(
        _year,
        {
            "anyOf": [{"type": "integer", "minimum": 1900}, {"type": "string"}],
            "description": "a year, a range of years, several possible years, or ? if not seen",
            "examples": [2016, "2014..2016", "2005 or 2015"],
        },
    ),
]


def _plain_text(longest: int) -> Callable[[Any], Any]:
    def check(given: Any) -> Any:
        if isinstance(given, str):
            if len(given) > longest:
                raise InputError(
                    f"the text is {len(given)} characters long.",
                    remedy=f"At most {longest} characters.",
                )
            if not given.strip():
                raise InputError("the text is empty.", remedy="Give words, or leave the key out.")
        return given

    return check


#: Free words; escaped wherever they are shown.
Words = Annotated[str, BeforeValidator(_plain_text(2000))]


def _id(given: Any) -> Any:
    if isinstance(given, str) and not re.fullmatch(
        r"[A-Za-z0-9]([A-Za-z0-9 ,_./+()'-]{0,58}[A-Za-z0-9_./+()'-])?", given
    ):
        raise InputError(
            f"{_quoted(given)} cannot be an id.",
            remedy="Letters, digits, spaces and , _ - . / + ( ) ', at most 60: 'bow thruster'.",
        )
    return given


Id = Annotated[str, BeforeValidator(_id)]
