"""From the request of a contact pair to checked values: every fault at once, with its figures."""

from collections.abc import Mapping
from typing import Final

import attrs

from api.fit.contacts.contact_heating import CopperBody
from api.fit.contacts.contact_pair import SIDES, ContactDisc, FixedContact, edge_from_rod
from api.fit.contacts.contact_shapes import ContactPairRequest, DiscRequest, FixedContactRequest, StudRequest
from api.fit.contacts.stud_fit import UNKNOWN_STUD, Stud
from api.fit.contacts.threads import Thread, UnknownThread, read_thread
from api.fit.feature_fields import FeatureReader
from api.fit.judging.features import Feature
from api.fit.judging.gaps import gap_nm, half, span
from api.fit.stated_numbers import (
    MOST_AMPERES,
    MOST_KELVIN,
    MOST_SECONDS,
    MOST_VOLTS,
    read_celsius,
    read_positive,
)
from api.measurement.instruments import Instrument

OTHER_THREAD_SHARE: Final = 0.1
"""A stud whose diameter is off its thread's by this share of it was misread (our judgement)."""


@attrs.frozen(kw_only=True)
class WornPart:
    """What tells the wear of a contact or disc; `worn` says whether it is judged."""

    worn: bool
    thickness: Feature | None
    new_thickness: Feature | None
    least_thickness_nm: int | None
    step: Feature | None

    @property
    def present_thickness(self) -> Feature | None:
        """The thickness of the copper now: as measured, else as new."""
        return self.new_thickness if self.thickness is None else self.thickness


@attrs.frozen(kw_only=True)
class ReadContact:
    """A fixed contact as read: what the pair needs, its wear, its nut, the way of the current."""

    contact: FixedContact
    wear: WornPart
    nut_thread: Thread | None
    path_length: Feature | None


@attrs.frozen(kw_only=True)
class ReadPair:
    """A whole request as read; limits and numbers are None where they were left out."""

    battery: ReadContact
    motor: ReadContact
    disc: ContactDisc
    disc_wear: WornPart
    stud_spacing: Feature | None
    disc_travel: Feature | None
    wear_limit_nm: int | None
    current_amperes: float | None
    seconds: float | None
    start_celsius: float
    greatest_drop_volts: float | None
    greatest_rise_kelvin: float | None

    def copper_bodies(self) -> tuple[CopperBody, ...] | None:
        """Return the bodies that the current passes in a row, or None where one of them is not known.

        Through each contact along its path, as wide as its face; through the disc from edge to edge, as wide
        as the narrower face: less than the current takes, so what it loses is an upper bound (our judgement).
        """
        found = []
        for name, read in zip(SIDES, (self.battery, self.motor), strict=True):
            thickness, width = read.wear.present_thickness, read.contact.width
            length = read.path_length or read.contact.seat_offset
            if thickness is None or width is None or length is None:
                return None
            found.append(CopperBody(name, length, width, thickness))
        edges = [
            edge_from_rod(self.stud_spacing, read.contact.seat_offset) for read in (self.battery, self.motor)
        ]
        thickness = self.disc_wear.present_thickness
        if thickness is None or edges[0] is None or edges[1] is None:
            return None
        between = Feature(edges[0].lower_nm + edges[1].lower_nm, edges[0].upper_nm + edges[1].upper_nm)
        narrower = min((body.width for body in found), key=lambda width: width.middle_nm)
        return found[0], CopperBody("disc", between, narrower, thickness), found[1]


def read_contact_pair(body: ContactPairRequest, instruments: Mapping[str, Instrument]) -> ReadPair:
    """Return a request's values; raises `InvalidInput` with every fault found."""
    reader = FeatureReader(instruments)
    spacing = reader.feature(body.stud_spacing, "stud_spacing")
    read = ReadPair(
        battery=_read_contact(reader, body.battery_side, "battery_side", spacing),
        motor=_read_contact(reader, body.motor_side, "motor_side", spacing),
        disc=ContactDisc(
            diameter=reader.feature(body.disc.diameter, "disc", "diameter"),
            over_travel=reader.feature(body.disc.over_travel, "disc", "over_travel", way="depth"),
        ),
        disc_wear=_read_wear(reader, body.disc, "disc"),
        stud_spacing=spacing,
        disc_travel=reader.feature(body.disc_travel, "disc_travel", way="depth"),
        wear_limit_nm=reader.length(body.wear_limit, "wear_limit"),
        current_amperes=read_positive(
            reader, body.cranking_current_amperes, MOST_AMPERES, "A", "cranking_current_amperes"
        ),
        seconds=read_positive(reader, body.crank_seconds, MOST_SECONDS, "s", "crank_seconds"),
        start_celsius=read_celsius(reader, body.start_celsius, "start_celsius"),
        greatest_drop_volts=read_positive(
            reader, body.greatest_drop_volts, MOST_VOLTS, "V", "greatest_drop_volts"
        ),
        greatest_rise_kelvin=read_positive(
            reader, body.greatest_rise_kelvin, MOST_KELVIN, "K", "greatest_rise_kelvin"
        ),
    )
    _check_wear_limit(reader, read)
    reader.settle()
    return read


