"""A small kind and a few of its sizes, for tests of the matching rules."""

from api.matching.model import DimensionModel, KindModel
from api.matching.readings import ChoiceReading, CountReading, LengthReading
from tests.size_rows import DOES_NOT_APPLY, SizeRow, build_size_table

CALIPER_U_NM = 23_300.0

BORE = DimensionModel(
    code="bore",
    measure="length",
    how="inside",
    wear_sense="grows",
    wear_scale_nm=80_000,
    span_lower=4_000_000,
    span_upper=40_000_000,
)
LENGTH = DimensionModel(
    code="length",
    measure="length",
    how="outside",
    wear_sense="shrinks",
    wear_scale_nm=150_000,
    span_lower=3_000_000,
    span_upper=60_000_000,
)
FLANGE = DimensionModel(
    code="flange_diameter", measure="length", how="outside", span_lower=8_000_000, span_upper=60_000_000
)
HOLES = DimensionModel(
    code="holes",
    measure="count",
    how="count",
    span_lower=0,
    span_upper=9,
    slip_chance=0.01,
    miscount_chance=0.04,
)
OIL = DimensionModel(
    code="oil_supply", measure="choice", how="look", choices=("none", "hole", "groove"), miscount_chance=0.03
)
BUSHING = KindModel(kind="bushing", dimensions=(BORE, LENGTH, FLANGE, HOLES, OIL), unlisted_prior=0.05)


def size(code, bore=None, length=None, flange=None, holes=None, oil=None, listings=0):
    """Return a row; a length given in mm has the 18 um above it as its tolerance."""

    def limits(value):
        return (round(value * 1e6), round(value * 1e6) + 18_000) if isinstance(value, int | float) else value

    values = {
        "bore": limits(bore),
        "length": limits(length),
        "flange_diameter": limits(flange),
        "holes": holes,
        "oil_supply": oil,
    }
    kept = {name: value for name, value in values.items() if value is not None}
    return SizeRow(code=code, values=kept, listings=listings)


def table(*rows):
    return build_size_table(BUSHING, rows)


def read(dimension, value_mm, uncertainty_nm=CALIPER_U_NM, **more):
    return LengthReading(dimension=dimension, value_nm=value_mm * 1e6, uncertainty_nm=uncertainty_nm, **more)


def counted(count):
    return CountReading(dimension="holes", count=count)


def seen(choice):
    return ChoiceReading(dimension="oil_supply", choice=choice)


NO_FLANGE = DOES_NOT_APPLY
