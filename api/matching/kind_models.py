"""From stored kinds to the matching model, and to what is published of it."""

from collections.abc import Iterable, Mapping

from api.matching.model import DimensionModel, KindModel
from api.matching.shapes import (
    ChoiceAnswer,
    DimensionAnswer,
    ErrorStepAnswer,
    ExtraErrorAnswer,
    InstrumentAnswer,
    KindAnswer,
)
from api.matching.store import StoredKind
from api.measurement.instruments import Instrument
from api.wire.shapes import NM_PER_MM


def kind_model(stored: StoredKind) -> KindModel:
    """Return the matching model of a stored kind."""
    return KindModel(
        kind=stored.kind.code,
        version=stored.kind.model_version,
        unlisted_prior=stored.kind.unlisted_prior,
        dimensions=tuple(
            DimensionModel(
                code=row.code,
                measure=row.measure,
                how=row.how,
                wear_sense=row.wear_sense,
                wear_scale_nm=row.wear_scale_nm or 0,
                span_lower=row.span_lower or 0,
                span_upper=row.span_upper or 0,
                choices=tuple(choice.value for choice in stored.choices.get(row.code, [])),
                slip_chance=row.slip_chance,
                miscount_chance=row.miscount_chance,
                two_point_over=row.two_point_over,
            )
            for row in stored.dimensions
        ),
    )


def kind_answer(stored: StoredKind, instruments: Mapping[str, Instrument]) -> KindAnswer:
    """Publish a kind: its dimensions, every figure of its model with the origin, the instruments."""
    model = kind_model(stored)
    return KindAnswer(
        code=stored.kind.code,
        name=stored.kind.name,
        description=stored.kind.description,
        model=model.version,
        unlisted_prior=model.unlisted_prior,
        unlisted_prior_origin=stored.kind.unlisted_prior_origin,
        dimensions=[
            DimensionAnswer(
                code=row.code,
                name=row.name,
                measure=row.measure,
                how=row.how,
                place=row.place,
                wear_sense=row.wear_sense,
                wear_scale_mm=None if row.wear_scale_nm is None else row.wear_scale_nm / NM_PER_MM,
                span_lower=_span(row.measure, row.span_lower),
                span_upper=_span(row.measure, row.span_upper),
                slip_chance=row.slip_chance,
                miscount_chance=row.miscount_chance,
                two_point_over=row.two_point_over,
                agrees_within=dimension.agrees_within,
                worn_within=dimension.worn_within,
                choices=[
                    ChoiceAnswer(value=choice.value, label=choice.label)
                    for choice in stored.choices.get(row.code, [])
                ],
                origin=row.origin,
            )
            for row, dimension in zip(stored.dimensions, model.dimensions, strict=True)
        ],
        instruments=[instrument_answer(one) for one in _suiting(stored, instruments.values())],
    )


def instrument_answer(instrument: Instrument) -> InstrumentAnswer:
    """Publish an instrument with a source beside each figure."""
    return InstrumentAnswer(
        code=instrument.code,
        name=instrument.name,
        ways=list(instrument.ways),
        resolution_mm=instrument.resolution_nm / NM_PER_MM,
        resolution_source=instrument.resolution_source,
        permissible_error=[
            ErrorStepAnswer(
                up_to_mm=step.up_to_nm / NM_PER_MM, error_mm=step.error_nm / NM_PER_MM, source=step.source
            )
            for step in instrument.steps
        ],
        extra_error=[
            ExtraErrorAnswer(way=extra.way, error_mm=extra.error_nm / NM_PER_MM, source=extra.source)
            for extra in instrument.extra
        ],
    )


def _span(measure: str, value: int | None) -> float | None:
    if value is None:
        return None
    return value / NM_PER_MM if measure == "length" else float(value)


def _suiting(stored: StoredKind, instruments: Iterable[Instrument]) -> list[Instrument]:
    """Return the instruments that can take at least one dimension of the kind."""
    ways = {row.how for row in stored.dimensions if row.measure == "length"}
    return [one for one in instruments if ways & set(one.ways)]
