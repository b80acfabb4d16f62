"""Every CHECK constraint refuses the rows that it is there to refuse, on both databases."""

from typing import Any

import pytest
from one_row_each import TABLE_NAMES, add, add_rows_before, table
from sqlalchemy import CheckConstraint
from sqlalchemy.exc import IntegrityError

from api.database import Database

TAX = ({"of": -1}, {"of": 1_000_001})
RANGE_IS_WHOLE = ({"upper_nm": None}, {"lower_nm": None, "count_value": 4})
RANGE_IS_ORDERED = ({"lower_nm": 0}, {"lower_nm": -1}, {"lower_nm": 99_000_000})

BREAKING: dict[str, tuple[dict[str, Any], ...]] = {
    "ck_access_key_digest_is_sha256": ({"digest": "0" * 63}, {"digest": "0" * 65}),
    "ck_access_key_expires_at_is_moment": (
        {"expires_at": "2027-11-25 08:00:00Z"},
        {"expires_at": "2027-11-25T08:00:00"},
    ),
    "ck_access_key_expires_later": (
        {"expires_at": "2026-11-25T08:00:00Z"},
        {"expires_at": "2026-11-25T07:59:59Z"},
    ),
    "ck_access_key_holder_has_name": ({"holder": ""}, {"holder": "x" * 81}),
    "ck_access_key_last_used_on_is_day": ({"last_used_on": "2026-11-25T"}, {"last_used_on": "25/11/2026"}),
    "ck_access_key_made_at_is_moment": (
        {"made_at": "2026-11-25T08:00:00+00:00"},
        {"made_at": "2026-11-25"},
    ),
    "ck_access_key_revoked_at_is_moment": ({"revoked_at": "2026-11-25t08:00:00"}, {"revoked_at": "3000"}),
    "ck_access_key_revoked_later": ({"revoked_at": "2026-11-25T07:59:59Z"},),
    "ck_access_key_scopes_known": (
        {"scopes": ""},
        {"scopes": "prices catalogue"},
        {"scopes": "catalogue,prices"},
        {"scopes": "everything"},
    ),
    "ck_catalogue_state_single_row": ({"id": 2},),
    "ck_dimension_how_known": ({"how": "guess"},),
    "ck_dimension_measure_known": ({"measure": "weight", "wear_sense": "none", "wear_scale_nm": None},),
    "ck_dimension_miscount_is_chance": ({"miscount_chance": 0.0}, {"miscount_chance": 1.0}),
    "ck_dimension_only_lengths_wear": ({"measure": "count"},),
    "ck_dimension_slip_is_chance": ({"slip_chance": 0.0}, {"slip_chance": 1.0}),
    "ck_dimension_span_is_range": (
        {"span_lower": None, "span_upper": None},
        {"span_lower": 5, "span_upper": 5},
        {"measure": "choice", "wear_sense": "none", "wear_scale_nm": None},
    ),
    "ck_dimension_span_is_whole": (
        {"span_upper": None},
        {"measure": "choice", "wear_sense": "none", "wear_scale_nm": None, "span_lower": None},
    ),
    "ck_dimension_wear_has_scale": ({"wear_scale_nm": None}, {"wear_sense": "none"}),
    "ck_dimension_wear_scale_positive": ({"wear_scale_nm": 0},),
    "ck_dimension_wear_sense_known": ({"wear_sense": "melts"},),
    "ck_family_access_class_known": ({"access_class": "impossible"},),
    "ck_family_angle_plausible": (
        {"pressure_angle_millidegrees": 9_999},
        {"pressure_angle_millidegrees": 30_001},
    ),
    "ck_family_construction_known": ({"construction": "steam"},),
    "ck_family_field_known": ({"field": "magnetic"},),
    "ck_family_one_pitch": ({"pinion_diametral_pitch": None}, {"pinion_module_nm": 2_117_000}),
    "ck_family_pilot_positive": ({"pilot_diameter_nm": 0}, {"mounting_holes": 0}, {"mounting_holes": 7}),
    "ck_family_pitch_positive": (
        {"pinion_diametral_pitch": 0},
        {"pinion_diametral_pitch": None, "pinion_module_nm": 0},
    ),
    "ck_family_poles_plausible": (
        {"pole_count": 1},
        {"pole_count": 13},
        {"brush_count": 1},
        {"brush_count": 13},
    ),
    "ck_family_power_positive": ({"rated_power_w": 0},),
    "ck_family_reduction_plausible": (
        {"internal_reduction_thousandths": 999},
        {"internal_reduction_thousandths": 10_001},
    ),
    "ck_family_rotation_known": ({"rotation": "both"},),
    "ck_family_teeth_plausible": ({"pinion_teeth": 5}, {"pinion_teeth": 21}),
    "ck_family_voltage_known": ({"voltage": 48},),
    "ck_kind_unlisted_prior_is_chance": ({"unlisted_prior": 0.0}, {"unlisted_prior": 1.0}),
    "ck_labour_time_hours_plausible": ({"hours_thousandths": -1}, {"hours_thousandths": 100_001}),
    "ck_labour_time_scope_known": ({"scope": "tea"},),
    "ck_number_belongs_to_one": ({"part_id": None}, {"starter_id": "starter-1"}),
    "ck_number_normalised_not_empty": ({"normalised": ""},),
    "ck_number_scheme_known": ({"scheme": "private"},),
    "ck_offer_condition_known": ({"condition": "broken"},),
    "ck_offer_for_one_thing": ({"part_id": None}, {"starter_id": "starter-1"}),
    "ck_offer_pack_plausible": (
        {"pack_size": 0},
        {"pack_size": 10_001},
        {"minimum_quantity": 0},
        {"minimum_quantity": 100_001},
    ),
    "ck_offer_price_positive": ({"price_minor": 0}, {"price_minor": -410}, {"core_deposit_minor": -1}),
    "ck_offer_stock_not_negative": ({"stock": -1},),
    "ck_offer_terms_plausible": (
        {"warranty_months": -1},
        {"warranty_months": 241},
        {"lead_time_days": -1},
        {"lead_time_days": 731},
    ),
    "ck_offer_valid_from_is_day": ({"valid_from": "2026-1-01"}, {"valid_from": "2026/01/01"}),
    "ck_offer_valid_until_is_day": ({"valid_until": "2027-01-01T00:00"}, {"valid_until": "2027.01.01"}),
    "ck_offer_validity_ordered": ({"valid_until": "2026-01-01"}, {"valid_until": "2025-12-31"}),
    "ck_part_number_not_empty": ({"number": ""},),
    "ck_part_provenance_known": ({"provenance": "rumour"},),
    "ck_part_voltage_known": ({"voltage": 48},),
    "ck_position_code_known": ({"code": "tailpipe"},),
    "ck_position_quantity_plausible": ({"quantity": 0}, {"quantity": 25}),
    "ck_seat_feature_range_is_ordered": RANGE_IS_ORDERED,
    "ck_seat_feature_range_is_whole": RANGE_IS_WHOLE,
    "ck_seat_feature_says_one_thing": (
        {"count_value": 130},
        {"text_value": "M8x1.25"},
        {"lower_nm": None, "upper_nm": None},
    ),
    "ck_shop_terms_amounts_not_negative": ({"rate_per_hour_minor": -1}, {"consumables_minor": -1}),
    "ck_shop_terms_currency_is_code": ({"currency": "US"}, {"currency": "dollar"}),
    "ck_shop_terms_deposit_tax_is_rate": tuple({"tax_deposit_millionths": tax["of"]} for tax in TAX),
    "ck_shop_terms_included_is_flag": ({"tax_included": 2},),
    "ck_shop_terms_labour_tax_is_rate": tuple({"tax_labour_millionths": tax["of"]} for tax in TAX),
    "ck_shop_terms_parts_tax_is_rate": tuple({"tax_parts_millionths": tax["of"]} for tax in TAX),
    "ck_size_value_applies_is_flag": ({"applies": 2, "count_value": 4},),
    "ck_size_value_count_is_plausible": (
        {"lower_nm": None, "upper_nm": None, "count_value": -1},
        {"lower_nm": None, "upper_nm": None, "count_value": 1_000},
    ),
    "ck_size_value_knowledge_uncertainty_not_negative": ({"knowledge_uncertainty_nm": -1},),
    "ck_size_value_provenance_known": ({"provenance": "rumour"},),
    "ck_size_value_range_is_ordered": RANGE_IS_ORDERED,
    "ck_size_value_range_is_whole": RANGE_IS_WHOLE,
    "ck_size_value_says_one_thing": (
        {"count_value": 4},
        {"choice_value": "plain"},
        {"applies": 0},
        {"lower_nm": None, "upper_nm": None},
    ),
    "ck_starter_number_not_empty": ({"number": ""},),
    "ck_supersession_not_by_itself": ({"new_number_id": "number-1"},),
    "ck_supersession_superseded_on_is_day": ({"superseded_on": "1 March"}, {"superseded_on": "2026 03 01"}),
    "ck_supplier_currency_is_code": ({"currency": "US"}, {"currency": "dollar"}),
    "ck_supplier_shipping_not_negative": ({"shipping_minor": -1}, {"free_shipping_from_minor": -1}),
    "ck_usage_figure_code_known": ({"code": "starts"},),
    "ck_usage_figure_currency_is_code": ({"code": "starts_per_month", "currency": "US"},),
    "ck_usage_figure_money_has_currency": ({"currency": ""}, {"code": "starts_per_month"}),
    "ck_usage_figure_value_not_negative": ({"value_millionths": -1},),
    "ck_wear_life_scale_plausible": ({"scale_starts": 0}, {"scale_starts": 1_000_000_001}),
    "ck_wear_life_scope_known": ({"scope": "starter"},),
    "ck_wear_life_shape_in_bounds": ({"shape_thousandths": 499}, {"shape_thousandths": 10_001}),
    "ck_answered_request_answered_at_is_moment": ({"answered_at": "2026-11-25"},),
    "ck_answered_request_key_is_sha256": ({"key_digest": "a"},),
    "ck_answered_request_request_is_sha256": ({"request_digest": "b"},),
    "ck_answered_request_status_is_success": ({"status": 199}, {"status": 300}),
    "ck_audit_entry_action_known": ({"action": "look"},),
    "ck_audit_entry_at_is_moment": ({"at": "today"},),
    "ck_audit_entry_says_what_changed": ({"after": None},),
    "ck_maker_withdrawn_on_is_day": ({"withdrawn_on": "today"},),
    "ck_measurement_record_belongs_to_one": (
        {"position_id": "position-1"},
        {"size_id": None, "part_id": None},
    ),
    "ck_measurement_record_seats_are_no_parts": ({"size_id": None, "position_id": "position-1"},),
    "ck_measurement_record_specimen_not_empty": ({"specimen": ""},),
    "ck_measurement_record_measured_on_is_day": ({"measured_on": "today"},),
    "ck_measurement_record_withdrawn_on_is_day": ({"withdrawn_on": "today"},),
    "ck_measurement_reading_surface_known": ({"surface": "rough"},),
    "ck_measurement_reading_state_known": ({"state": "lost"},),
    "ck_measurement_reading_applies_is_flag": ({"applies": 2, "count_value": 4},),
    "ck_measurement_reading_length_is_whole": ({"instrument_nm": None, "step_nm": None},),
    "ck_measurement_reading_step_is_known": ({"step_nm": None},),
    "ck_measurement_reading_uncertainty_positive": ({"instrument_nm": 0.0}, {"step_nm": -1.0}),
    "ck_measurement_reading_count_is_plausible": (
        {"instrument": None, "instrument_nm": None, "step_nm": None, "count_value": -1},
        {"instrument": None, "instrument_nm": None, "step_nm": None, "count_value": 1_000},
    ),
    "ck_measurement_reading_says_one_thing": ({"count_value": 4}, {"choice_value": "plain"}, {"applies": 0}),
    "ck_measured_value_length_positive": ({"length_nm": 0},),
    "ck_learned_value_belongs_to_one": ({"size_id": None}, {"position_id": "position-1"}),
    "ck_learned_value_former_is_whole": ({"former": "12.5 mm"}, {"former_provenance": "measured"}),
    "ck_learned_value_adopted_is_whole": ({"adopted": None}, {"adopted_provenance": None}),
    "ck_learned_value_uncertainties_not_negative": (
        {"former_uncertainty_nm": -1},
        {"adopted_uncertainty_nm": -1},
    ),
    "ck_learned_value_learned_at_is_moment": ({"learned_at": "2026-11-25"},),
    "ck_size_withdrawn_on_is_day": ({"withdrawn_on": "today"},),
    "ck_number_withdrawn_on_is_day": ({"withdrawn_on": "today"},),
    "ck_supersession_withdrawn_on_is_day": ({"withdrawn_on": "today"},),
    "ck_position_withdrawn_on_is_day": ({"withdrawn_on": "today"},),
    "ck_listing_withdrawn_on_is_day": ({"withdrawn_on": "today"},),
    "ck_part_withdrawn_on_is_day": ({"withdrawn_on": "today"},),
    "ck_family_withdrawn_on_is_day": ({"withdrawn_on": "today"},),
    "ck_starter_withdrawn_on_is_day": ({"withdrawn_on": "today"},),
    "ck_supplier_withdrawn_on_is_day": ({"withdrawn_on": "today"},),
    "ck_offer_withdrawn_on_is_day": ({"withdrawn_on": "today"},),
}

TABLE_OF = {
    str(constraint.name): name
    for name in TABLE_NAMES
    for constraint in table(name).constraints
    if isinstance(constraint, CheckConstraint)
}


def test_every_check_has_a_row_that_breaks_it() -> None:
    assert sorted(TABLE_OF) == sorted(BREAKING)


def test_the_unbroken_rows_are_taken(database: Database) -> None:
    with database.write() as session:
        add_rows_before(session.connection)


@pytest.mark.parametrize("check", sorted(BREAKING))
def test_a_row_that_breaks_a_check_is_refused_by_that_check(database: Database, check: str) -> None:
    name = TABLE_OF[check]
    with database.write() as session:
        add_rows_before(session.connection, name)
        for changes in BREAKING[check]:
            with pytest.raises(IntegrityError) as refused, session.connection.begin_nested():
                add(session.connection, name, **changes)
            assert _named(refused.value, name) & {check}, f"{changes} was refused by something else"


def _named(error: IntegrityError, name: str) -> set[str]:
    """Return the CHECKs of a table that an error's message names."""
    words = set(str(error.orig).replace('"', " ").split())
    return {check for check, table_name in TABLE_OF.items() if table_name == name} & words
