"""Bushes, seats and shafts that the tests of the bushing check share."""

from typing import Any, Literal

from api.fit.bushings.bushing import BushingFit, judge_bushing
from api.fit.bushings.bushing_pieces import Bush, BushSeat, Journal, Temperatures
from api.fit.judging.features import Feature
from api.fit.limits.tolerance_classes import limits_of

MM = 1_000_000
UM = 1_000


def mm(lower: float, upper: float | None = None, u_um: float = 0.0) -> Feature:
    return Feature(round(lower * MM), round((lower if upper is None else upper) * MM), u_um * UM)


def classed(size_mm: float, written: str, kind: Literal["hole", "shaft"]) -> Feature:
    return Feature(*limits_of(round(size_mm * MM), written, kind))


def bush(**changes: Any) -> Bush:
    """12 x 16 x 12 mm, porous, r6 and G7 unless changed."""
    told: dict[str, Any] = {
        "outside_diameter": classed(16, "r6", "shaft"),
        "bore": classed(12, "G7", "hole"),
        "length": mm(11.9, 12.1),
        "material": "sintered_bronze",
        "construction": "porous",
    }
    return Bush(**{**told, **changes})


def seat(**changes: Any) -> BushSeat:
    """16 mm H7 in an aluminium nose of 24 mm outside, 12.3 mm deep, unless changed."""
    told: dict[str, Any] = {
        "bore": classed(16, "H7", "hole"),
        "depth": mm(12.2, 12.4),
        "form": "through",
        "material": "aluminium",
        "outside_diameter": mm(24),
    }
    return BushSeat(**{**told, **changes})


def journal(size_mm: float = 12, written: str = "f7", material: str = "steel") -> Journal:
    return Journal(diameter=classed(size_mm, written, "shaft"), material=material)


def judge(
    piece: Bush | None = None,
    place: BushSeat | None = None,
    shaft: Journal | None = None,
    temperatures: Temperatures | None = None,
) -> BushingFit:
    return judge_bushing(piece or bush(), place or seat(), shaft or journal(), temperatures or Temperatures())


def verdict_of(fit: BushingFit, dimension: str) -> str:
    return next(reason.verdict for reason in fit.reasons if reason.dimension == dimension)


def text_of(fit: BushingFit, dimension: str) -> str:
    return next(reason.text for reason in fit.reasons if reason.dimension == dimension)