def _check_wear_limit(reader: FeatureReader, read: ReadPair) -> None:
    """Refuse a wear that would leave nothing of the thickest of the contacts and the disc."""
    worn = (read.battery.wear, read.motor.wear, read.disc_wear)
    wholes = [one.new_thickness or one.thickness for one in worn]
    thickest = max((one.bounds_nm()[1] for one in wholes if one is not None), default=None)
    limit = read.wear_limit_nm
    if limit is not None and thickest is not None and limit >= thickest:
        expected = f"less than the thickest copper, {span((thickest, thickest))}"
        reader.refuse(span((limit, limit)), expected, "impossible", "wear_limit")


def _read_contact(
    reader: FeatureReader, told: FixedContactRequest, side: str, spacing: Feature | None
) -> ReadContact:
    if told.stud_hole is not None and told.own_stud is not None:
        reader.refuse("both", "a stud_hole or an own_stud, not both", "contradictory", side, "own_stud")
    offset = reader.feature(told.seat_offset, side, "seat_offset", way="depth")
    if offset is not None and spacing is not None and gap_nm(half(spacing), offset)[1] <= 0:
        bounds = half(spacing).bounds_nm()
        expected = f"less than half of the stud spacing ({span(bounds)}), or the faces would meet"
        reader.refuse(span(offset.bounds_nm()), expected, "impossible", side, "seat_offset")
    contact = FixedContact(
        face_height=reader.feature(told.face_height, side, "face_height", way="depth"),
        seat_offset=offset,
        width=reader.feature(told.width, side, "width"),
        stud_hole=reader.feature(told.stud_hole, side, "stud_hole", way="inside", role="hole"),
        own_stud=None if told.own_stud is None else _read_stud(reader, told.own_stud, side, "own_stud"),
        seat_stud=UNKNOWN_STUD
        if told.seat_stud is None
        else _read_stud(reader, told.seat_stud, side, "seat_stud"),
    )
    return ReadContact(
        contact=contact,
        wear=_read_wear(reader, told, side),
        nut_thread=_read_thread(reader, told.nut_thread, side, "nut_thread"),
        path_length=reader.feature(told.path_length, side, "path_length"),
    )


def _read_stud(reader: FeatureReader, told: StudRequest, *path: str) -> Stud:
    diameter = reader.feature(told.diameter, *path, "diameter", role="shaft")
    thread = _read_thread(reader, told.thread, *path, "thread")
    if diameter is not None and thread is not None:
        off = abs(diameter.middle_nm - thread.major_nm)
        if off > OTHER_THREAD_SHARE * thread.major_nm:
            expected = f"a diameter near the {span((thread.major_nm,) * 2)} of {thread.designation}"
            reader.refuse(span(diameter.bounds_nm()), expected, "contradictory", *path, "diameter")
    return Stud(diameter, thread)


def _read_thread(reader: FeatureReader, told: str | None, *path: str) -> Thread | None:
    if told is None:
        return None
    try:
        return read_thread(told)
    except UnknownThread as refused:
        reader.faults.append(refused.as_fault(*path))
        return None


def _read_wear(reader: FeatureReader, told: FixedContactRequest | DiscRequest, part: str) -> WornPart:
    wear = WornPart(
        worn=told.condition == "worn",
        thickness=reader.feature(told.thickness, part, "thickness"),
        new_thickness=reader.feature(told.new_thickness, part, "new_thickness"),
        least_thickness_nm=reader.length(told.least_thickness, part, "least_thickness"),
        step=reader.feature(told.step, part, "step", way="depth"),
    )
    new, now, step = wear.new_thickness, wear.thickness, wear.step
    if new is not None and now is not None and gap_nm(new, now)[1] < 0:
        expected = f"no more than the thickness when new ({span(new.bounds_nm())})"
        reader.refuse(span(now.bounds_nm()), expected, "impossible", part, "thickness")
    whole = new if new is not None else now
    if step is not None and whole is not None and gap_nm(whole, step)[1] <= 0:
        expected = f"less than the thickness ({span(whole.bounds_nm())})"
        reader.refuse(span(step.bounds_nm()), expected, "impossible", part, "step")
    least = wear.least_thickness_nm
    if new is not None and least is not None and least > new.bounds_nm()[1]:
        expected = f"no more than the thickness when new ({span(new.bounds_nm())})"
        reader.refuse(span((least, least)), expected, "impossible", part, "least_thickness")
    return wear
