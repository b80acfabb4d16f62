"""HTTP of gears: which pinion it is, and how a pinion meshes with its ring gear."""

from collections.abc import Mapping

from api.errors import InvalidInput
from api.fit.gears.gears_answers import identity_answer, mesh_answer
from api.fit.gears.gears_reading import read_mesh, read_pinion
from api.fit.gears.gears_shapes import (
    GearMeshAnswer,
    GearMeshRequest,
    PinionIdentityAnswer,
    PinionIdentityRequest,
)
from api.fit.gears.pinion_identity import PinionFiguresDisagree, identify_pinion
from api.measurement.instruments import Instrument
from api.wire.operation import Operation, operation


@operation(
    Operation(
        "POST",
        "/v1/fit-checks/pinion-identity",
        "identify_pinion",
        "fit checks",
        "Which diametral pitch or module, pressure angle and profile shift a pinion has",
        PinionIdentityAnswer,
        body=PinionIdentityRequest,
        example={
            "teeth": 9,
            "tip_diameter": "29.40 mm",
            "base_tangent_2": {"text": "12.41 mm", "instrument": "digital_caliper"},
            "base_tangent_3": {"text": "19.90 mm", "uncertainty": "0.01 mm"},
            "tip_read": "across_tips",
        },
    )
)
def check_pinion_identity(
    body: PinionIdentityRequest, instruments: Mapping[str, Instrument]
) -> PinionIdentityAnswer:
    """Identify a pinion from its teeth, tip diameter and spans; refuse figures that cannot agree."""
    read = read_pinion(body, instruments)
    try:
        return identity_answer(read, identify_pinion(read))
    except PinionFiguresDisagree as refused:
        raise InvalidInput.of(refused.as_faults()) from None


@operation(
    Operation(
        "POST",
        "/v1/fit-checks/gear-mesh",
        "check_gear_mesh",
        "fit checks",
        "How a pinion meshes with a ring gear: distance, contact ratio, backlash, interference",
        GearMeshAnswer,
        body=GearMeshRequest,
        example={
            "pinion": {"teeth": 9, "profile_shift": 0.5, "tip_diameter": "29.63 mm", "addendum": 0.8333},
            "ring": {"teeth": 130, "profile_shift": 0, "addendum": 0.8333},
            "diametral_pitch": 10,
            "pressure_angle": 20,
            "centre_distance": "178.56 mm",
            "engine_rpm": 800,
        },
    )
)
def check_gear_mesh(body: GearMeshRequest, instruments: Mapping[str, Instrument]) -> GearMeshAnswer:
    """Judge a mesh at a centre distance; report a low contact ratio, refuse jammed teeth."""
    pinion, ring, mesh = read_mesh(body, instruments)
    return mesh_answer(body, pinion, ring, mesh)


ROUTES = (check_pinion_identity, check_gear_mesh)
