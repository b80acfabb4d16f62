"""Reads the faults' data file; every fault of the file is named at once."""

from collections.abc import Iterator, Mapping
from typing import Any, Final, get_args

from api.diagnosis.cautions import CAUTIONS
from api.diagnosis.knowledge import OTHER, FaultKnown, Figure, PriorFactor, PriorMember, RootCause
from api.diagnosis.table_members import one_of, origin, positive, refuse, rows, table, text, truth
from api.errors import FieldFault, InvalidInput
from api.starters.positions_of_construction import EXCLUDED
from api.starters.vocabulary import CONSTRUCTIONS, FIELDS, POSITION_KINDS

VOLTAGES = (12, 24)
PRIOR_MEMBERS: Final[tuple[PriorMember, ...]] = get_args(PriorMember)

_WEIGHT = table(weight=positive, origin=origin)
_FACTOR = table(
    {"construction": None, "field": None, "voltage": None},
    construction=one_of(*CONSTRUCTIONS),
    field=one_of(*FIELDS),
    voltage=one_of(*VOLTAGES),
    factor=positive,
    origin=origin,
)


def _prior_factor(value: object) -> PriorFactor:
    read = _FACTOR(value)
    named = [name for name in PRIOR_MEMBERS if read[name] is not None]
    if len(named) != 1:
        raise refuse(", ".join(named), "one of " + ", ".join(PRIOR_MEMBERS), "wrong_type")
    return PriorFactor(named[0], read[named[0]], Figure(read["factor"], read["origin"]))


_FAULT = table(
    {"constructions": CONSTRUCTIONS, "fields": FIELDS},
    code=text,
    name=text,
    place=one_of("starter", "joint", "outside"),
    constructions=rows(one_of(*CONSTRUCTIONS), least=1),
    fields=rows(one_of(*FIELDS), least=1),
    positions=rows(one_of(*POSITION_KINDS)),
    renew=rows(one_of(*POSITION_KINDS)),
    needs_part=truth,
    repair=text,
    cautions=rows(one_of(*CAUTIONS)),
    root_causes=rows(table(check=text, origin=origin)),
    prior=_WEIGHT,
    prior_by=rows(_prior_factor),
)

READ_FAULTS = table(
    construction_weights=table(None, **dict.fromkeys(CONSTRUCTIONS, _WEIGHT)),
    field_weights=table(None, **dict.fromkeys(FIELDS, _WEIGHT)),
    fault=rows(_FAULT, least=2),
)
"""Reads the whole file's table; `make_faults` makes its values."""


def weights(read: Mapping[str, Any]) -> dict[str, Figure]:
    """Return weights with their origins by name."""
    return {name: Figure(one["weight"], one["origin"]) for name, one in read.items()}


def make_faults(read: tuple[Mapping[str, Any], ...]) -> dict[str, FaultKnown]:
    """Return the faults by code; raises `InvalidInput` for codes given twice and what contradicts itself."""
    found = list(_contradictions(read))
    if found:
        raise InvalidInput.of(found)
    return {one["code"]: _fault(one) for one in read}


def _contradictions(read: tuple[Mapping[str, Any], ...]) -> Iterator[FieldFault]:
    codes = [one["code"] for one in read]
    if OTHER not in codes:
        yield FieldFault(("fault",), "", f"a fault with the code {OTHER!r}", "missing")
    for place, one in enumerate(read):
        if one["code"] in codes[:place]:
            yield FieldFault(("fault", place, "code"), one["code"], "each code once", "repeated")
        strange = [code for code in one["renew"] if code not in one["positions"]]
        if strange:
            expected = "only positions that the fault concerns"
            yield FieldFault(("fault", place, "renew"), ", ".join(strange), expected, "contradicts_positions")
        for construction in one["constructions"]:
            if one["positions"] and set(one["positions"]) <= set(EXCLUDED.get(construction, ())):
                expected = f"no {construction}, which has none of the positions"
                path = ("fault", place, "constructions")
                yield FieldFault(path, construction, expected, "contradicts_construction")


def _fault(read: Mapping[str, Any]) -> FaultKnown:
    return FaultKnown(
        **{
            **read,
            "root_causes": tuple(RootCause(one["check"], one["origin"]) for one in read["root_causes"]),
            "prior": Figure(read["prior"]["weight"], read["prior"]["origin"]),
        }
    )
