"""What a family tells of the features of an inspection: values when new, and limits of its seats. Pure."""

from collections.abc import Mapping, Sequence
from typing import Final

import attrs

from api.fit.judging.features import Feature
from api.inspection.bench_readings import OwnLimit, WhenNew
from api.inspection.conformance import Known
from api.starters.entries import FamilyEntry, PositionEntry
from api.wear_parts.entries import SizeValueEntry

SizeValues = Mapping[str, SizeValueEntry]

NEW_OF_KIND: Final[Mapping[str, tuple[str, ...]]] = {
    "contact": ("thickness",),
    "brush_set": ("length",),
    "bushing": ("bore",),
    "drive_clutch": ("base_tangent_2", "base_tangent_3"),
}
"""The dimensions of a kind that an inspection reads."""

SEAT_LIMITS: Final = ("housing_bore", "holder_thickness", "holder_width")
"""Features of a seat whose upper end as made is its limit: beyond it, what was made to fit may not."""

SEAT_NEW: Final[Mapping[str, str]] = {
    "housing_bore": "housing_bore",
    "holder_thickness": "holder_thickness",
    "holder_width": "holder_width",
    "journal_diameter": "shaft_diameter",
}
"""Which feature of the seat tells a feature when new."""


@attrs.frozen
class KnownFamily:
    """A family, and what the sizes listed for each of its positions record."""

    family: FamilyEntry
    sizes: Mapping[str, Sequence[SizeValues]]

    def new_at(self, place: str) -> dict[str, tuple[WhenNew, ...]]:
        """Return the features of a place when new, as far as seat and listed sizes tell.

        A feature has several values where the sizes that are listed differ in it: one of them was fitted.
        """
        position = self.family.position(place)
        if position is None:
            return {}
        told: dict[str, tuple[WhenNew, ...]] = {
            feature: (value,) for feature, value in self._of_seat(position)
        }
        if position.kind is not None:
            for feature in NEW_OF_KIND.get(position.kind, ()):
                found = self._of_sizes(place, feature)
                if found:
                    told[feature] = found
        return told

    def limits_at(self, place: str) -> dict[str, OwnLimit]:
        """Return the limits that the seat of a place sets."""
        position = self.family.position(place)
        told = {}
        for feature in SEAT_LIMITS if position is not None else ():
            entry = position.feature(feature) if position is not None else None
            if entry is not None and entry.upper_nm is not None:
                told[feature] = OwnLimit(None, entry.upper_nm, f"family {self.family.code}: the seat as made")
        return told

    def _of_seat(self, position: PositionEntry) -> list[tuple[str, WhenNew]]:
        found = []
        for feature, seat in SEAT_NEW.items():
            entry = position.feature(seat)
            if entry is not None and entry.lower_nm is not None and entry.upper_nm is not None:
                known = Known.of(Feature(entry.lower_nm, entry.upper_nm))
                found.append((feature, WhenNew(known, f"family {self.family.code}: the seat as made")))
        return found

    def _of_sizes(self, place: str, feature: str) -> tuple[WhenNew, ...]:
        """Return the ranges that the listed sizes cover, those that overlap taken together."""
        values = [size.get(feature) for size in self.sizes.get(place, ())]
        ranges = sorted(
            (one.lower_nm, one.upper_nm)
            for one in values
            if one is not None and one.lower_nm is not None and one.upper_nm is not None
        )
        joined: list[tuple[int, int]] = []
        for lower, upper in ranges:
            if joined and lower <= joined[-1][1]:
                joined[-1] = joined[-1][0], max(upper, joined[-1][1])
            else:
                joined.append((lower, upper))
        source = f"sizes listed for it in family {self.family.code}"
        if feature == "bore":
            source += ", free: pressing closes it in, so that a little more has worn than told"
        return tuple(WhenNew(Known.of(Feature(lower, upper)), source) for lower, upper in joined)
