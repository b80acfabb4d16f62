"""Whether a contact or a disc of a size goes on its studs and meets its partners. Pure."""

from collections.abc import Iterator
from typing import Final

import attrs

from api.fit.contacts.contact_pair import edge_from_rod, judge_heights, judge_span, judge_travel
from api.fit.contacts.stud_fit import Stud, judge_stud
from api.fit.contacts.threads import read_thread
from api.fit.gears.drive_checks import check_choice
from api.fit.judging.features import Feature
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


DIMENSIONS: Final = frozenset(
    {
        "form",
        "stud_hole",
        "stud_thread",
        "stud_diameter",
        "disc_diameter",
        "face_height",
        "over_travel",
    }
)
"""Of which dimensions the check may say something."""


@attrs.frozen(kw_only=True)
class ContactPiece:
    """A fixed contact or a disc as far as its size records it."""

    form: str | None
    disc_diameter: Feature | None
    over_travel: Feature | None
    stud_hole: Feature | None
    own_stud: Stud | None
    seat_offset: Feature | None
    width: Feature | None
    face_height: Feature | None


@attrs.frozen(kw_only=True)
class ContactPlace:
    """What a position takes: its form (None: it takes no contact), the cap with its stud, the disc."""

    form: str | None
    stud: Stud
    stud_spacing: Feature | None
    disc_diameter: Feature | None
    face_height: Feature | None
    over_travel: Feature | None
    face_gap: Feature | None
    disc_travel: Feature | None


def contact_of(size: SizeValues) -> ContactPiece:
    """Return what a size records of a contact or a disc that the check reads."""
    diameter, choice = size_length(size, "stud_diameter"), size_choice(size, "stud_thread")
    thread = None if choice is None else read_thread(THREAD_OF_CHOICE[choice])
    return ContactPiece(
        form=size_choice(size, "form"),
        disc_diameter=size_length(size, "disc_diameter"),
        over_travel=size_length(size, "over_travel"),
        stud_hole=size_length(size, "stud_hole"),
        own_stud=None if diameter is None else Stud(diameter, thread),
        seat_offset=size_length(size, "seat_offset"),
        width=size_length(size, "width"),
        face_height=size_length(size, "face_height"),
    )


def seat_of(position: PositionEntry) -> ContactPlace:
    """Return what a position states that the check reads."""
    written = seat_word(position, "stud_thread")
    return ContactPlace(
        form=FORM_OF_POSITION.get(position.code),
        stud=Stud(seat_length(position, "stud_diameter"), None if written is None else read_thread(written)),
        stud_spacing=seat_length(position, "stud_spacing"),
        disc_diameter=seat_length(position, "disc_diameter"),
        face_height=seat_length(position, "face_height"),
        over_travel=seat_length(position, "over_travel"),
        face_gap=seat_length(position, "face_gap"),
        disc_travel=seat_length(position, "disc_travel"),
    )


def judge(piece: ContactPiece, place: ContactPlace) -> Iterator[Reason]:
    """Yield what the cap, its studs and the disc say of a contact, or the contacts' place of a disc."""
    yield check_choice("form", piece.form, place.form, "the position takes")
    if place.form == "disc":
        gap = place.face_gap
        yield judge_span(piece.disc_diameter, None if gap is None else half(gap))
        yield judge_travel(piece.over_travel, place.disc_travel)
        return
    edge = edge_from_rod(place.stud_spacing, piece.seat_offset)
    yield judge_stud(place.stud, piece.stud_hole, piece.own_stud)
    yield judge_span(place.disc_diameter, edge, piece.width)
    yield judge_heights(piece.face_height, place.face_height, place.over_travel, place.stud_spacing)
