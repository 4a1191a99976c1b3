"""What is known of a field before anybody looks: declared once, on its record.

From it the boat file, its blank and its schema, the walk sheet, the cross checks, the quote and
the questions of the checks read how the field is read, what it may be, what it cannot be.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar, Literal, get_args

from pydantic import BaseModel, ConfigDict, Field
from pydantic.fields import FieldInfo

from elec.boat.bounds import Bound
from elec.boat.curve import NO_CURVE, Curve
from elec.boat.fields import Amount, GaugeNoted, OneOf, YearNoted
from elec.noted import unseen

__all__ = ["Declaration", "How", "Record", "declaration", "declared"]

#: By eye, off its plate, by a meter, from papers, or only by a licensed electrician.
How = Literal["look", "plate", "meter", "papers", "specialist"]


@dataclass(frozen=True)
class Declaration:
    """The facts of one field.

    Parameters
    ----------
    how : How
        How it is read. [text]
    description : str, default ""
        What it is, where its key does not say it all. [text]
    words : str, default ""
        Its name in a sentence; the key with spaces if not given. [text]
    read : str, default ""
        The words that ask for it, ``{id}`` for the entry; "the WORDS of '{id}'" if blank. [text]
    may_be : str, default ""
        The row of table ``possible_ranges`` or ``ac_practice`` that holds what it may be when it
        was not seen; nothing bounds it if not given. [text]
    best : float, optional
        The likeliest value in that range. [working unit]
    bound : Bound, optional
        What no gear aboard can have. [-]
    stays : bool, default False
        Whether it belongs to the place and its wiring, and so stays when a quote renews the thing
        there. [-]
    names : tuple of str, default ()
        Lists of the boat file whose entries it may name. [text]
    example : str, default ""
        What stands in the blank boat file; made from the kind of field, or from the entries that
        it may name, if not given. [text]
    instead : bool, default False
        Whether it says in another way what a key before it says. [-]
    sheet : bool, optional
        Whether the walk sheet has room for it; it has for all but what names other entries. [-]
    """

    how: How
    description: str = ""
    words: str = ""
    read: str = ""
    may_be: str = ""
    best: float | None = None
    bound: Bound | None = None
    stays: bool = False
    names: tuple[str, ...] = ()
    example: str = ""
    instead: bool = False
    sheet: bool | None = None

    @property
    def on_sheet(self) -> bool:
        """Whether the walk sheet has room for it."""
        return not self.names if self.sheet is None else self.sheet

    def __call__(self, _schema: dict[str, Any]) -> None:
        """Add nothing to the JSON Schema; pydantic keeps what may."""


_NOT_SEEN: Any = object()


def declared(
    how: How,
    description: str = "",
    *,
    default: Any = _NOT_SEEN,
    alias: str | None = None,
    **facts: Any,
) -> Any:
    """Return a field of a record with its facts; "not seen" unless another default is given.

    Parameters
    ----------
    how, description, **facts
        The facts of a ``Declaration``. [-]
    default : any, optional
        What a key left out stands for; ``...`` where it may not be left out. [-]
    alias : str, optional
        Its key, where that is a word of Python. [text]
    """
    facts_of = Declaration(how, description, **facts)
    return Field(
        default=default, alias=alias, description=description or None, json_schema_extra=facts_of
    )


class Record(BaseModel):
    """What all records have in common: no unknown keys, no changes, each field declared."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        arbitrary_types_allowed=True,
        populate_by_name=True,
        defer_build=True,  # the file's own reads all of them: none is built for itself alone
    )
    declarations: ClassVar[dict[str, Declaration]] = {}

    @classmethod
    def __pydantic_init_subclass__(cls, **_kwargs: Any) -> None:
        """Gather the facts of the fields, and let what is left out be not seen."""
        own = {
            name: info.json_schema_extra
            for name, info in cls.__pydantic_fields__.items()
            if isinstance(info.json_schema_extra, Declaration)
        }
        cls.declarations = cls.declarations | own
        for name in own:
            info = cls.__pydantic_fields__[name]
            info.json_schema_extra = None
            if info.default is _NOT_SEEN:
                info.default = _not_seen(info)


def _not_seen(info: FieldInfo) -> Any:
    """Return what stands for a field of this kind that was not seen."""
    for kind in info.metadata:
        if isinstance(kind, Amount):
            return unseen(kind.quantity)
        if isinstance(kind, OneOf):
            return kind.any
    made = {GaugeNoted: GaugeNoted(None, False, "?"), YearNoted: YearNoted((), "?")}
    if info.annotation in made:
        return made[info.annotation]
    if info.annotation is Curve:
        return NO_CURVE
    inside = get_args(info.annotation)
    if type(None) in inside:
        return None
    if any(get_args(kind) == ("?",) for kind in inside):
        return "?"
    return ()


def declaration(record: Record | type[Record], field: str) -> Declaration:
    """Return the facts of a field of a record."""
    return record.declarations[field]
