"""How well a pinion's teeth, tip diameter and spans agree with one pitch and pressure angle. Pure.

Errors of reading and making are normal; wear is exponential and only ever shrinks; every profile shift and
tooth height in use is allowed by its weight. Figures are mm, shifts and addenda modules.
"""

import math
from collections.abc import Mapping
from typing import Final, Literal

import attrs
import numpy as np
import numpy.typing as npt
from scipy.special import log_ndtr

from api.fit.gears.involute import Gear, involute
from api.fit.gears.standard_pitches import ToothHeight
from api.fit.judging.features import Feature

FloatArray = npt.NDArray[np.float64]
TipRead = Literal["across_tips", "true_diameter"]

FLANK_WEAR_MM: Final = 0.12
TIP_WEAR_MM: Final = 0.15
"""Mean wear of a span and of the tip diameter of a worn drive (our judgement, as in the drive's kind)."""

MOST_WEAR: Final = 6.0
"""How many times its mean a wear may be before a candidate no longer agrees (our judgement)."""

BASE_PITCH_MADE_MM: Final = 0.015
SPAN_MADE_MM: Final = 0.02
TIP_MADE_MM: Final = 0.03
"""Standard deviations of the making: base pitch, span and tip diameter of a pinion (our judgement)."""

MOST_GAP: Final = 4.0
"""How many standard deviations a figure may lie off before a candidate no longer agrees (our judgement)."""

SHIFTS: Final[FloatArray] = np.arange(-60, 201) / 200
"""The profile shifts that are weighed: -0.3 to 1.0 modules (our judgement)."""

LONG_ADDENDUM: Final = 0.5
"""The profile shift of starter pinions cut on the blank of one tooth more (SAE J543, public summary)."""

LONG_ADDENDUM_CHANCE: Final = 0.15
LONG_ADDENDUM_SPREAD: Final = 0.02
"""How likely that very shift is before anything is measured, and how closely it is made (our judgement)."""

READ_ACROSS_CHANCE: Final = 0.7
"""How likely a tip diameter that does not say is what a caliper read across the tips (our judgement)."""

LEAST_LAND: Final = 0.05
"""Narrowest land of a tip in modules; narrower is pointed, and not cut (our judgement)."""

NM_PER_MM: Final = 1_000_000


@attrs.frozen(kw_only=True)
class PinionReadings:
    """What was counted and measured: one length at least.

    `spans` are by the number of teeth spanned (2, 3). `tip_read` says whether the tip diameter is what a
    caliper read across the tips (low on odd counts) or the true one; None: not said, both are weighed.
    """

    teeth: int
    tip: Feature | None = None
    spans: Mapping[int, Feature] = attrs.field(factory=dict)
    tip_read: TipRead | None = None


def shift_weights() -> FloatArray:
    """Weights of the shifts before anything is measured: any, and the long addendum more likely."""
    even = np.full(len(SHIFTS), (1 - LONG_ADDENDUM_CHANCE) / len(SHIFTS))
    long = np.exp(-(((SHIFTS - LONG_ADDENDUM) / LONG_ADDENDUM_SPREAD) ** 2) / 2)
    weights: FloatArray = even + LONG_ADDENDUM_CHANCE * long / long.sum()
    return weights


def judge_base_pitch(read: PinionReadings, plain: Gear) -> tuple[float, float | None]:
    """Return the log likelihood of the difference of the spans, and how far off it is standardised."""
    if len(read.spans) < 2:
        return 0.0, None
    apart = (read.spans[3].middle_nm - read.spans[2].middle_nm) / NM_PER_MM
    u = math.hypot(*(span.deviation_nm / NM_PER_MM for span in read.spans.values()), BASE_PITCH_MADE_MM)
    gap = (apart - plain.base_pitch_mm) / u
    return -(gap**2) / 2 - math.log(u), gap


def judge_level(read: PinionReadings, plain: Gear) -> tuple[FloatArray, FloatArray]:
    """Return, for every shift, the log likelihood of the spans' level and its standardised gap."""
    if not read.spans:
        return np.zeros(len(SHIFTS)), np.zeros(len(SHIFTS))
    off, u = _level(read, plain)
    short = 2 * SHIFTS * plain.module_mm * math.sin(plain.pressure_angle) - off
    return _log_shrunk(short, u, FLANK_WEAR_MM), _gap_of(short, u, FLANK_WEAR_MM)


