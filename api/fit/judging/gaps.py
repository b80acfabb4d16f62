"""What lies between two lengths as far as they are known, and whether it keeps a limit. Pure."""

from api.fit.judging.differences import difference
from api.fit.judging.features import Feature
from api.fit.judging.reasons import Figure, Grade
from api.measurement.lengths import format_length

NM_PER_MM = 1_000_000


def gap_nm(outer: Feature, inner: Feature) -> tuple[int, int]:
    """Return the least and the greatest of `outer - inner` in nm: their limits, widened by 2 u of each."""
    between = difference(outer, inner)
    return between.least_nm, between.most_nm


def at_least(bounds_nm: tuple[int, int], limit_nm: int) -> Grade:
    """Say whether a length within bounds (nm) surely keeps to a least one, surely does not, or may."""
    if bounds_nm[0] >= limit_nm:
        return "fits"
    return "does_not_fit" if bounds_nm[1] < limit_nm else "unknown"


def at_most(bounds_nm: tuple[int, int], limit_nm: int) -> Grade:
    """Say whether a length within bounds (nm) surely keeps to a greatest one, surely does not, or may."""
    if bounds_nm[1] <= limit_nm:
        return "fits"
    return "does_not_fit" if bounds_nm[0] > limit_nm else "unknown"


def half(feature: Feature) -> Feature:
    """Return half of a length, such as a radius; limits rounded outwards to whole nm."""
    return Feature(feature.lower_nm // 2, -(-feature.upper_nm // 2), feature.u_nm / 2)


def mm(nm: float) -> str:
    """Return a length or gap in words, to the micrometre: `0.055 mm`."""
    return f"{nm / NM_PER_MM:.3f} mm"


def span(bounds_nm: tuple[int, int]) -> str:
    """Return bounds in words, to the micrometre: `0.055..0.193 mm`, or one value where both are equal."""
    least, most = (f"{end / NM_PER_MM:.3f}" for end in bounds_nm)
    return f"{least} mm" if least == most else f"{least}..{most} mm"


def exact_span(bounds_nm: tuple[int, int]) -> str:
    """Return bounds in words, to the nanometre: `12.2..12.6 mm`, or one value where both are equal."""
    least, most = bounds_nm
    if least == most:
        return format_length(least)
    return f"{format_length(least).removesuffix(' mm')}..{format_length(most)}"


def bound_figures(name: str, bounds_nm: tuple[int, int]) -> tuple[Figure, Figure]:
    """Return bounds as the figures `least_<name>_mm` and `most_<name>_mm`."""
    least, most = bounds_nm
    return Figure(f"least_{name}_mm", least / NM_PER_MM), Figure(f"most_{name}_mm", most / NM_PER_MM)


def figure_mm(name: str, nm: float) -> Figure:
    """Return a length in nm as the figure `<name>_mm`."""
    return Figure(f"{name}_mm", nm / NM_PER_MM)
