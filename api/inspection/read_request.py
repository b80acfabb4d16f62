"""From the request of an inspection to checked values: every fault at once, with its place."""

from collections.abc import Mapping, Sequence
from typing import Final

from api.errors import InvalidInput
from api.inspection.bench_readings import BenchPlace, BenchReading, OwnLimit, Piece, WhenNew, show
from api.inspection.family_values import KnownFamily
from api.inspection.limit_data import LimitBook
from api.inspection.read_bench import BenchReader
from api.inspection.settle_limits import STATED
from api.inspection.shapes import (
    InspectionRequest,
    NewValuesRequest,
    PlaceRequest,
    StatedLimitRequest,
)
from api.inspection.vocabulary import (
    FURTHER_PLACES,
    LENGTH_OF,
    LOOKED_OF,
    features_at,
)
from api.measurement.instruments import Instrument
from api.measurement.refusals import nearest_name

Path = tuple[str | int, ...]

LONGER_BY: Final = 1.05
"""A worn piece so many times as long as it is stated to have been when new was misread (our judgement)."""


def read_inspection(
    body: InspectionRequest,
    known: KnownFamily | None,
    book: LimitBook,
    instruments: Mapping[str, Instrument],
) -> tuple[BenchPlace, ...]:
    """Return what was read at every place; raises `InvalidInput` with every fault found.

    Codes beside those of readings: `not_in_family`, `not_here` (a feature that the place has not),
    `repeated`, `out_of_range`, `missing`, `wrong_type`, `reversed`, `impossible`.
    """
    reader = _Reader(known, book, instruments)
    stated = reader.limits(body.limits)
    places = []
    for index, told in enumerate(body.positions):
        if told.position in {earlier.position for earlier in body.positions[:index]}:
            reader.refuse(told.position, "each position once", "repeated", "positions", index, "position")
        reader.check_place(told.position, "positions", index, "position")
        places.append(reader.place(told, stated.get(told.position, {}), ("positions", index)))
    if reader.faults:
        raise InvalidInput.of(reader.faults)
    return tuple(places)


class _Reader(BenchReader):
    """Reads places and limits, with what is known of the family."""

    def __init__(
        self, known: KnownFamily | None, book: LimitBook, instruments: Mapping[str, Instrument]
    ) -> None:
        super().__init__(book, instruments)
        self.known = known

    def check_place(self, place: str, *path: str | int) -> None:
        """Note a position that the family has not."""
        if self.known is None or place in FURTHER_PLACES:
            return
        has = [one.code for one in self.known.family.positions]
        if place not in has:
            expected = f"a position of family {self.known.family.code}: {', '.join([*has, *FURTHER_PLACES])}"
            self.refuse(place, expected, "not_in_family", *path)

    def features(self, place: str) -> tuple[str, ...]:
        return features_at(place, None if self.known is None else self.known.family.field)

    def place(self, told: PlaceRequest, stated: Mapping[str, OwnLimit], path: Path) -> BenchPlace:
        readings = []
        here = self.features(told.position)
        for feature in type(told.readings).model_fields:
            value = getattr(told.readings, feature)
            if value is None:
                continue
            at = (*path, "readings", feature)
            if feature not in here:
                expected = f"a feature of {told.position}: {', '.join(here)}"
                self.refuse(feature, expected, "not_here", *at, nearest=nearest_name(feature, here))
                continue
            read = self.reading(feature, value, at)
            if read is not None:
                readings.append(read)
        readings.extend(_ovality(readings))
        options = {} if self.known is None else self.known.new_at(told.position)
        new = {feature: values[0] for feature, values in options.items() if len(values) == 1}
        new.update(self.new_values(told.new, here, (*path, "new")))
        self.check_sense(readings, told, new, path)
        return BenchPlace(
            place=told.position,
            readings=tuple(readings),
            new=new,
            open_new={feature: values for feature, values in options.items() if feature not in new},
            stated=stated,
            family={} if self.known is None else self.known.limits_at(told.position),
        )

    def new_values(self, told: NewValuesRequest, here: Sequence[str], path: Path) -> dict[str, WhenNew]:
        found = {}
        for feature in type(told).model_fields:
            value = getattr(told, feature)
            if value is None:
                continue
            if feature not in here:
                self.refuse(
                    feature, f"a feature of the position: {', '.join(here)}", "not_here", *path, feature
                )
                continue
            known = self.new_value(feature, value, (*path, feature))
            if known is not None:
                found[feature] = WhenNew(known, STATED)
        return found

    def check_sense(
        self, readings: Sequence[BenchReading], told: PlaceRequest, new: Mapping[str, WhenNew], path: Path
    ) -> None:
        """Note readings that contradict each other or what is stated of them when new."""
        by_feature = {one.feature: one for one in readings if one.pieces}
        bore, housing = by_feature.get("bore"), by_feature.get("housing_bore")
        if bore is not None and housing is not None:
            least, most = bore.pieces[0].known.middle, housing.pieces[0].known.middle
            if least >= most:
                expected = f"less than the housing bore, {show('housing_bore', most)}"
                self.refuse(show("bore", least), expected, "impossible", *path, "readings", "bore")
        for feature, reading in by_feature.items():
            stated = getattr(told.new, feature, None) is not None and feature in new
            shrinks = feature in LENGTH_OF and LENGTH_OF[feature].sense == "shrinks"
            if not (stated and shrinks):
                continue
            value, when_new = reading.pieces[0].known, new[feature].known
            if value.middle > LONGER_BY * when_new.middle + 3 * value.deviation:
                expected = f"no more than when new, {show(feature, when_new.middle)}"
                self.refuse(show(feature, value.middle), expected, "impossible", *path, "readings", feature)

    def limits(self, told: Sequence[StatedLimitRequest]) -> dict[str, dict[str, OwnLimit]]:
        found: dict[str, dict[str, OwnLimit]] = {}
        for index, one in enumerate(told):
            path: Path = ("limits", index)
            self.check_place(one.position, *path, "position")
            here = tuple(f for f in self.features(one.position) if f not in LOOKED_OF)
            if one.feature not in here:
                near = nearest_name(one.feature, here)
                expected = f"a measured feature of {one.position}: {', '.join(here) or 'it has none'}"
                self.refuse(one.feature, expected, "not_here", *path, "feature", nearest=near)
                continue
            if one.feature in found.get(one.position, {}):
                self.refuse(one.feature, "one limit for each feature", "repeated", *path, "feature")
            before = len(self.faults)
            least = self.bound(one.feature, one.least, (*path, "least"))
            most = self.bound(one.feature, one.most, (*path, "most"))
            if len(self.faults) > before:
                continue
            if least is None and most is None:
                self.refuse("", "least, most, or both", "missing", *path)
            elif least is not None and most is not None and least > most:
                expected = f"no more than most, {show(one.feature, most)}"
                self.refuse(show(one.feature, least), expected, "reversed", *path, "least")
            found.setdefault(one.position, {})[one.feature] = OwnLimit(least, most, STATED)
        return found


def _ovality(readings: Sequence[BenchReading]) -> list[BenchReading]:
    """Return how oval a bore is, where its diameters were read and its ovality was not."""
    spread = next((one.spread for one in readings if one.feature == "bore"), None)
    if spread is None or any(one.feature == "oval" for one in readings):
        return []
    return [BenchReading(feature="oval", pieces=(Piece(spread, show("oval", spread.middle)),))]
