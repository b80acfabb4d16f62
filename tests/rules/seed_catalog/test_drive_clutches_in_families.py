"""Drive clutches have the family's pinion, turn its way, run on its shaft and reach its ring gear."""

from seed_seats import Seat, of_kind

MM = 1_000_000
# A drive that slides on a helix needs more room than a bush: our judgement.
LEAST_CLEARANCE_NM = 3 * MM // 100
GREATEST_CLEARANCE_NM = 13 * MM // 100
# A right-hand helix throws the drive towards the drive end when the shaft turns clockwise, seen from
# there: the drive lags, so it turns the other way on its thread (follows from the thread's hand).
HELIX_OF = {"clockwise": "right", "counter_clockwise": "left"}


def test_teeth_and_rotation_are_those_of_the_family(seats: list[Seat]) -> None:
    for seat in of_kind(seats, "drive_clutch"):
        assert seat.count("teeth") == seat.family.pinion.teeth, seat
        assert seat.choice("rotation") == seat.family.rotation, seat


def test_the_helix_throws_the_drive_out(seats: list[Seat]) -> None:
    for seat in of_kind(seats, "drive_clutch"):
        assert seat.choice("helix_hand") == HELIX_OF[seat.family.rotation], seat


def test_bores_run_on_the_armature_shaft(seats: list[Seat]) -> None:
    for seat in of_kind(seats, "drive_clutch"):
        shaft_lower, shaft_upper = seat.seat_nm("shaft_diameter")
        bore_lower, bore_upper = seat.size_nm("shaft_bore")
        assert bore_lower - shaft_upper >= LEAST_CLEARANCE_NM, seat
        assert bore_upper - shaft_lower <= GREATEST_CLEARANCE_NM, seat


def test_splines_lie_outside_the_bore_and_inside_the_length(seats: list[Seat]) -> None:
    for seat in of_kind(seats, "drive_clutch"):
        assert seat.size_nm("spline_major_diameter")[0] > seat.size_nm("shaft_bore")[1] + 2 * MM, seat
        assert seat.size_nm("overall_length")[0] > 2 * seat.size_nm("face_width")[1], seat


def test_travel_carries_the_pinion_well_into_the_ring_gear(seats: list[Seat]) -> None:
    # Our judgement: at full travel at least 0.6 of the face meshes, and the pinion does not run past.
    for seat in of_kind(seats, "drive_clutch"):
        meshed = seat.seat_nm("travel")[0] - seat.seat_nm("rest_clearance")[1]
        assert meshed >= 0.6 * seat.size_nm("face_width")[1], seat
        assert meshed <= 1.2 * seat.size_nm("face_width")[0], seat
        assert seat.position.feature("ring_gear_teeth").count > 8 * seat.family.pinion.teeth, seat
