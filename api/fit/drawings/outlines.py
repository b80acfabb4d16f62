"""The outline of a part, to scale, from its own dimensions: for drawings and overlays. Pure.

Millimetres; x to the right, y upwards; the origin is the axis of a round part, the centre of a
contact's stud, the middle of a brush's running face. Only what a dimension states is drawn: what no
dimension gives (the root of a tooth, the body of a clutch) is left open, and what was not recorded is
named in `missing`.
"""

from collections.abc import Mapping
from typing import Literal

import attrs

Point = tuple[float, float]


@attrs.frozen
class Circle:
    """A circle: its centre and its diameter in mm."""

    centre: Point
    diameter_mm: float


@attrs.frozen
class Line:
    """A line through points in mm, from the last back to the first where it is closed."""

    points: tuple[Point, ...]
    is_closed: bool = True


@attrs.frozen
class Callout:
    """Where a dimension is measured: from one point to another."""

    dimension: str
    start: Point
    end: Point


@attrs.frozen
class View:
    """One view of a part: `end` along its axis, `section` through it, `face`, `side`, `front`."""

    name: Literal["end", "section", "face", "side", "front"]
    shapes: tuple[Circle | Line, ...]
    callouts: tuple[Callout, ...]

    def bounds(self) -> tuple[Point, Point]:
        """Return the lower left and the upper right corner of everything drawn, in mm."""
        xs: list[float] = []
        ys: list[float] = []
        for shape in self.shapes:
            if isinstance(shape, Circle):
                (x, y), half = shape.centre, shape.diameter_mm / 2
                xs += [x - half, x + half]
                ys += [y - half, y + half]
            else:
                xs += [x for x, _ in shape.points]
                ys += [y for _, y in shape.points]
        return (min(xs), min(ys)), (max(xs), max(ys))


@attrs.frozen
class Outline:
    """All views of a part that its dimensions allow; `missing` are dimensions that stood in the way."""

    views: tuple[View, ...]
    missing: tuple[str, ...] = ()


class Dimensions:
    """The dimensions of one part in mm, asked for by code; what is asked for and absent is remembered."""

    def __init__(self, mm: Mapping[str, float]) -> None:
        self._mm = mm
        self.missing: list[str] = []

    def of(self, code: str) -> float:
        """Return a dimension in mm; 0 where it is not recorded, which is noted in `missing`."""
        if code not in self._mm:
            if code not in self.missing:
                self.missing.append(code)
            return 0.0
        return self._mm[code]

    def has(self, *codes: str) -> bool:
        """Return whether all are recorded, noting those that are not."""
        for code in codes:
            self.of(code)
        return all(code in self._mm for code in codes)

    def known(self, code: str) -> bool:
        """Return whether one is recorded, without noting it: for what need not apply."""
        return code in self._mm


def rectangle(left: float, bottom: float, right: float, top: float) -> Line:
    """Return a closed rectangle."""
    return Line(((left, bottom), (right, bottom), (right, top), (left, top)))


def across(dimension: str, diameter_mm: float, at: Point = (0.0, 0.0)) -> Callout:
    """Return the callout of a diameter, across the middle."""
    return Callout(dimension, (at[0] - diameter_mm / 2, at[1]), (at[0] + diameter_mm / 2, at[1]))
