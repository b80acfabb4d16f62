"""Wire models of `POST /v1/fit-checks/contact-pair`."""

from typing import Annotated, Literal

from msgspec import Meta
from pydantic import Field

from api.fit.contacts.contact_heating import BodyName
from api.fit.contacts.threads import BY_DESIGNATION
from api.fit.feature_fields import FeatureField, Text
from api.fit.reason_shapes import FitCaution, FitReason, FitReport, GradeName
from api.fit.stated_numbers import Amperes, Celsius, Kelvins, Seconds, Volts
from api.wire.inputs import Request
from api.wire.shapes import Answer

Condition = Literal["new", "worn"]

ThreadText = Annotated[
    Text,
    Field(
        description="a thread: " + ", ".join(BY_DESIGNATION) + "; without its pitch the coarse one",
        examples=["M8x1.25"],
    ),
]


class StudRequest(Request):
    """A stud: its diameter over the crests, its thread; either may be left out."""

    diameter: FeatureField | None = None
    thread: ThreadText | None = None


class FixedContactRequest(Request):
    """A fixed contact and the stud it belongs on; what is left out is not known.

    A contact has a `stud_hole`, or is in one piece with its `own_stud`. `seat_offset` is from the centre of
    the stud to the edge of the face nearest the plunger rod; `path_length` the way of the current through
    the copper (the seat offset where it is left out); `step` the depth of what the disc has burnt.
    """

    condition: Condition = "new"
    seat_stud: StudRequest | None = None
    stud_hole: FeatureField | None = None
    own_stud: StudRequest | None = None
    nut_thread: ThreadText | None = None
    face_height: FeatureField | None = None
    seat_offset: FeatureField | None = None
    width: FeatureField | None = None
    thickness: FeatureField | None = None
    new_thickness: FeatureField | None = None
    least_thickness: Text | None = None
    step: FeatureField | None = None
    path_length: FeatureField | None = None


class DiscRequest(Request):
    """The disc. `over_travel` is how far the plunger rod still moves after the disc has met both contacts."""

    condition: Condition = "new"
    diameter: FeatureField | None = None
    over_travel: FeatureField | None = None
    thickness: FeatureField | None = None
    new_thickness: FeatureField | None = None
    least_thickness: Text | None = None
    step: FeatureField | None = None


class ContactPairRequest(Request):
    """Two fixed contacts, their disc, and their cap; limits and the cranking current where they are known.

    `disc_travel` is the whole way of the plunger rod; `wear_limit` the most wear of a contact (0.9 mm, from
    one starter's service data, where it is left out).
    """

    battery_side: FixedContactRequest
    motor_side: FixedContactRequest
    disc: DiscRequest
    stud_spacing: FeatureField | None = None
    disc_travel: FeatureField | None = None
    wear_limit: Text | None = None
    cranking_current_amperes: Amperes | None = None
    crank_seconds: Seconds | None = None
    start_celsius: Celsius = 20.0
    greatest_drop_volts: Volts | None = None
    greatest_rise_kelvin: Kelvins | None = None


class BodyHeatingAnswer(Answer, frozen=True, kw_only=True):
    """One copper body at the cranking current; `rise_kelvin` is an upper bound: no heat leaves."""

    body: BodyName
    resistance_microohms: float
    volts: float
    watts: float
    amperes_per_square_millimetre: float
    rise_kelvin: Annotated[
        float | None,
        Meta(description="none without a cranking time, and where the bound would reach the melting point"),
    ]


class HeatingAnswer(Answer, frozen=True, kw_only=True):
    """What the copper of the pair loses at the cranking current; what the touching faces add is not in it."""

    current_amperes: float
    seconds: float | None
    start_celsius: float
    bodies: list[BodyHeatingAnswer]
    volts: float
    watts: float
    source: str


class ContactPairAnswer(Answer, frozen=True, kw_only=True):
    """The verdict, the reason that limits it, every reason, and what is only reported.

    `heating` is null without a current or where a body's way, width or thickness is not known.
    """

    verdict: GradeName
    limiting: FitReason
    reasons: list[FitReason]
    heating: HeatingAnswer | None
    reported: list[FitReport]
    cautions: list[FitCaution]
