"""Reads one data file of observations; every fault of the file is named at once."""

from collections.abc import Mapping
from itertools import pairwise
from math import isclose
from typing import Any

from api.diagnosis.cautions import CAUTIONS
from api.diagnosis.knowledge import (
    AnswerKnown,
    Band,
    Figure,
    Limit,
    NumberKnown,
    ObservationKnown,
    Origin,
    Published,
    RatedRange,
    Row,
)
from api.diagnosis.likelihood import STATES
from api.diagnosis.table_members import number, one_of, origin, positive, refuse, rows, table, text, truth
from api.starters.vocabulary import CONSTRUCTIONS, FIELDS

LEAST_CHANCE, GREATEST_CHANCE = 0.001, 0.999
"""Between which every chance of the tables lies: nothing is impossible or certain (our judgement)."""

SUM_TOLERANCE = 1e-9

_FIGURE = table(value=positive, origin=origin)


def _chance(value: object) -> float:
    read = number(value)
    if not LEAST_CHANCE <= read <= GREATEST_CHANCE:
        raise refuse(value, f"a chance of {LEAST_CHANCE} to {GREATEST_CHANCE}", "out_of_range")
    return read


def _chances(value: object) -> tuple[float, ...]:
    read: tuple[float, ...] = rows(_chance, least=2)(value)
    if not isclose(sum(read), 1, abs_tol=SUM_TOLERANCE):
        raise refuse(round(sum(read), 9), "chances that add up to 1", "wrong_sum")
    return read


def _bands(value: object) -> Any:
    bands = rows(table(code=text, words=text, upto=positive), least=2)(value)
    if any(upper["upto"] <= lower["upto"] for lower, upper in pairwise(bands)):
        raise refuse([band["upto"] for band in bands], "bands that ascend by upto", "not_ascending")
    return tuple(Band(**band) for band in bands)


def _by_celsius(value: object) -> tuple[tuple[float, float], ...]:
    steps = rows(table(celsius=number, limit=positive), least=2)(value)
    if any(warmer["celsius"] <= colder["celsius"] for colder, warmer in pairwise(steps)):
        raise refuse([step["celsius"] for step in steps], "steps that ascend by celsius", "not_ascending")
    return tuple((step["celsius"], step["limit"]) for step in steps)


NO_CHANCES = Row((), (), Origin("judgement", ""), Origin("judgement", ""))
_OTHERWISE = table(chances=_chances, origin=origin)


def _otherwise(value: object) -> Row:
    return Row((), **_OTHERWISE(value), pairing=Origin("judgement", ""))


_NUMBER = table(
    {
        "bands": (),
        "limit": None,
        "by_celsius": (),
        "by_celsius_origin": None,
        "rated": (),
        "note": "",
        "states": (),
    },
    unit=one_of("volts", "amperes", "rpm"),
    scale=one_of("none", "system_voltage", "limit", "rated"),
    most=_FIGURE,
    uncertainty=_FIGURE,
    bands=_bands,
    bounds_origin=origin,
    limit=table(
        {"by_voltage": False, "by_power": False},
        value=positive,
        by_voltage=truth,
        by_power=truth,
        origin=origin,
    ),
    by_celsius=_by_celsius,
    by_celsius_origin=origin,
    states=rows(one_of(*STATES), least=len(STATES)),
    rated=rows(table(voltage=one_of(12, 24), lower=positive, upper=positive, origin=origin), least=2),
    published=rows(table(text=text, source=text)),
    note=text,
)
_ANSWER = table(
    {"fields": FIELDS, "cell": None, "cautions": (), "stops": ()},
    code=text,
    words=text,
    fields=rows(one_of(*FIELDS), least=1),
    cell=rows(one_of(*STATES), least=2),
    cautions=rows(one_of(*CAUTIONS)),
    stops=rows(one_of(*CAUTIONS)),
)
_OBSERVATION = table(
    {
        "constructions": CONSTRUCTIONS,
        "fields": FIELDS,
        "answers": (),
        "number": None,
        "no_load": None,
        "may_vary": False,
        "otherwise": NO_CHANCES,
        "rows": (),
    },
    code=text,
    question=text,
    how=text,
    kind=one_of("question", "test"),
    hazard=one_of("none", "low", "moderate", "high"),
    who=one_of("anyone", "repairer"),
    battery=one_of("connected", "disconnected"),
    minutes=_FIGURE,
    cautions=rows(one_of(*CAUTIONS)),
    constructions=rows(one_of(*CONSTRUCTIONS), least=1),
    fields=rows(one_of(*FIELDS), least=1),
    answers=rows(_ANSWER, least=2),
    number=_NUMBER,
    no_load=text,
    may_vary=truth,
    otherwise=_otherwise,
    rows=rows(table(faults=rows(text, least=1), chances=_chances, origin=origin, pairing=origin)),
)


def _observation(value: object) -> ObservationKnown:
    read = _OBSERVATION(value)
    made = ObservationKnown(
        **{
            **read,
            "minutes": _figure(read["minutes"]),
            "answers": tuple(AnswerKnown(**one) for one in read["answers"]),
            "number": None if read["number"] is None else _number(read["number"]),
            "rows": tuple(Row(**one) for one in read["rows"]),
        }
    )
    _check(made)
    return made


def _check(made: ObservationKnown) -> None:
    if bool(made.answers) == (made.number is not None):
        raise refuse(made.code, "either answers or a number", "wrong_type")
    if made.no_load is not None:
        if made.rows or made.otherwise.chances or made.number is None or not made.number.rated:
            raise refuse(made.code, "a number with rated ranges and no chances of its own", "wrong_type")
        return
    if not made.otherwise.chances:
        raise refuse(made.code, "chances of `otherwise`", "missing")
    if made.number is not None and (made.number.scale == "limit") == (made.number.limit is None):
        raise refuse(made.code, "a limit where the scale is one, and only there", "wrong_type")
    for row in (made.otherwise, *made.rows):
        if len(row.chances) != len(made.outcomes()):
            expected = f"{len(made.outcomes())} chances, one for each answer or band"
            raise refuse(f"{len(row.chances)} in {made.code}", expected, "wrong_length")


def _figure(read: Mapping[str, Any]) -> Figure:
    return Figure(read["value"], read["origin"])


def _number(read: Mapping[str, Any]) -> NumberKnown:
    limit = read["limit"]
    return NumberKnown(
        **{
            **{name: read[name] for name in read if name != "states"},
            "most": _figure(read["most"]),
            "uncertainty": _figure(read["uncertainty"]),
            "limit": None
            if limit is None
            else Limit(Figure(limit["value"], limit["origin"]), limit["by_voltage"], limit["by_power"]),
            "rated": tuple(RatedRange(**one) for one in read["rated"]),
            "published": tuple(Published(**one) for one in read["published"]),
        }
    )


READ_OBSERVATIONS = table(observation=rows(_observation, least=1))
"""Reads the whole file's table; its member `observation` holds `ObservationKnown`."""
