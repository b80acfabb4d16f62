"""Contacts come in pairs that one disc bridges; each goes over, or is, the stud of its cap."""

from collections import defaultdict

from seed_seats import Seat, of_kind

from api.exchange.catalogue import Catalogue

MM = 1_000_000
SIDES = {"battery_side_contact": "battery_side", "motor_side_contact": "motor_side", "contact_disc": "disc"}
# Our judgement: each contact is met by the disc over at least 1.5 mm.
LEAST_OVERLAP_NM = 3 * MM // 2


def by_family(seats: list[Seat]) -> dict[str, dict[str, list[Seat]]]:
    grouped: dict[str, dict[str, list[Seat]]] = defaultdict(lambda: defaultdict(list))
    for seat in of_kind(seats, "contact"):
        grouped[seat.family.code][seat.position.code].append(seat)
    return grouped


def middle(bounds: tuple[int, int]) -> int:
    return (bounds[0] + bounds[1]) // 2


def test_every_family_with_one_contact_has_the_pair_and_the_disc(catalogue: Catalogue) -> None:
    found = 0
    for family in catalogue.families:
        present = {entry.code for entry in family.positions} & set(SIDES)
        assert present in (set(), set(SIDES)), family.code
        found += bool(present)
    assert found


def test_each_position_takes_its_own_form(seats: list[Seat]) -> None:
    for seat in of_kind(seats, "contact"):
        assert seat.choice("form") == SIDES[seat.position.code], seat


def test_plates_clear_their_studs_and_bolt_contacts_are_their_studs(seats: list[Seat]) -> None:
    plates = bolts = 0
    for seat in of_kind(seats, "contact"):
        if seat.position.code == "contact_disc":
            continue
        stud_lower, stud_upper = seat.seat_nm("stud_diameter")
        assert seat.position.feature("stud_thread").text, seat
        if seat.applies("stud_hole"):
            plates += 1
            hole_lower, hole_upper = seat.size_nm("stud_hole")
            assert stud_upper < hole_lower, seat
            assert hole_upper - stud_lower < 3 * MM // 2, seat
        else:
            bolts += 1
            lower, upper = seat.size_nm("stud_diameter")
            assert stud_lower <= lower <= upper <= stud_upper, seat
            assert seat.size_nm("stud_length")[0] > 10 * MM, seat
    assert plates
    assert bolts


def test_stud_diameters_lie_just_below_the_thread_that_they_carry(seats: list[Seat]) -> None:
    # Metric and unified threads: the crest of an external thread lies below its nominal diameter.
    for seat in of_kind(seats, "contact"):
        if seat.position.code == "contact_disc":
            continue
        thread = seat.position.feature("stud_thread").text
        if thread.startswith("M"):
            nominal = int(thread[1:].split("x")[0]) * MM
        else:
            numerator, denominator = thread.split("-")[0].split("/")
            nominal = int(numerator) * 25_400_000 // int(denominator)
        lower, upper = seat.seat_nm("stud_diameter")
        assert nominal * 96 // 100 < lower < upper < nominal, seat


def test_every_listed_contact_has_a_partner_of_its_height(seats: list[Seat]) -> None:
    for code, positions in by_family(seats).items():
        least_over_travel = min(seat.size_nm("over_travel")[0] for seat in positions["contact_disc"])
        heights = {
            side: {middle(seat.size_nm("face_height")) for seat in positions[side]}
            for side in ("battery_side_contact", "motor_side_contact")
        }
        assert heights["battery_side_contact"] == heights["motor_side_contact"], code
        spread = max(heights["battery_side_contact"]) - min(heights["motor_side_contact"])
        assert spread < least_over_travel, code


def test_the_disc_spans_both_contacts(seats: list[Seat]) -> None:
    for code, positions in by_family(seats).items():
        for disc in positions["contact_disc"]:
            spacing = disc.seat_nm("stud_spacing")[1]
            for battery in positions["battery_side_contact"]:
                for motor in positions["motor_side_contact"]:
                    gap = spacing - battery.size_nm("seat_offset")[0] - motor.size_nm("seat_offset")[0]
                    overlap = (disc.size_nm("disc_diameter")[0] - gap) / 2
                    assert overlap >= LEAST_OVERLAP_NM, (code, str(battery), str(disc))


def test_the_disc_stays_clear_of_the_studs(seats: list[Seat]) -> None:
    for code, positions in by_family(seats).items():
        thickest_stud = max(seat.seat_nm("stud_diameter")[1] for seat in positions["battery_side_contact"])
        for disc in positions["contact_disc"]:
            between = disc.seat_nm("stud_spacing")[0] - thickest_stud
            if positions["battery_side_contact"][0].applies("stud_hole"):
                assert disc.size_nm("disc_diameter")[1] < between, code


def test_the_disc_travels_farther_than_it_presses(seats: list[Seat]) -> None:
    for seat in of_kind(seats, "contact"):
        if seat.position.code == "contact_disc":
            assert seat.seat_nm("disc_travel")[0] > seat.size_nm("over_travel")[0], seat


def test_faces_stand_higher_than_the_copper_is_thick(seats: list[Seat]) -> None:
    for seat in of_kind(seats, "contact"):
        if seat.position.code != "contact_disc":
            assert seat.size_nm("face_height")[0] > seat.size_nm("thickness")[1], seat
