"""One row that every rule allows for each table (invented), parents before children."""

from typing import Any

from sqlalchemy import Connection, Table, insert, inspect
from sqlmodel import SQLModel

from api.every_table import TABLES

TABLE_NAMES = tuple(str(table.__tablename__) for table in TABLES)

ROWS: dict[str, dict[str, Any]] = {
    "kind": {
        "code": "bushing",
        "name": "Bushing",
        "description": "A plain bearing.",
        "model_version": "1",
        "unlisted_prior": 0.02,
        "unlisted_prior_origin": "invented",
    },
    "dimension": {
        "kind_code": "bushing",
        "code": "bore",
        "sequence": 1,
        "name": "Bore",
        "measure": "length",
        "how": "inside",
        "place": "between the lands",
        "wear_sense": "grows",
        "wear_scale_nm": 60_000,
        "span_lower": 2_000_000,
        "span_upper": 60_000_000,
        "slip_chance": 0.01,
        "miscount_chance": 0.01,
        "two_point_over": None,
        "origin": "invented",
    },
    "dimension_choice": {
        "kind_code": "bushing",
        "dimension_code": "bore",
        "value": "none",
        "label": "None",
        "sequence": 1,
    },
    "maker": {"code": "ostrava", "name": "Invented maker"},
    "size": {"id": "size-1", "kind_code": "bushing", "code": "b-1250"},
    "size_value": {
        "size_id": "size-1",
        "dimension_code": "bore",
        "kind_code": "bushing",
        "applies": 1,
        "lower_nm": 12_500_000,
        "upper_nm": 12_518_000,
        "count_value": None,
        "choice_value": None,
        "provenance": "drawing",
        "knowledge_uncertainty_nm": None,
    },
    "part": {
        "id": "part-1",
        "kind_code": "bushing",
        "size_id": "size-1",
        "maker_code": "ostrava",
        "number": "OB 1250",
        "description": "Bushing",
        "material": None,
        "grade": None,
        "voltage": 12,
        "provenance": "drawing",
        "withdrawn_on": None,
    },
    "family": {
        "id": "family-1",
        "code": "dd-10",
        "name": "Direct drive",
        "construction": "direct_drive",
        "voltage": 12,
        "rated_power_w": 1_400,
        "rotation": "clockwise",
        "field": "wound",
        "pole_count": 4,
        "brush_count": 4,
        "internal_reduction_thousandths": 1_000,
        "pinion_teeth": 10,
        "pinion_diametral_pitch": 12,
        "pinion_module_nm": None,
        "pressure_angle_millidegrees": 20_000,
        "profile_shift_thousandths": 500,
        "pilot_diameter_nm": 66_000_000,
        "mounting_holes": 2,
        "access_class": "easy",
        "notes": "",
        "withdrawn_on": None,
    },
    "position": {
        "id": "position-1",
        "family_id": "family-1",
        "code": "drive_end_bushing",
        "kind_code": "bushing",
        "quantity": 1,
        "sequence": 1,
    },
    "seat_feature": {
        "position_id": "position-1",
        "feature": "housing_bore",
        "lower_nm": 16_000_000,
        "upper_nm": 16_018_000,
        "count_value": None,
        "text_value": None,
    },
    "starter": {
        "id": "starter-1",
        "family_id": "family-1",
        "maker_code": "ostrava",
        "number": "ST 10",
        "description": "Starter",
        "withdrawn_on": None,
    },
    "listing": {"position_id": "position-1", "part_id": "part-1"},
    "number": {
        "id": "number-1",
        "part_id": "part-1",
        "starter_id": None,
        "scheme": "maker",
        "issuer": "ostrava",
        "written": "OB 1250",
        "normalised": "OB1250",
    },
    "supersession": {
        "old_number_id": "number-1",
        "new_number_id": "number-2",
        "superseded_on": "2026-03-01",
    },
    "supplier": {
        "id": "supplier-1",
        "code": "north",
        "name": "Invented supplier",
        "place": "Nowhere",
        "currency": "USD",
        "shipping_minor": 650,
        "free_shipping_from_minor": 10_000,
        "withdrawn_on": None,
    },
    "offer": {
        "id": "offer-1",
        "supplier_id": "supplier-1",
        "number": "N-1",
        "part_id": "part-1",
        "starter_id": None,
        "condition": "new",
        "price_minor": 410,
        "currency": "USD",
        "pack_size": 1,
        "minimum_quantity": 1,
        "core_deposit_minor": 0,
        "warranty_months": 12,
        "lead_time_days": 3,
        "stock": 4,
        "valid_from": "2026-01-01",
        "valid_until": "2027-01-01",
        "withdrawn_on": None,
    },
    "labour_time": {"scope": "access", "code": "easy", "hours_thousandths": 700, "origin": "invented"},
    "shop_terms": {
        "currency": "USD",
        "rate_per_hour_minor": 9_000,
        "consumables_minor": 500,
        "tax_parts_millionths": 72_500,
        "tax_labour_millionths": 0,
        "tax_deposit_millionths": 72_500,
        "tax_included": 0,
        "origin": "invented",
    },
    "wear_life": {
        "scope": "position",
        "code": "brush_set",
        "shape_thousandths": 3_500,
        "scale_starts": 55_000,
        "origin": "invented",
    },
    "usage_figure": {
        "code": "incident_cost",
        "currency": "USD",
        "value_millionths": 60_000_000,
        "origin": "invented",
    },
    "measurement_record": {
        "id": "record-1",
        "size_id": "size-1",
        "part_id": "part-1",
        "position_id": None,
        "specimen": "drawer 4, no. 2",
        "measured_on": "2026-11-25",
        "withdrawn_on": None,
    },
    "measurement_reading": {
        "record_id": "record-1",
        "feature": "bore",
        "sequence": 1,
        "applies": 1,
        "instrument": "digital_caliper",
        "instrument_nm": 23_274.0,
        "step_nm": 10_000.0,
        "stated_uncertainty": None,
        "surface": "unworn",
        "state": "free",
        "count_value": None,
        "choice_value": None,
    },
    "measured_value": {
        "record_id": "record-1",
        "feature": "bore",
        "sequence": 1,
        "written": "12.51 mm",
        "length_nm": 12_510_000,
    },
    "learned_value": {
        "id": "learned-1",
        "size_id": "size-1",
        "position_id": None,
        "feature": "bore",
        "record_id": "record-1",
        "learned_at": "2026-11-25T10:00:00Z",
        "former": None,
        "former_provenance": None,
        "former_uncertainty_nm": None,
        "adopted": "12.510 mm",
        "adopted_provenance": "measured",
        "adopted_uncertainty_nm": 24_000,
    },
    "access_key": {
        "id": "access-key-1",
        "holder": "Invented holder",
        "shown": "startwright_k7dm2qxz",
        "digest": "0123456789abcdef" * 4,
        "scopes": "catalogue prices",
        "made_at": "2026-11-25T08:00:00Z",
        "expires_at": "2027-11-25T08:00:00Z",
        "revoked_at": None,
        "last_used_on": None,
    },
    "answered_request": {
        "key_digest": "a" * 64,
        "request_digest": "b" * 64,
        "answered_at": "2026-11-25T10:00:00Z",
        "status": 201,
        "content": "{}",
        "fields": "{}",
    },
    "audit_entry": {
        "id": "audit-1",
        "at": "2026-11-25T10:00:00Z",
        "holder": "Skarrowby counter",
        "key_id": "key-1",
        "address": "192.0.2.7",
        "request_id": "request-1",
        "action": "create",
        "noun": "supplier",
        "name": "ruddlefold",
        "before": None,
        "after": "{}",
        "catalogue_version": 2,
    },
    "catalogue_state": {"id": 1, "version": 1, "stamp": "0f" * 16},
}

SECOND_NUMBER = {**ROWS["number"], "id": "number-2", "written": "OB 1250 A", "normalised": "OB1250A"}
"""The number that replaces the first one."""


def table(name: str) -> Table:
    """Return a declared table."""
    return SQLModel.metadata.tables[name]


def add(connection: Connection, name: str, **changes: Any) -> None:
    """Insert the table's allowed row, changed as told."""
    connection.execute(insert(table(name)), {**ROWS[name], **changes})


def add_rows_before(connection: Connection, name: str | None = None) -> None:
    """Insert the allowed row of every table that stands before `name` (of every table without one).

    Of a database of an earlier migration, those columns are filled that it has already.
    """
    for earlier in TABLE_NAMES[: TABLE_NAMES.index(name) if name else None]:
        if earlier == "supersession":
            connection.execute(insert(table("number")), SECOND_NUMBER)
        present = {column["name"] for column in inspect(connection).get_columns(earlier)}
        row = {column: value for column, value in ROWS[earlier].items() if column in present}
        connection.execute(insert(table(earlier)), row)
    if name == "supersession":
        connection.execute(insert(table("number")), SECOND_NUMBER)
