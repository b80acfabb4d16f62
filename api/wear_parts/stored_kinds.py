"""A stored kind as the rules of sizes take it."""

from collections import defaultdict

from sqlalchemy import select

from api.columns import columns
from api.database import ReadSession
from api.wear_parts.entries import ChoiceEntry, DimensionEntry, KindEntry
from api.wear_parts.tables import Dimension, DimensionChoice, Kind

_choice = columns(DimensionChoice)
_dimension = columns(Dimension)
_kind = columns(Kind)


def kind_entry(reads: ReadSession, code: str) -> KindEntry | None:
    """Return the kind of a code with its dimensions and their choices, in order, or nothing."""
    kind = reads.first(select(*_kind).where(_kind.code == code))
    if kind is None:
        return None
    choices: dict[str, list[ChoiceEntry]] = defaultdict(list)
    for row in reads.rows(select(*_choice).where(_choice.kind_code == code).order_by(_choice.sequence)):
        choices[row.dimension_code].append(ChoiceEntry(row.value, row.label))
    rows = reads.rows(select(*_dimension).where(_dimension.kind_code == code).order_by(_dimension.sequence))
    return KindEntry(
        code=kind.code,
        name=kind.name,
        description=kind.description,
        model_version=kind.model_version,
        unlisted_prior=kind.unlisted_prior,
        unlisted_prior_origin=kind.unlisted_prior_origin,
        dimensions=tuple(
            DimensionEntry(
                code=row.code,
                name=row.name,
                measure=row.measure,
                how=row.how,
                place=row.place,
                wear_sense=row.wear_sense,
                wear_scale_nm=row.wear_scale_nm,
                span_lower=row.span_lower,
                span_upper=row.span_upper,
                slip_chance=row.slip_chance,
                miscount_chance=row.miscount_chance,
                two_point_over=row.two_point_over,
                origin=row.origin,
                choices=tuple(choices[row.code]),
            )
            for row in rows
        ),
    )
