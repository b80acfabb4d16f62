"""Which starter is diagnosed, as far as it is known, and how likely each fault is beforehand. Pure."""

from collections.abc import Mapping

import attrs
import numpy as np
from numpy.typing import NDArray

from api.diagnosis.knowledge import OTHER, FaultKnown, Figure, Knowledge

Vector = NDArray[np.float64]


@attrs.frozen(kw_only=True)
class Subject:
    """The starter: what is not known is None. `voltage` is always known, stated or assumed."""

    voltage: int
    construction: str | None = None
    field: str | None = None
    rated_power_w: int | None = None
    positions: tuple[str, ...] | None = None


@attrs.frozen
class Prior:
    """The faults that this starter can have, in the tables' order, and their chances beforehand (sum 1)."""

    faults: tuple[FaultKnown, ...]
    chances: Vector


def weigh_faults(knowledge: Knowledge, subject: Subject) -> Prior:
    """Return the chances beforehand of every fault that the starter can have.

    A fault is left out where construction or field rule it out, and where the family is known and has none
    of the positions that it concerns. What is not known is averaged over, by how common it is.
    """
    weighed = [(fault, _weight(fault, knowledge, subject)) for fault in knowledge.faults.values()]
    offered = [(fault, weight) for fault, weight in weighed if weight > 0]
    chances = np.array([weight for _, weight in offered])
    return Prior(tuple(fault for fault, _ in offered), chances / chances.sum())


def _weight(fault: FaultKnown, knowledge: Knowledge, subject: Subject) -> float:
    if (
        subject.positions is not None
        and fault.positions
        and not set(fault.positions) & set(subject.positions)
    ):
        return 0.0
    weight = fault.prior.value
    weight *= _share(
        fault, "construction", fault.constructions, subject.construction, knowledge.construction_weights
    )
    weight *= _share(fault, "field", fault.fields, subject.field, knowledge.field_weights)
    for by in fault.prior_by:
        if by.by == "voltage" and by.value == subject.voltage:
            weight *= by.factor.value
    return weight


def _share(
    fault: FaultKnown, by: str, possible: tuple[str, ...], known: str | None, common: Mapping[str, Figure]
) -> float:
    """Return the factor of the known construction or field, or the mean of all by how common they are."""
    factors = {one.value: one.factor.value for one in fault.prior_by if one.by == by}
    weighed = {known: 1.0} if known is not None else {name: one.value for name, one in common.items()}
    total = sum(weighed.values())
    return (
        sum(weight * factors.get(name, 1.0) for name, weight in weighed.items() if name in possible) / total
    )


def is_known(fault: FaultKnown) -> bool:
    """Return whether a fault is one of the tables' own, not the one that stands for all others."""
    return fault.code != OTHER
