"""What presses on a brush and what runs through it: spring pressure and current density. Pure."""

from typing import Final

from api.fit.judging.features import Feature
from api.fit.judging.gaps import NM_PER_MM
from api.fit.judging.reasons import Figure, Reason

SPRING_NEWTONS: Final = (18.0, 24.0)
SPRING_SOURCE: Final = "service data of a starter: 18 to 24 N installed (1.8 to 2.4 kgf)"
OTHER_SPRINGS: Final = ((13.7, 19.6), (22.3, 27.3))
"""Service data of other makers' starters, in newtons: they differ, the maker's own figure comes first."""

PRESSURES_KPA: Final = (
    ("stationary machines, general (180 to 200 cN/cm2)", 18.0, 20.0),
    ("traction machines (300 to 500 cN/cm2)", 30.0, 50.0),
    ("general practice (2 to 4 psi)", 13.8, 27.6),
    ("US Navy NAVEDTRA 14120 (1.5 to 8 psi)", 10.3, 55.2),
)
"""Published specific pressures of brushes, which a starter's exceed by far: for comparison only."""


def pressure_kpa(force_newtons: float, thickness_nm: float, width_nm: float) -> float:
    """Return the specific pressure: force over the section of the brush box (IEC TR 61015), in kPa."""
    return force_newtons / (thickness_nm / NM_PER_MM * width_nm / NM_PER_MM) * 1_000


def judge_spring(
    force_newtons: float,
    thickness: Feature | None,
    width: Feature | None,
    *,
    least_newtons: float | None = None,
    most_newtons: float | None = None,
) -> Reason:
    """Return whether a spring presses as hard as it should, and the specific pressure where it is known.

    Against stated limits, else against one published range for starters; outside that the answer is
    `unknown`, as makers differ.
    """
    figures = [Figure("spring_force_newtons", force_newtons)]
    if thickness is not None and width is not None:
        figures.append(
            Figure("pressure_kpa", pressure_kpa(force_newtons, thickness.middle_nm, width.middle_nm))
        )
    if least_newtons is not None or most_newtons is not None:
        low, high = least_newtons or 0.0, most_newtons
        kept = low <= force_newtons and (high is None or force_newtons <= high)
        limits = f"at least {low:g} N" if high is None else f"{low:g} to {high:g} N"
        text = f"{force_newtons:g} N, {limits} as stated"
        ending = "" if kept else ": renew the spring"
        return Reason(
            "spring_force", "fits" if kept else "does_not_fit", text + ending, figures=tuple(figures)
        )
    low, high = SPRING_NEWTONS
    if low <= force_newtons <= high:
        text = f"{force_newtons:g} N, within {low:g} to {high:g} N ({SPRING_SOURCE})"
        return Reason("spring_force", "fits", text, figures=tuple(figures))
    others = ", ".join(f"{one:g} to {other:g} N" for one, other in OTHER_SPRINGS)
    text = (
        f"{force_newtons:g} N, outside {low:g} to {high:g} N ({SPRING_SOURCE}); other makers state {others}: "
        "compare with the maker's manual"
    )
    return Reason("spring_force", "unknown", text, figures=tuple(figures))


def current_density(current_amperes: float, brush_count: int, thickness_nm: float, width_nm: float) -> float:
    """Return the current density in a brush in A/cm2: half of the brushes carry the current side by side.

    `brush_count` is even; thickness times width is the section (the arc of the contact is not counted).
    """
    square_cm = thickness_nm / NM_PER_MM * width_nm / NM_PER_MM / 100
    return current_amperes / (brush_count / 2) / square_cm


def judge_density(density: float, greatest: float) -> Reason:
    """Return whether a current density (A/cm2) stays within a greatest one that the caller states."""
    figures = (
        Figure("current_density_amperes_per_square_centimetre", density),
        Figure("greatest_current_density_amperes_per_square_centimetre", greatest),
    )
    text = f"{density:.1f} A/cm2, at most {greatest:g} A/cm2 as stated"
    return Reason("current_density", "fits" if density <= greatest else "does_not_fit", text, figures=figures)
