"""What tests of inspections share: the shipped limits, and places as a bench would read them."""

from collections.abc import Mapping

from api.inspection.bench_readings import BenchPlace, BenchReading, OwnLimit, Piece, WhenNew
from api.inspection.conformance import Known
from api.inspection.judge_feature import JudgedFeature, judge_feature
from api.inspection.limit_data import LimitBook, read_limits
from api.inspection.vocabulary import LENGTH_OF, LOOKED_OF
from api.travelling import travelling

LIMITS_TEXT = (travelling("seed_catalog") / "limits.toml").read_text("utf-8")
BOOK: LimitBook = read_limits(LIMITS_TEXT)
MM = 1_000_000


def unit(feature: str) -> float:
    """Return what a value in millimetres, or in a number's own unit, is multiplied by."""
    return MM if feature in LENGTH_OF else 1.0


def known(feature: str, value: float, u: float = 0.0, width: float = 0.0) -> Known:
    """Return a value in mm or a number's unit, with its standard uncertainty and rectangular width."""
    scale = unit(feature)
    return Known(value * scale, (width * scale,) if width else (), u * scale)


def read(feature: str, *values: float, u: float = 0.0) -> BenchReading:
    """Return a reading of one piece for each value."""
    return BenchReading(
        feature=feature, pieces=tuple(Piece(known(feature, value, u), str(value)) for value in values)
    )


def seen(feature: str, choice: str) -> BenchReading:
    """Return what was found by eye or hand."""
    found = LOOKED_OF[feature].choice(choice)
    assert found is not None, f"{feature} has no {choice}"
    return BenchReading(feature=feature, choice=found)


def place(
    code: str,
    *readings: BenchReading,
    new: Mapping[str, float | tuple[float, ...]] | None = None,
    stated: Mapping[str, tuple[float | None, float | None]] | None = None,
) -> BenchPlace:
    """Return a place with its readings; several values when new are of listed sizes that differ."""
    told = {
        feature: value if isinstance(value, tuple) else (value,) for feature, value in (new or {}).items()
    }
    values = {
        feature: tuple(WhenNew(known(feature, one), "as stated by the test") for one in several)
        for feature, several in told.items()
    }
    limits = {
        feature: OwnLimit(
            None if least is None else least * unit(feature),
            None if most is None else most * unit(feature),
            "as stated by the test",
        )
        for feature, (least, most) in (stated or {}).items()
    }
    return BenchPlace(
        place=code,
        readings=readings,
        new={feature: several[0] for feature, several in values.items() if len(several) == 1},
        open_new={feature: several for feature, several in values.items() if len(several) > 1},
        stated=limits,
    )


def judge(at: BenchPlace) -> JudgedFeature:
    """Judge the first reading of a place."""
    return judge_feature(BOOK, at, at.readings[0])
