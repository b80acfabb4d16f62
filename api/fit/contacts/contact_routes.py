"""HTTP of the contact pair: two fixed contacts, their disc and their cap."""

from collections.abc import Mapping

import attrs

from api.fit.contacts.contact_heating import Heating, heat_bodies, judge_drop, judge_rise, published_drops
from api.fit.contacts.contact_pair import judge_pair
from api.fit.contacts.contact_shapes import (
    BodyHeatingAnswer,
    ContactPairAnswer,
    ContactPairRequest,
    HeatingAnswer,
)
from api.fit.contacts.contact_wear import judge_step, judge_thickness
from api.fit.contacts.read_contact_pair import ReadPair, WornPart, read_contact_pair
from api.fit.contacts.stud_fit import judge_nut
from api.fit.judging.cautions import CONTACT_CAUTIONS
from api.fit.judging.reasons import Figure, Reason, grade_of, limiting_reason
from api.fit.reason_shapes import FitReport, caution_answers, figures_answer, fit_reason
from api.measurement.instruments import Instrument
from api.wire.operation import Operation, operation

_CONTACT = {
    "seat_stud": {"thread": "M8x1.25", "diameter": "7.76..7.97 mm"},
    "stud_hole": "8.40..8.60 mm",
    "width": "13.80..14.20 mm",
    "seat_offset": "8.30..8.70 mm",
}
EXAMPLE = {
    "battery_side": {**_CONTACT, "face_height": "8.90..9.10 mm", "thickness": "2.45..2.55 mm"},
    "motor_side": {
        **_CONTACT,
        "condition": "worn",
        "face_height": {"text": "8.55 mm", "instrument": "digital_caliper"},
        "thickness": {"text": "2.05 mm", "instrument": "outside_micrometer"},
        "new_thickness": "2.45..2.55 mm",
        "step": "0.35 mm",
    },
    "disc": {"diameter": "25.85..26.15 mm", "over_travel": "1.20..1.80 mm", "thickness": "2.45..2.55 mm"},
    "stud_spacing": "37.80..38.20 mm",
    "disc_travel": "2.4..3.2 mm",
    "cranking_current_amperes": 300,
    "crank_seconds": 10,
}

MISSING = (
    "seat offset, width and thickness of both contacts, the disc's thickness, the stud spacing and the "
    "cranking current have to be known"
)


@operation(
    Operation(
        "POST",
        "/v1/fit-checks/contact-pair",
        "check_contact_pair",
        "fit checks",
        "Do two contacts and their disc go together: studs, heights, travel, wear, heating",
        ContactPairAnswer,
        body=ContactPairRequest,
        example=EXAMPLE,
    )
)
def check_contact_pair(body: ContactPairRequest, instruments: Mapping[str, Instrument]) -> ContactPairAnswer:
    """Judge two contacts with their disc; what is not stated is unknown, never a pass."""
    read = read_contact_pair(body, instruments)
    bodies = None if read.current_amperes is None else read.copper_bodies()
    heating = None
    if bodies is not None and read.current_amperes is not None:
        heating = heat_bodies(bodies, read.current_amperes, read.seconds, read.start_celsius)
    reasons = (*_reasons(read), *_heating_reasons(read, heating))
    limiting = limiting_reason(reasons)
    return ContactPairAnswer(
        verdict=grade_of(reasons),
        limiting=fit_reason(reasons[0] if limiting is None else limiting),
        reasons=[fit_reason(reason) for reason in reasons],
        heating=None if heating is None else _heating_answer(read, heating),
        reported=_reported(read, heating),
        cautions=caution_answers(CONTACT_CAUTIONS),
    )


