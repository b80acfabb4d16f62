"""The pitches, pressure angles and tooth heights that a starter pinion may have been cut to. Pure.

Weights say how likely each is before anything is measured (our judgement throughout); they settle what
the figures leave open and are overruled by figures that are not.
"""

from typing import Final

import attrs

from api.fit.gears.involute import module_of_pitch

STUB_PITCHES: Final = {4: 5, 5: 7, 6: 8, 7: 9, 8: 10, 9: 11, 10: 12, 12: 14}
"""Stub teeth P1/P2: P1 gives pitch and thickness, the addendum is 1/P2 in. 6/8, 8/10, 10/12 and 12/14 as a
public summary of SAE J543 gives them; the others from memory."""

DIAMETRAL_PITCHES: Final = (4, 5, 6, 7, 8, 9, 10, 11, 12, 14, 16, 18, 20, 24)
"""Usual diametral pitches (from memory)."""

USUAL_PITCHES: Final = (6, 8, 10, 12)
"""Diametral pitches that SAE J543 tabulates for starter pinions, with 12/14 (public summary)."""

USUAL_MODULES_MM: Final = (1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0)
OTHER_MODULES_MM: Final = (1.125, 1.375, 1.75, 2.25, 2.75, 3.5, 4.5, 5.5)
"""Modules of series I and II of ISO 54 (from memory)."""

PRESSURE_ANGLES: Final = {20.0: 0.84, 14.5: 0.05, 25.0: 0.05, 22.5: 0.03, 17.5: 0.03}
"""Pressure angles in degrees and the weight of each: 20 is the angle of ISO 53 and of ISO 9457-2."""

SELDOM: Final = 0.3
"""Weight of a pitch that is not among the usual ones, beside 1."""

METRIC_STUB: Final = 0.8
FULL_DEPTH: Final = 1.0
ADDENDA_BETWEEN: Final = tuple(0.75 + 0.02 * step for step in range(16))
"""Addenda (modules) between the named ones, 0.75 to 1.05: makers' own tooth heights (our judgement)."""


@attrs.frozen
class ToothHeight:
    """An addendum in modules, its name, and the weight it has before anything is measured."""

    name: str
    addendum: float
    weight: float


@attrs.frozen
class StandardPitch:
    """A pitch that pinions are cut to: a diametral pitch, or a module of a metric series."""

    diametral_pitch: int | None
    module_mm: float
    weight: float

    @property
    def name(self) -> str:
        """How it is written: `10 DP` or `module 2.5`."""
        if self.diametral_pitch is not None:
            return f"{self.diametral_pitch} DP"
        return f"module {self.module_mm:g}"

    @property
    def heights(self) -> tuple[ToothHeight, ...]:
        """The tooth heights it is cut with; weights add up to 1."""
        second = STUB_PITCHES.get(self.diametral_pitch or 0)
        named = [ToothHeight("stub 0.8", METRIC_STUB, 0.2), ToothHeight("full depth", FULL_DEPTH, 0.2)]
        if self.diametral_pitch is not None and second is not None:
            addendum = self.diametral_pitch / second
            named = [
                ToothHeight(f"stub {self.diametral_pitch}/{second}", addendum, 0.6),
                *(attrs.evolve(height, weight=0.1) for height in named),
            ]
        left = (1 - sum(height.weight for height in named)) / len(ADDENDA_BETWEEN)
        return (*named, *(ToothHeight("another height", addendum, left) for addendum in ADDENDA_BETWEEN))


STANDARD_PITCHES: Final = (
    *(
        StandardPitch(pitch, module_of_pitch(pitch), 1.0 if pitch in USUAL_PITCHES else SELDOM)
        for pitch in DIAMETRAL_PITCHES
    ),
    *(StandardPitch(None, module, 1.0) for module in USUAL_MODULES_MM),
    *(StandardPitch(None, module, SELDOM) for module in OTHER_MODULES_MM),
)
