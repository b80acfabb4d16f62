"""A catalogue's entries as rows of the tables: the columns in whole numbers and text, without ids."""

from collections.abc import Mapping
from typing import Any

from api.exchange.shop_entries import ShopTermsEntry
from api.offers.entries import OfferEntry, SupplierEntry
from api.starters.entries import FamilyEntry, PositionEntry, SeatFeatureEntry
from api.wear_parts.entries import (
    DimensionEntry,
    ItemKey,
    KindEntry,
    MakerEntry,
    NumberEntry,
    PartEntry,
    SizeEntry,
    SizeValueEntry,
)

Values = dict[str, Any]
Ids = Mapping[tuple[Any, ...], str]


def kind_row(kind: KindEntry) -> Values:
    """Return the row of a kind."""
    return {
        "code": kind.code,
        "name": kind.name,
        "description": kind.description,
        "model_version": kind.model_version,
        "unlisted_prior": kind.unlisted_prior,
        "unlisted_prior_origin": kind.unlisted_prior_origin,
    }


def dimension_row(kind: str, sequence: int, dimension: DimensionEntry) -> Values:
    """Return the row of a kind's dimension, the first having sequence 1."""
    return {
        "kind_code": kind,
        "code": dimension.code,
        "sequence": sequence,
        "name": dimension.name,
        "measure": dimension.measure,
        "how": dimension.how,
        "place": dimension.place,
        "wear_sense": dimension.wear_sense,
        "wear_scale_nm": dimension.wear_scale_nm,
        "span_lower": dimension.span_lower,
        "span_upper": dimension.span_upper,
        "slip_chance": dimension.slip_chance,
        "miscount_chance": dimension.miscount_chance,
        "two_point_over": dimension.two_point_over,
        "origin": dimension.origin,
    }


def maker_row(maker: MakerEntry) -> Values:
    """Return the row of a maker."""
    return {"code": maker.code, "name": maker.name}


def size_row(size: SizeEntry) -> Values:
    """Return the row of a size, its values apart."""
    return {"kind_code": size.kind, "code": size.code}


def size_value_row(size_id: str, kind: str, value: SizeValueEntry) -> Values:
    """Return the row of what a size says of a dimension."""
    return {
        "size_id": size_id,
        "dimension_code": value.dimension,
        "kind_code": kind,
        "applies": int(value.applies),
        "lower_nm": value.lower_nm,
        "upper_nm": value.upper_nm,
        "count_value": value.count,
        "choice_value": value.choice,
        "provenance": value.provenance,
    }


def part_row(part: PartEntry, sizes: Ids) -> Values:
    """Return the row of a part."""
    return {
        "kind_code": part.kind,
        "size_id": sizes[(part.size,)],
        "maker_code": part.maker,
        "number": part.number,
        "description": part.description,
        "material": part.material,
        "grade": part.grade,
        "voltage": part.voltage,
        "provenance": part.provenance,
    }


def family_row(family: FamilyEntry) -> Values:
    """Return the row of a family."""
    return {
        "code": family.code,
        "name": family.name,
        "construction": family.construction,
        "voltage": family.voltage,
        "rated_power_w": family.rated_power_w,
        "rotation": family.rotation,
        "field": family.field,
        "pole_count": family.pole_count,
        "brush_count": family.brush_count,
        "internal_reduction_thousandths": family.internal_reduction_thousandths,
        "pinion_teeth": family.pinion.teeth,
        "pinion_diametral_pitch": family.pinion.diametral_pitch,
        "pinion_module_nm": family.pinion.module_nm,
        "pressure_angle_millidegrees": family.pinion.pressure_angle_millidegrees,
        "profile_shift_thousandths": family.pinion.profile_shift_thousandths,
        "pilot_diameter_nm": family.pilot_diameter_nm,
        "mounting_holes": family.mounting_holes,
        "access_class": family.access_class,
        "notes": family.notes,
    }


def position_row(family_id: str, sequence: int, position: PositionEntry) -> Values:
    """Return the row of a family's position, the first having sequence 1."""
    return {
        "family_id": family_id,
        "code": position.code,
        "kind_code": position.kind,
        "quantity": position.quantity,
        "sequence": sequence,
    }


def seat_row(position_id: str, feature: SeatFeatureEntry) -> Values:
    """Return the row of a seat's feature."""
    return {
        "position_id": position_id,
        "feature": feature.feature,
        "lower_nm": feature.lower_nm,
        "upper_nm": feature.upper_nm,
        "count_value": feature.count,
        "text_value": feature.text,
    }


def number_row(number: NumberEntry, items: Mapping[ItemKey, str]) -> Values:
    """Return the row of a number of a part or a starter."""
    return {
        **item_columns(number.item, items),
        "scheme": number.scheme,
        "issuer": number.issuer,
        "written": number.written,
        "normalised": number.normalised,
    }


def supplier_row(supplier: SupplierEntry) -> Values:
    """Return the row of a supplier."""
    return {
        "code": supplier.code,
        "name": supplier.name,
        "place": supplier.place,
        "currency": supplier.currency,
        "shipping_minor": supplier.shipping_minor,
        "free_shipping_from_minor": supplier.free_shipping_from_minor,
    }


def offer_row(offer: OfferEntry, suppliers: Ids, items: Mapping[ItemKey, str]) -> Values:
    """Return the row of an offer."""
    return {
        "supplier_id": suppliers[(offer.supplier,)],
        "number": offer.number,
        **item_columns(offer.item, items),
        "condition": offer.condition,
        "price_minor": offer.price_minor,
        "currency": offer.currency,
        "pack_size": offer.pack_size,
        "minimum_quantity": offer.minimum_quantity,
        "core_deposit_minor": offer.core_deposit_minor,
        "warranty_months": offer.warranty_months,
        "lead_time_days": offer.lead_time_days,
        "stock": offer.stock,
        "valid_from": offer.valid_from,
        "valid_until": offer.valid_until,
    }


def shop_terms_row(terms: ShopTermsEntry) -> Values:
    """Return the row of a workshop's terms."""
    return {
        "currency": terms.currency,
        "rate_per_hour_minor": terms.rate_per_hour_minor,
        "consumables_minor": terms.consumables_minor,
        "tax_parts_millionths": terms.tax_parts_millionths,
        "tax_labour_millionths": terms.tax_labour_millionths,
        "tax_deposit_millionths": terms.tax_deposit_millionths,
        "tax_included": int(terms.tax_included),
        "origin": terms.origin,
    }


def item_columns(item: ItemKey, items: Mapping[ItemKey, str]) -> Values:
    """Return the two columns of which one refers to the part or the starter."""
    found = items[item]
    return {
        "part_id": found if item.owner == "part" else None,
        "starter_id": found if item.owner == "starter" else None,
    }
