"""Whether a contact or a disc of a size goes on its studs and meets its partners. Pure."""

from typing import Final

from api.fit.contacts.contact_pair import edge_from_rod, judge_heights, judge_span, judge_travel
from api.fit.contacts.stud_fit import Stud, judge_stud
from api.fit.contacts.threads import Thread, read_thread
from api.fit.gears.drive_checks import check_choice
from api.fit.judging.gaps import half
from api.fit.judging.reasons import Reason
from api.interchange.seat_features import SizeValues, seat_length, seat_word, size_choice, size_length
from api.starters.entries import PositionEntry

FORM_OF_POSITION: Final = {
    "battery_side_contact": "battery_side",
    "motor_side_contact": "motor_side",
    "contact_disc": "disc",
}
THREAD_OF_CHOICE: Final = {
    "m6_1": "M6x1",
    "m8_1_25": "M8x1.25",
    "m10_1_5": "M10x1.5",
    "m12_1_75": "M12x1.75",
    "unc_5_16": "5/16-18",
    "unc_3_8": "3/8-16",
    "unc_1_2": "1/2-13",
}
"""The designation of every stud thread that a size can record."""


def check_contact(position: PositionEntry, size: SizeValues) -> tuple[Reason, ...]:
    """Return what the cap, its studs and the disc say of a contact, or the contacts' place of a disc."""
    wanted = FORM_OF_POSITION.get(position.code)
    form = check_choice("form", size_choice(size, "form"), wanted, "the position takes")
    return (form, *(_check_disc(position, size) if wanted == "disc" else _check_fixed(position, size)))


def _check_disc(position: PositionEntry, size: SizeValues) -> tuple[Reason, ...]:
    gap = seat_length(position, "face_gap")
    return (
        judge_span(size_length(size, "disc_diameter"), None if gap is None else half(gap)),
        judge_travel(size_length(size, "over_travel"), seat_length(position, "disc_travel")),
    )


def _check_fixed(position: PositionEntry, size: SizeValues) -> tuple[Reason, ...]:
    spacing = seat_length(position, "stud_spacing")
    written = seat_word(position, "stud_thread")
    seat = Stud(seat_length(position, "stud_diameter"), None if written is None else read_thread(written))
    own_diameter = size_length(size, "stud_diameter")
    own = None if own_diameter is None else Stud(own_diameter, _own_thread(size))
    edge = edge_from_rod(spacing, size_length(size, "seat_offset"))
    return (
        judge_stud(seat, size_length(size, "stud_hole"), own),
        judge_span(seat_length(position, "disc_diameter"), edge, size_length(size, "width")),
        judge_heights(
            size_length(size, "face_height"),
            seat_length(position, "face_height"),
            seat_length(position, "over_travel"),
            spacing,
        ),
    )


def _own_thread(size: SizeValues) -> Thread | None:
    choice = size_choice(size, "stud_thread")
    return None if choice is None else read_thread(THREAD_OF_CHOICE[choice])
