"""From a judged bush to its answer: figures in millimetres, the steps with their cautions, the sources."""

from typing import Final, Literal

from api.fit.bushings.bushing import BushingFit
from api.fit.bushings.bushing_pieces import Bush, BushSeat, Journal
from api.fit.bushings.bushing_press import HARDLY, SURE, shown_mm
from api.fit.bushings.bushing_shapes import (
    BushingFitAnswer,
    BushingStateAnswer,
    HousingStrainAnswer,
    LeastAndMost,
    MaterialFigures,
    PressingAnswer,
    ReworkAnswer,
)
from api.fit.bushings.bushing_states import BushingState, Span
from api.fit.bushings.close_in import PINNED_LEAST, PINNED_MOST, THINNEST_HOUSING
from api.fit.bushings.housing_strength import HousingStrain, strain_of_housing
from api.fit.bushings.materials import EXPANSION_HOLDS_CELSIUS, Material
from api.fit.judging.cautions import FIRST, REMOVE, Caution
from api.fit.reason_shapes import FitCaution, caution_answers, fit_reason
from api.wire.shapes import range_answer

PRESS_CAUTION: Final = (
    "Wear eye protection: bushes chip and tools slip. Support the nose or end frame close around the seat, "
    "press straight and slowly, keep fingers out, never hammer a bush. "
    "The maker's service manual comes first."
)
SIZE_CAUTION: Final = (
    "Wear eye protection and clamp the housing, never hold it in the hand. Clean out every chip, dry, "
    "without blowing. The maker's service manual comes first."
)
CHECK_CAUTION: Final = (
    "Turn the shaft by hand only, before anything is connected; a spin test needs the starter clamped and is "
    "kept short. The maker's service manual, local rules and a licensed repairer come first."
)


def bushing_answer(fit: BushingFit, bush: Bush, seat: BushSeat, shaft: Journal) -> BushingFitAnswer:
    """Give a judged bush its wire shape."""
    strain = strain_of_housing(bush, seat, fit.states)
    return BushingFitAnswer(
        verdict=fit.verdict,
        limiting=fit_reason(fit.limiting),
        reasons=[fit_reason(reason) for reason in fit.reasons],
        states=[_state(state) for state in fit.states],
        pressing=_pressing(fit),
        housing_strain=_strain_answer(strain),
        rework=_rework(fit),
        cautions=_cautions(fit, bush, strain),
        materials=_materials(fit, bush, seat),
        assumptions=_assumptions(fit, bush, seat, strain),
    )


def _state(state: BushingState) -> BushingStateAnswer:
    return BushingStateAnswer(
        moment=state.moment,
        celsius=state.celsius,
        interference_mm=_span_mm(state.interference_nm),
        chance_holds=_span(state.holds, 6),
        bore_closes_in_mm=_span_mm(state.close_in_nm),
        clearance_mm=_span_mm(state.clearance_nm),
        chance_runs_free=_span(state.runs, 6),
    )


def _pressing(fit: BushingFit) -> PressingAnswer | None:
    told = fit.pressing
    if told is None:
        return None
    return PressingAnswer(
        pressure_mpa=_known(told.pressure_mpa, 3),
        bush_hoop_stress_mpa=_known(told.bush_hoop_mpa, 3),
        housing_hoop_stress_mpa=_known(told.housing_hoop_mpa, 3),
        press_in_force_newtons=_span(told.force_newton, 0),
        elastic_close_in_share=_known(told.elastic_share, 4),
    )


def _strain_answer(told: HousingStrain | None) -> HousingStrainAnswer | None:
    if told is None:
        return None
    return HousingStrainAnswer(
        greatest_pressure_mpa=round(told.greatest_mpa, 3),
        bears_mpa=round(told.bears_mpa, 3),
        would="crack" if told.is_brittle else "yield_through",
        chance=round(told.chance, 6),
        strength_mpa=told.strength_mpa.value,
        source=told.strength_mpa.source,
    )


def _rework(fit: BushingFit) -> ReworkAnswer | None:
    if fit.rework is None:
        return None
    size = range_answer(fit.rework.bore_lower_nm, fit.rework.bore_upper_nm)
    return ReworkAnswer(operation=fit.rework.operation, bore=size, text=fit.rework.words)


