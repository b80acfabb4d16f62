"""Brushes of the seed catalogue against published clearances and preferred sizes.

EASA AR100-2020, Table 2-12 (it refers to IEC 60136, Table I): least and greatest clearance of a brush
in its holder by nominal dimension. The preferred dimensions are those of IEC 60136 as published
summaries list them.
"""

import pytest
from seed_seats import Seat, of_kind

MM = 1_000_000
INCH = 25_400_000

# (nominal from, up to, least clearance, greatest clearance), millimetres
METRIC_ROWS = (
    (1.6, 2.5, 0.044, 0.144),
    (3.2, 3.2, 0.050, 0.158),
    (4, 5, 0.050, 0.178),
    (6.3, 10, 0.055, 0.193),
    (12.5, 16, 0.072, 0.232),
    (20, 25, 0.080, 0.254),
    (32, 50, 0.100, 0.300),
    (64, 80, 0.110, 0.330),
)
# The same in inches.
INCH_ROWS = (
    (1 / 8, 1 / 8, 0.0020, 0.0062),
    (3 / 16, 3 / 16, 0.0020, 0.0070),
    (1 / 4, 3 / 8, 0.0022, 0.0076),
    (7 / 16, 5 / 8, 0.0028, 0.0091),
)
# The inch table ends at 5/8 in; 3/4 in is 19.05 mm, near enough to its last row for our data.
LARGEST_INCH_ROW_REACHES = 3 / 4
PREFERRED_MM = (3.2, 4, 5, 6.3, 8, 10, 12.5, 16, 20, 25, 32, 40, 50, 64, 80)
INCH_SIZES = tuple(n / 16 for n in range(2, 13))


def is_inch(seat: Seat) -> bool:
    return "in-" in seat.size.code


def nominal(seat: Seat, dimension: str) -> float:
    """Return the nominal dimension: the smallest listed size that the brush does not exceed."""
    upper = seat.size_nm(dimension)[1]
    unit, sizes = (INCH, INCH_SIZES) if is_inch(seat) else (MM, PREFERRED_MM)
    return min(size for size in sizes if size * unit >= upper)


def published(seat: Seat, size: float) -> tuple[float, float]:
    rows, unit = (INCH_ROWS, INCH) if is_inch(seat) else (METRIC_ROWS, MM)
    if is_inch(seat) and INCH_ROWS[-1][1] < size <= LARGEST_INCH_ROW_REACHES:
        size = INCH_ROWS[-1][1]
    least, greatest = next((row[2], row[3]) for row in rows if row[0] <= size <= row[1])
    return least * unit, greatest * unit


@pytest.mark.parametrize("dimension", ["thickness", "width"])
def test_clearances_in_the_holder_are_the_published_ones(seats: list[Seat], dimension: str) -> None:
    units = set()
    for seat in of_kind(seats, "brush_set"):
        holder_lower, holder_upper = seat.seat_nm(f"holder_{dimension}")
        brush_lower, brush_upper = seat.size_nm(dimension)
        least, greatest = published(seat, nominal(seat, dimension))
        assert holder_lower - brush_upper == pytest.approx(least, abs=10), seat
        assert holder_upper - brush_lower == pytest.approx(greatest, abs=10), seat
        units.add(is_inch(seat))
    assert units == {True, False}


@pytest.mark.parametrize(("dimension", "below_mm"), [("thickness", 0.16), ("width", 0.16), ("length", 0)])
def test_metric_brushes_have_preferred_dimensions(seats: list[Seat], dimension: str, below_mm: float) -> None:
    # A length is toleranced to both sides of its preferred value; t and a lie just below it.
    for seat in of_kind(seats, "brush_set"):
        if is_inch(seat):
            continue
        lower, upper = seat.size_nm(dimension)
        if below_mm:
            gap = nominal(seat, dimension) * MM - lower
            assert 0 < gap <= below_mm * MM, seat
        else:
            assert (lower + upper) / 2 / MM in PREFERRED_MM, seat
