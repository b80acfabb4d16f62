"""Numbers of a fit check that are no lengths: read beside the lengths, so that all faults are told at once.

Their bounds stand in the schema; the reader checks them, not the model, which would stop before the lengths.
"""

from typing import Annotated, Final

from pydantic import Field

from api.fit.feature_fields import FeatureReader

MOST_AMPERES: Final = 5_000.0
MOST_SECONDS: Final = 120.0
MOST_VOLTS: Final = 50.0
MOST_KELVIN: Final = 1_000.0
MOST_NEWTONS: Final = 500.0
MOST_AMPERES_PER_SQUARE_CENTIMETRE: Final = 10_000.0
COLDEST_CELSIUS: Final = -60.0
HOTTEST_CELSIUS: Final = 250.0
"""Bounds of what is taken: beyond anything that a cranking starter meets (our judgement)."""

Amperes = Annotated[
    float,
    Field(description="Amperes.", json_schema_extra={"exclusiveMinimum": 0, "maximum": MOST_AMPERES}),
]
Seconds = Annotated[
    float,
    Field(description="Seconds.", json_schema_extra={"exclusiveMinimum": 0, "maximum": MOST_SECONDS}),
]
Volts = Annotated[
    float, Field(description="Volts.", json_schema_extra={"exclusiveMinimum": 0, "maximum": MOST_VOLTS})
]
Kelvins = Annotated[
    float, Field(description="Kelvins.", json_schema_extra={"exclusiveMinimum": 0, "maximum": MOST_KELVIN})
]
Newtons = Annotated[
    float, Field(description="Newtons.", json_schema_extra={"exclusiveMinimum": 0, "maximum": MOST_NEWTONS})
]
AmperesPerSquareCentimetre = Annotated[
    float,
    Field(
        description="Amperes per square centimetre.",
        json_schema_extra={"exclusiveMinimum": 0, "maximum": MOST_AMPERES_PER_SQUARE_CENTIMETRE},
    ),
]
Celsius = Annotated[
    float,
    Field(
        description="Degrees Celsius.",
        json_schema_extra={"minimum": COLDEST_CELSIUS, "maximum": HOTTEST_CELSIUS},
    ),
]


def read_positive(
    reader: FeatureReader, told: float | None, most: float, unit: str, *path: str | int
) -> float | None:
    """Return a number above 0 and up to `most`, or None where nothing was told or after noting its fault."""
    if told is None or 0 < told <= most:
        return told
    reader.refuse(told, f"a number above 0 and up to {most:g} {unit}", "out_of_range", *path)
    return None


def read_celsius(reader: FeatureReader, told: float, *path: str | int) -> float:
    """Return a temperature that copper and brushes stand, or 20 degC after noting its fault."""
    if COLDEST_CELSIUS <= told <= HOTTEST_CELSIUS:
        return told
    expected = f"{COLDEST_CELSIUS:g} to {HOTTEST_CELSIUS:g} degrees Celsius"
    reader.refuse(told, expected, "out_of_range", *path)
    return 20.0