def _cautions(fit: BushingFit, bush: Bush, strain: HousingStrain | None) -> list[FitCaution]:
    """Return the steps with a bush that goes in, each with its caution; none with one that does not."""
    if fit.verdict == "does_not_fit":
        return []
    told = [FIRST, REMOVE]
    if bush.bore_state == "free":
        porous = any(make.construction == "porous" for make in fit.makes)
        pin = " on an oiled fitting pin of the bore's size, so that the bore closes in no further"
        caution = PRESS_CAUTION
        if strain is not None and strain.chance > HARDLY:
            then = (
                "choose one less tight" if strain.is_brittle else "look whether the boss has grown or split"
            )
            caution = f"The housing may {strain.gives_way} under this bush: {then}. {caution}"
        told.append(Caution(f"press the bush in{pin if porous else ''}", "disconnected", caution))
    if fit.rework is not None:
        told.append(Caution(fit.rework.words, "disconnected", SIZE_CAUTION))
    told.append(Caution("check that the shaft turns freely", "disconnected", CHECK_CAUTION))
    return caution_answers(told)


def _materials(fit: BushingFit, bush: Bush, seat: BushSeat) -> list[MaterialFigures]:
    found: dict[tuple[str, str], MaterialFigures] = {}
    for make in fit.makes:
        found.setdefault(
            ("bush", make.bush.code), _material("bush", make.bush, stated=bush.material is not None)
        )
        found.setdefault(
            ("housing", make.housing.code),
            _material("housing", make.housing, stated=seat.material is not None),
        )
        found.setdefault(("shaft", make.shaft.code), _material("shaft", make.shaft, stated=True))
    return list(found.values())


def _material(
    piece: Literal["bush", "housing", "shaft"], material: Material, *, stated: bool
) -> MaterialFigures:
    return MaterialFigures(
        piece=piece,
        code=material.code,
        stated=stated,
        modulus_gpa=material.modulus_gpa.value,
        poisson_ratio=material.poisson.value,
        expansion_ppm_per_kelvin=material.expansion_ppm.value,
        sources=[
            f"modulus: {material.modulus_gpa.source}",
            f"Poisson's ratio: {material.poisson.source}",
            f"expansion: {material.expansion_ppm.source}",
        ],
    )


def _assumptions(fit: BushingFit, bush: Bush, seat: BushSeat, strain: HousingStrain | None) -> list[str]:
    told = [
        f"a chance of {SURE:.0%} at every temperature is a yes, of {HARDLY:.0%} a no (our judgement)",
        "lengths are those at 20 °C (ISO 1); limits are equally likely throughout",
    ]
    if bush.bore_state == "free" and any(make.construction == "porous" for make in fit.makes):
        told.append(
            f"the bore of a porous bush closes in by {PINNED_LEAST:.0%} to {PINNED_MOST:.0%} of the "
            "interference, equally likely throughout, as the classes of ISO 2795 imply for a bush pressed "
            "in on a fitting pin; without the pin it closes in by the elastic share, and has to be sized"
        )
    least, most = EXPANSION_HOLDS_CELSIUS
    beyond = [state.celsius for state in fit.states if not least <= state.celsius <= most]
    if beyond:
        told.append(
            f"expansion and stiffness are those from {least:g} to {most:g} °C; at "
            f"{' and '.join(f'{one:g}' for one in beyond)} °C they are extrapolated: do not rely on it"
        )
    if seat.outside_diameter is None:
        told.append(
            f"the outside diameter of the housing is not stated: {THINNEST_HOUSING:g} times its bore or more"
        )
    if strain is None and fit.pressing is not None:
        told.append(
            "whether the housing bears the pressing was not reckoned: that takes its material, "
            "the outside diameter around the seat, and a bush that is a closed ring"
        )
    if seat.material is None:
        told.append("the housing's material is not stated: aluminium, cast iron and steel were all weighed")
    if bush.material is None:
        told.append("the bush's material is not stated: all that its construction allows were weighed")
    return told


def _known(span: Span, decimals: int) -> LeastAndMost:
    return LeastAndMost(least=round(span.least, decimals), most=round(span.most, decimals))


def _span(span: Span | None, decimals: int) -> LeastAndMost | None:
    return None if span is None else _known(span, decimals)


def _span_mm(span: Span | None) -> LeastAndMost | None:
    return None if span is None else LeastAndMost(least=shown_mm(span.least), most=shown_mm(span.most))
