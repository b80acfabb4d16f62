"""Metric bushings of the seed catalogue against ISO 2795's classes, with limits by reference packages.

ISO 2795 (sintered bushes, clause 5.2 as its public previews quote it, editions of 2012 and 2020, up to
50 mm): outside r6 to s7, bore F7 to G7 as delivered, length js13, housing H7. The limits of ISO 286 come
from the packages isofits and pressfit, which are tables apart from the project's data.
"""

import re

import isofits
import pressfit
import pytest

from api.exchange.catalogue import Catalogue
from api.wear_parts.entries import SizeEntry

MM = 1_000_000
UM = 1_000
METRIC = re.compile(r"bush-([\d.]+)x([\d.]+)x([\d.]+)(-|$)")


def hole_um(size_mm: float, tolerance_class: str) -> tuple[float, float]:
    upper, lower = isofits.isotol("hole", size_mm, tolerance_class, "both")
    return lower, upper


def nominal_mm(size: SizeEntry) -> tuple[float, float, float]:
    found = METRIC.match(size.code)
    assert found is not None
    return float(found[1]), float(found[2]), float(found[3])


@pytest.fixture(scope="module")
def metric_bushes(catalogue: Catalogue) -> list[SizeEntry]:
    found = [s for s in catalogue.sizes if s.kind == "bushing" and METRIC.match(s.code)]
    assert len(found) >= 40
    return found


def test_outside_diameters_lie_between_r6_and_s7(metric_bushes: list[SizeEntry]) -> None:
    for size in metric_bushes:
        _, outside_mm, _ = nominal_mm(size)
        _, r6_lower = isofits.isotol("shaft", outside_mm, "r6", "both")
        s7_upper = pressfit.shaft_deviation(outside_mm, "s", 7) + pressfit.it_value(outside_mm, 7)
        value = size.value("outside_diameter")
        assert value.lower_nm >= outside_mm * MM + r6_lower * UM, size.code
        assert value.upper_nm <= outside_mm * MM + s7_upper * UM, size.code


def test_free_bores_lie_between_g7_and_f7_save_wrapped_ones(
    metric_bushes: list[SizeEntry],
) -> None:
    for size in metric_bushes:
        if size.value("construction").choice == "wrapped":
            continue
        bore_mm, _, _ = nominal_mm(size)
        value = size.value("bore")
        assert value.lower_nm >= bore_mm * MM + hole_um(bore_mm, "G7")[0] * UM, size.code
        assert value.upper_nm <= bore_mm * MM + hole_um(bore_mm, "F7")[1] * UM, size.code


def test_lengths_are_js13(metric_bushes: list[SizeEntry]) -> None:
    # IT13 by ISO 286-1's own rule from IT6 on: every fifth grade is ten times as wide, so IT13 = 10 IT8.
    for size in metric_bushes:
        _, _, length_mm = nominal_mm(size)
        half_um = 10 * pressfit.it_value(length_mm, 8) / 2
        value = size.value("length")
        assert value.lower_nm == pytest.approx(length_mm * MM - half_um * UM, abs=1), size.code
        assert value.upper_nm == pytest.approx(length_mm * MM + half_um * UM, abs=1), size.code


def test_housings_of_metric_bushes_are_h7(catalogue: Catalogue) -> None:
    checked = 0
    for family in catalogue.families:
        for position in family.positions:
            if position.kind != "bushing":
                continue
            bore = position.feature("housing_bore")
            nominal = bore.lower_nm / MM
            if bore.lower_nm % (MM // 10) or bore.upper_nm % UM:
                continue  # an inch seat; its fits are our judgement
            checked += 1
            assert (bore.upper_nm - bore.lower_nm) / UM == hole_um(nominal, "H7")[1], (
                family.code,
                position.code,
            )
    assert checked >= 40
