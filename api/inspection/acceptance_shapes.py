"""Wire models of a family's acceptance sheet."""

from typing import Annotated

from msgspec import Meta

from api.fit.reason_shapes import FitCaution, caution_answers
from api.inspection.acceptance import SheetStep
from api.inspection.acceptance_values import MANUAL, answered_by_manual
from api.inspection.answer_shapes import BasisName
from api.starters.shapes import Voltage
from api.wire.shapes import Answer


class AcceptanceValue(Answer, frozen=True, kw_only=True):
    """A value of a check, with its source; where it does not apply it is told for comparison only."""

    quantity: Annotated[str, Meta(description="what is read; its unit is in the name or in the text")]
    text: str
    basis: BasisName
    source: str
    applies: bool


class AcceptanceStep(Answer, frozen=True, kw_only=True):
    """One check after reassembly."""

    step: Annotated[int, Meta(ge=1)]
    code: str
    do: str
    expect: str
    values: list[AcceptanceValue]
    otherwise: Annotated[str | None, Meta(description="where the value is to be had, when none here applies")]
    caution: FitCaution


class AcceptanceSheet(Answer, frozen=True, kw_only=True):
    """What to check once the starter is together again, in order (common practice, no source)."""

    family: str
    voltage: Voltage
    rated_power_w: int
    steps: list[AcceptanceStep]
    cautions: list[FitCaution]


def step_answer(number: int, step: SheetStep) -> AcceptanceStep:
    """Give a step its wire shape."""
    return AcceptanceStep(
        step=number,
        code=step.code,
        do=step.do,
        expect=step.expect,
        values=[
            AcceptanceValue(
                quantity=one.quantity,
                text=one.text,
                basis=one.basis,
                source=one.source,
                applies=one.applies,
            )
            for one in step.values
        ],
        otherwise=MANUAL if step.code in NEEDS_A_VALUE and answered_by_manual(step.values) else None,
        caution=caution_answers([step.caution])[0],
    )


NEEDS_A_VALUE = ("insulation", "drive_slip", "pull_in", "pinion_clearance", "rest_clearance", "no_load")
"""Steps that are judged by a value."""
