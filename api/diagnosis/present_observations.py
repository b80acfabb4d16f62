"""Gives observations, tests and what was stated of them their wire shapes."""

from itertools import pairwise

from api.diagnosis.answer_shapes import (
    ExpectedAnswer,
    NextTestAnswer,
    Observable,
    ObservableNumber,
    ObservationAnswer,
    ObservedAnswer,
    OriginAnswer,
    PublishedAnswer,
)
from api.diagnosis.cautions import CAUTIONS
from api.diagnosis.knowledge import NumberKnown, ObservationKnown, Origin
from api.diagnosis.likelihood import STATES
from api.diagnosis.next_test import Advice
from api.diagnosis.scales import Held, edges_of, limit_of, most_plausible, rated_of
from api.diagnosis.stated import Chosen, Measured, Stated
from api.diagnosis.subject import Subject
from api.fit.reason_shapes import FitCaution, caution_answers


def origin_answer(origin: Origin) -> OriginAnswer:
    """Give an origin its wire shape."""
    return OriginAnswer(kind=origin.kind, source=origin.source)


def cautions_of(known: ObservationKnown) -> list[FitCaution]:
    """Return the cautions at an observation's step."""
    return caution_answers(CAUTIONS[code] for code in known.cautions)


def observable(known: ObservationKnown, subject: Subject) -> Observable:
    """Give an observation its wire shape; numbers as they are for the starter's voltage."""
    number = known.number
    held = None if number is None else _held(number, subject)
    return Observable(
        code=known.code,
        question=known.question,
        how=known.how,
        kind=known.kind,
        hazard=known.hazard,
        who=known.who,
        battery=known.battery,
        minutes=known.minutes.value,
        constructions=list(known.constructions),
        fields=list(known.fields),
        answers=_answers(known, subject, held),
        number=None if number is None else _number(number, subject, held),
        cautions=cautions_of(known),
    )


def _held(number: NumberKnown, subject: Subject) -> Held | None:
    return rated_of(number, subject) if number.scale == "rated" else limit_of(number, subject, None)


def _answers(known: ObservationKnown, subject: Subject, held: Held | None) -> list[ObservationAnswer]:
    if known.number is None:
        return [
            ObservationAnswer(code=one.code, words=one.words, lower=None, upper=None) for one in known.answers
        ]
    edges = pairwise(edges_of(known.number, subject, held))
    named = [(band.code, band.words) for band in known.number.bands] or [(state, state) for state in STATES]
    return [
        ObservationAnswer(code=code, words=words, lower=lower, upper=upper)
        for (code, words), (lower, upper) in zip(named, edges, strict=True)
    ]


def _number(number: NumberKnown, subject: Subject, held: Held | None) -> ObservableNumber:
    rated = held.values if held is not None and number.scale == "rated" else (None, None)
    return ObservableNumber(
        unit=number.unit,
        voltage=subject.voltage,
        most=most_plausible(number, subject),
        uncertainty=number.uncertainty.value,
        limit=held.values[0] if held is not None and number.scale == "limit" else None,
        rated_lower=rated[0],
        rated_upper=rated[1],
        takes_celsius=bool(number.by_celsius),
        held_origin=None if held is None else origin_answer(held.origin),
        bounds_origin=origin_answer(number.bounds_origin),
        published=[PublishedAnswer(text=one.text, source=one.source) for one in number.published],
        note=number.note,
    )


def told_words(stated: Stated) -> str:
    """Say what was observed, in words: the answer's own, or the number with what it is held against."""
    if isinstance(stated, Chosen):
        return next(one.words for one in stated.known.answers if one.code == stated.answer)
    return _number_words(stated)


def _number_words(measured: Measured) -> str:
    number = measured.known.number
    held = ""
    if number is None:  # never so of a checked value
        return f"{measured.value:g}"
    if measured.held is not None and number.scale == "limit":
        held = f", limit {measured.held.values[0]:g}"
    elif measured.held is not None:
        held = f", rated {measured.held.values[0]:g} to {measured.held.values[1]:g}"
    return f"{measured.value:g} {number.unit}{held}: {_band_words(measured, number)}"


def _band_words(measured: Measured, number: NumberKnown) -> str:
    """Return the words of the band that the number itself lies in."""
    words = [band.words for band in number.bands] or list(STATES)
    below = sum(measured.value >= edge for edge in measured.edges[1:-1])
    return words[below]


def observed_answer(stated: Stated) -> ObservedAnswer:
    """Give what was stated its wire shape, with what it was held against."""
    measured = stated if isinstance(stated, Measured) else None
    number = stated.known.number
    held = measured.held if measured is not None else None
    return ObservedAnswer(
        code=stated.known.code,
        answer=stated.answer if isinstance(stated, Chosen) else None,
        value=measured.value if measured is not None else None,
        unit=number.unit if number is not None else None,
        uncertainty=measured.uncertainty if measured is not None else None,
        held_against=list(held.values) if held is not None else [],
        held_origin=origin_answer(held.origin) if held is not None else None,
        words=told_words(stated),
    )


def next_test_answer(advice: Advice) -> NextTestAnswer:
    """Give a test worth doing its wire shape."""
    known = advice.known
    return NextTestAnswer(
        code=known.code,
        question=known.question,
        how=known.how,
        hazard=known.hazard,
        battery=known.battery,
        minutes=known.minutes.value,
        expected_bits=advice.bits,
        minutes_per_bit=advice.minutes_per_bit,
        settling_probability=min(advice.settling_chance, 1.0),
        answers=[
            ExpectedAnswer(
                answer=one.answer.code,
                words=one.answer.words,
                probability=one.chance,
                leading_fault=one.leading,
                leading_probability=one.leading_chance,
            )
            for one in advice.answers
        ],
        cautions=cautions_of(known),
    )