def _reasons(read: ReadPair) -> tuple[Reason, ...]:
    reasons = list(
        judge_pair(
            read.battery.contact,
            read.motor.contact,
            read.disc,
            stud_spacing=read.stud_spacing,
            disc_travel=read.disc_travel,
        )
    )
    for side, each in (("battery_side", read.battery), ("motor_side", read.motor)):
        if each.nut_thread is not None:
            stud = each.contact.own_stud or each.contact.seat_stud
            reasons.append(_on(side, judge_nut(stud, each.nut_thread)))
        reasons.extend(_wear_reasons(side, each.wear, read.wear_limit_nm))
    return (*reasons, *_wear_reasons("disc", read.disc_wear, read.wear_limit_nm))


def _wear_reasons(part: str, wear: WornPart, limit_nm: int | None) -> tuple[Reason, ...]:
    """Judge what is left of a worn part; the step only where it was measured."""
    if not wear.worn:
        return ()
    thickness = judge_thickness(
        wear.thickness,
        wear.new_thickness,
        least_thickness_nm=wear.least_thickness_nm,
        wear_limit_nm=limit_nm,
    )
    if wear.step is None:
        return (_on(part, thickness),)
    return _on(part, thickness), _on(part, judge_step(wear.step, limit_nm))


def _heating_reasons(read: ReadPair, heating: Heating | None) -> tuple[Reason, ...]:
    """Judge voltage lost and rise where the caller states a limit; without the figures it is unknown."""
    reasons = []
    if read.greatest_drop_volts is not None:
        reasons.append(
            Reason("voltage_drop", "unknown", MISSING)
            if heating is None
            else judge_drop(heating, read.greatest_drop_volts)
        )
    if read.greatest_rise_kelvin is not None:
        reasons.append(
            Reason("temperature_rise", "unknown", f"{MISSING}, and how long is cranked")
            if heating is None or read.seconds is None
            else judge_rise(heating, read.greatest_rise_kelvin)
        )
    return tuple(reasons)


def _on(part: str, reason: Reason) -> Reason:
    return attrs.evolve(reason, dimension=f"{part}.{reason.dimension}")


def _heating_answer(read: ReadPair, heating: Heating) -> HeatingAnswer:
    return HeatingAnswer(
        current_amperes=read.current_amperes or 0.0,
        seconds=read.seconds,
        start_celsius=read.start_celsius,
        bodies=[
            BodyHeatingAnswer(
                body=one.name,
                resistance_microohms=one.resistance_microohms,
                volts=one.volts,
                watts=one.watts,
                amperes_per_square_millimetre=one.amperes_per_square_mm,
                rise_kelvin=one.rise_kelvin,
            )
            for one in heating.bodies
        ],
        volts=heating.volts,
        watts=heating.watts,
        source=heating.source,
    )


def _reported(read: ReadPair, heating: Heating | None) -> list[FitReport]:
    """Tell what would melt, and the published drops beside what the copper alone loses: none is judged."""
    if read.current_amperes is None:
        return []
    if heating is None:
        return [FitReport(topic="heating", text=f"not computed: {MISSING}", figures={}, source="")]
    return [
        *_melting(heating),
        *_drops(read.current_amperes, heating),
    ]


def _melting(heating: Heating) -> list[FitReport]:
    """Name the bodies that would reach their melting point: no rise is told of them."""
    return [
        FitReport(
            topic="temperature_rise",
            text=f"the {one.name.replace('_', ' ')} copper would reach its melting point if no heat left it: "
            "do not crank so long at such a current",
            figures=figures_answer((Figure("amperes_per_square_millimetre", one.amperes_per_square_mm),)),
            source=heating.source,
        )
        for one in heating.bodies
        if one.melts
    ]


def _drops(current_amperes: float, heating: Heating) -> list[FitReport]:
    return [
        FitReport(
            topic="voltage_drop",
            text="published greatest drop of the whole switch or circuit; measured while cranking it counts "
            "the touching faces too. Limits are practice and differ by source: to be judged, state "
            "greatest_drop_volts",
            figures=figures_answer(
                (Figure("published_greatest_drop_volts", volts), Figure("bodies_volts", heating.volts))
            ),
            source=name,
        )
        for name, volts in published_drops(current_amperes)
    ]


ROUTES = (check_contact_pair,)
