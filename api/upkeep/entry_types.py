"""The types of members that bodies of the catalogue's writes have, as the contract tells them."""

from collections.abc import Mapping
from typing import Annotated, Any, Final, cast

from pydantic import BaseModel, Field, create_model
from pydantic.fields import FieldInfo

from api.money.amounts import AMOUNT_PATTERN, LONGEST_AMOUNT
from api.money.currencies import CURRENCY_CODES
from api.wear_parts.entry_fields import LONGEST_LINE, LONGEST_PROSE
from api.wear_parts.numbers import LONGEST_NUMBER
from api.wire.inputs import NOT_BLANK, Request

Code = Annotated[
    str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]{0,63}$", description="letters, digits, . _ -")
]
Line = Annotated[str, Field(min_length=1, max_length=LONGEST_LINE, pattern=NOT_BLANK)]
Prose = Annotated[str, Field(min_length=1, max_length=LONGEST_PROSE, pattern=NOT_BLANK)]
MakerNumber = Annotated[
    str,
    Field(
        min_length=1,
        max_length=LONGEST_NUMBER,
        pattern=r"[^\W_]",
        description="as its maker writes it, with a letter or a digit",
    ),
]
Amount = Annotated[
    str,
    Field(pattern=AMOUNT_PATTERN, max_length=LONGEST_AMOUNT, description="decimal string", examples=["5.00"]),
]
CurrencyCode = Annotated[
    str, Field(pattern="^[A-Z]{3}$", json_schema_extra={"enum": list(CURRENCY_CODES)}, examples=["USD"])
]
Day = Annotated[
    str, Field(pattern="^[0-9]{4}-[0-9]{2}-[0-9]{2}$", description="a calendar day", examples=["2026-11-25"])
]
LengthOrRange = Annotated[
    str,
    Field(
        min_length=1,
        max_length=60,
        description="a length or a range with its unit",
        examples=["12.500..12.518 mm"],
    ),
]
WithdrawnOn = Annotated[
    Day | None,
    Field(
        description="the day from which it is withdrawn: today (UTC) or a day before, for it counts at once; "
        "null or left out: it is not withdrawn"
    ),
]


class Withdrawable(Request):
    """What every entry may say besides: that it is withdrawn."""

    withdrawn_on: WithdrawnOn = None


def patch_of(model: type[BaseModel]) -> type[BaseModel]:
    """Return the model of a merge patch of `model`: every member may be left out, or null."""
    members: Mapping[str, Any] = {
        name: (Annotated[cast(Any, _patched(field)) | None, Field()], None)
        for name, field in model.model_fields.items()
    }
    name: Final = model.__name__.removesuffix("Request") + "Patch"
    return create_model(name, __base__=Request, __doc__="Members to change; null takes one away.", **members)


def _patched(field: FieldInfo) -> Any:
    """Return what a patch takes for a member: of an object only what changes."""
    inner = field.annotation
    return (
        patch_of(inner)
        if isinstance(inner, type) and issubclass(inner, BaseModel)
        else field.rebuild_annotation()
    )
