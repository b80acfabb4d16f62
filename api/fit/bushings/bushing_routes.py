"""HTTP of the bushing check: does a bush hold in its housing and run on its shaft?"""

from collections.abc import Mapping

from api.fit.bushings.bushing import judge_bushing
from api.fit.bushings.bushing_input import find_bushing_faults, material_fault
from api.fit.bushings.bushing_pieces import Bush, BushSeat, Journal, Temperatures
from api.fit.bushings.bushing_shapes import BushingFitAnswer, BushingFitRequest, TemperaturesRequest
from api.fit.bushings.materials import MATERIALS
from api.fit.bushings.present_bushing import bushing_answer
from api.fit.feature_fields import FeatureReader
from api.measurement.instruments import Instrument
from api.wire.operation import Operation, operation

EXAMPLE = {
    "bush": {
        "outside_diameter": "16 mm r6",
        "bore": "12.5 mm G7",
        "length": "12 mm js13",
        "material": "sintered_bronze",
        "construction": "porous",
    },
    "housing": {
        "bore": "16 mm H7",
        "depth": "12.2..12.6 mm",
        "form": "through",
        "material": "aluminium",
        "outside_diameter": "24 mm",
    },
    "shaft": {"diameter": "12.5 mm f7"},
}


@operation(
    Operation(
        "POST",
        "/v1/fit-checks/bushing",
        "check_bushing_fit",
        "fit checks",
        "Whether a bush holds in its housing and runs on its shaft, cold and hot, and which rework it needs",
        BushingFitAnswer,
        body=BushingFitRequest,
        example=EXAMPLE,
    )
)
def check_bushing_fit(body: BushingFitRequest, instruments: Mapping[str, Instrument]) -> BushingFitAnswer:
    """Judge a bush from limits, tolerance classes or readings; what is left out makes it unknown."""
    bush, seat, shaft, temperatures = read_bushing(body, instruments)
    return bushing_answer(judge_bushing(bush, seat, shaft, temperatures), bush, seat, shaft)


def read_bushing(
    body: BushingFitRequest, instruments: Mapping[str, Instrument]
) -> tuple[Bush, BushSeat, Journal, Temperatures]:
    """Return bush, seat, journal and temperatures of a request.

    Raises `InvalidInput` with every fault: first of what each value says, else of what cannot go together.
    """
    reader = FeatureReader(instruments)
    bush = _bush(body, reader)
    told = body.housing
    seat = BushSeat(
        bore=reader.feature(told.bore, "housing", "bore", way="inside", role="hole"),
        depth=reader.feature(told.depth, "housing", "depth", way="depth", role="hole"),
        form=told.form,
        material=_material(told.material, reader, "housing", "material"),
        outside_diameter=reader.feature(
            told.outside_diameter, "housing", "outside_diameter", way="outside", role="shaft"
        ),
    )
    shaft = Journal(
        diameter=reader.feature(body.shaft.diameter, "shaft", "diameter", way="outside", role="shaft"),
        material=_material(body.shaft.material, reader, "shaft", "material") or "steel",
    )
    given = body.temperatures_celsius or TemperaturesRequest()
    temperatures = Temperatures(assembly=given.assembly, cold=given.cold, hot=given.hot)
    # What could be read is weighed together even where something else could not.
    reader.faults.extend(find_bushing_faults(bush, seat, shaft, temperatures))
    reader.settle()
    return bush, seat, shaft, temperatures


def _bush(body: BushingFitRequest, reader: FeatureReader) -> Bush:
    told = body.bush
    return Bush(
        outside_diameter=reader.feature(
            told.outside_diameter, "bush", "outside_diameter", way="outside", role="shaft"
        ),
        bore=reader.feature(told.bore, "bush", "bore", way="inside", role="hole"),
        bore_state=told.bore_state,
        length=reader.feature(told.length, "bush", "length", way="outside", role="shaft"),
        flange_thickness=reader.feature(
            told.flange_thickness, "bush", "flange_thickness", way="outside", role="shaft"
        ),
        flange_diameter=reader.feature(
            told.flange_diameter, "bush", "flange_diameter", way="outside", role="shaft"
        ),
        material=_material(told.material, reader, "bush", "material"),
        construction=told.construction,
    )


def _material(code: str | None, reader: FeatureReader, *path: str) -> str | None:
    """Return a known material, or None where none is told or after noting its fault."""
    if code is None or code in MATERIALS:
        return code
    reader.faults.append(material_fault(code, *path))
    return None


ROUTES = (check_bushing_fit,)