def _level(read: PinionReadings, plain: Gear) -> tuple[float, float]:
    """Return by how much (mm) the spans exceed those of the gear without shift, weighted, and its spread."""
    offs, weights = [], []
    for over, span in read.spans.items():
        offs.append(span.middle_nm / NM_PER_MM - plain.base_tangent_mm(over))
        weights.append(1 / max(span.deviation_nm / NM_PER_MM, 1e-6) ** 2)
    total = sum(weights)
    off = sum(one * weight for one, weight in zip(offs, weights, strict=True)) / total
    return off, math.hypot(1 / math.sqrt(total), SPAN_MADE_MM)


def judge_tip(
    read: PinionReadings, plain: Gear, heights: tuple[ToothHeight, ...]
) -> tuple[FloatArray, FloatArray]:
    """Return, for every shift and tooth height, the log likelihood of the tip diameter and its gap."""
    addenda = np.array([height.addendum for height in heights])
    tips = plain.module_mm * (plain.teeth + 2 * SHIFTS[:, None] + 2 * addenda)
    lands = _lands(plain, tips)
    pointed = lands < LEAST_LAND * plain.module_mm
    log_likelihood, gap = np.zeros(tips.shape), np.zeros(tips.shape)
    if read.tip is not None:
        value, u = read.tip.middle_nm / NM_PER_MM, math.hypot(read.tip.deviation_nm / NM_PER_MM, TIP_MADE_MM)
        log_likelihood, gap = _weigh_tip(read, tips, lands, value, u)
    return np.where(pointed, -np.inf, log_likelihood), np.where(pointed, np.inf, gap)


def _weigh_tip(
    read: PinionReadings, tips: FloatArray, lands: FloatArray, value: float, u: float
) -> tuple[FloatArray, FloatArray]:
    plain_log = _log_shrunk(tips - value, np.full(tips.shape, u), TIP_WEAR_MM)
    plain_gap = _gap_of(tips - value, np.full(tips.shape, u), TIP_WEAR_MM)
    if read.teeth % 2 == 0 or read.tip_read == "true_diameter":
        return plain_log, plain_gap
    least, most = across_factors(read.teeth, np.maximum(lands, 0.0) / tips)
    across = tips * (most + least) / 2
    spread = np.hypot(u, tips * (most - least) / math.sqrt(12))
    across_log = _log_shrunk(across - value, spread, TIP_WEAR_MM)
    across_gap = _gap_of(across - value, spread, TIP_WEAR_MM)
    if read.tip_read == "across_tips":
        return across_log, across_gap
    mixed = np.logaddexp(
        math.log(READ_ACROSS_CHANCE) + across_log, math.log(1 - READ_ACROSS_CHANCE) + plain_log
    )
    return mixed, np.minimum(across_gap, plain_gap)


def across_factors(teeth: int, land_share: FloatArray | float) -> tuple[float, FloatArray]:
    """Return by what least and greatest factor a caliper across an odd count reads low.

    Tips with a land read cos(90 degrees / z - land / diameter) of the tip diameter, pointed or rounded ones
    down to cos(90 degrees / z) (plane geometry). `land_share` is land over tip diameter. Even counts: 1.
    """
    if teeth % 2 == 0:
        return 1.0, np.ones_like(land_share)
    pointed = math.pi / 2 / teeth
    return math.cos(pointed), np.cos(np.maximum(pointed - np.asarray(land_share), 0.0))


def _lands(plain: Gear, tips: FloatArray) -> FloatArray:
    """Thickness (mm) of the tooth at every tip diameter (rows: shifts); below zero past the point."""
    at_tip = np.arccos(np.minimum(plain.base_diameter_mm / tips, 1.0))
    thickness = math.pi / 2 + 2 * SHIFTS[:, None] * math.tan(plain.pressure_angle)
    half = thickness / plain.teeth + involute(plain.pressure_angle)
    lands: FloatArray = tips * (half - (np.tan(at_tip) - at_tip))
    return lands


def _log_shrunk(short: FloatArray, u: FloatArray | float, wear: float) -> FloatArray:
    """Log density of a figure `short` of its nominal by exponential wear (mean `wear`) and a normal error."""
    tail = np.asarray(log_ndtr(short / u - u / wear))
    answer: FloatArray = np.asarray(u) ** 2 / (2 * wear**2) - short / wear - math.log(wear) + tail
    return answer


def _gap_of(short: FloatArray, u: FloatArray | float, wear: float) -> FloatArray:
    """How many standard deviations a figure lies above its nominal, or below what wear explains."""
    gap: FloatArray = np.maximum(np.maximum(-short, short - MOST_WEAR * wear), 0.0) / u
    return gap


def shift_as_read(read: PinionReadings, plain: Gear) -> float | None:
    """Return the shift (modules) that the spans give without wear, its least; None without spans."""
    if not read.spans:
        return None
    off, _ = _level(read, plain)
    return off / (2 * plain.module_mm * math.sin(plain.pressure_angle))
