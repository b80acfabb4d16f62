"""The seed catalogue is as large and as varied as the main job needs."""

from collections import Counter, defaultdict

from api.exchange.catalogue import Catalogue
from api.starters.tables import ACCESS_CLASSES, CONSTRUCTIONS, POSITIONS

LEAST_FAMILIES = 40
LEAST_STARTERS = 60
LEAST_PARTS = 500
LEAST_PART_MAKERS = 8
LEAST_OFFERS = 1500
SUPPLIERS = 5


def test_families_cover_constructions_voltages_rotations_fields_and_pitches(catalogue: Catalogue) -> None:
    families = catalogue.families
    assert len(families) >= LEAST_FAMILIES
    assert {entry.construction for entry in families} == set(CONSTRUCTIONS)
    assert {entry.voltage for entry in families} == {12, 24}
    assert {entry.rotation for entry in families} == {"clockwise", "counter_clockwise"}
    assert {entry.field for entry in families} == {"wound", "permanent_magnet"}
    assert {entry.pinion.teeth for entry in families} == set(range(8, 14))
    assert {entry.pinion.diametral_pitch for entry in families} == {None, 6, 8, 10, 12}
    assert len({entry.pinion.module_nm for entry in families} - {None}) >= 3
    assert {entry.access_class for entry in families} == set(ACCESS_CLASSES)


def test_four_poles_and_four_brushes_are_usual_but_not_the_only_case(catalogue: Catalogue) -> None:
    # Common practice, no source: a starter usually has four field poles and four brushes.
    usual = [entry for entry in catalogue.families if (entry.pole_count, entry.brush_count) == (4, 4)]
    assert len(catalogue.families) / 2 < len(usual) < len(catalogue.families)


def test_starters_are_enough_and_every_family_has_one(catalogue: Catalogue) -> None:
    assert len(catalogue.starters) >= LEAST_STARTERS
    assert {entry.family for entry in catalogue.starters} == {entry.code for entry in catalogue.families}


def test_wear_parts_are_enough_of_each_kind_by_enough_makers(catalogue: Catalogue) -> None:
    assert len(catalogue.parts) >= LEAST_PARTS
    assert len({entry.maker for entry in catalogue.parts}) >= LEAST_PART_MAKERS
    kinds = Counter(entry.kind for entry in catalogue.parts)
    assert set(kinds) == {"bushing", "contact", "brush_set", "drive_clutch"}
    assert min(kinds.values()) >= LEAST_PARTS // 10


def test_bushings_are_plain_and_flanged(catalogue: Catalogue) -> None:
    flanges = Counter(
        size.value("flange_diameter").applies for size in catalogue.sizes if size.kind == "bushing"
    )
    assert flanges[True] >= 10
    assert flanges[False] >= 10


def test_standard_sizes_are_shared_by_many_makers(catalogue: Catalogue) -> None:
    makers = defaultdict(set)
    for part in catalogue.parts:
        makers[part.size].add(part.maker)
    assert len(makers["bush-12.5x16x12"]) >= 4
    assert sum(len(found) >= 3 for found in makers.values()) >= 50


def test_near_misses_stand_a_tenth_of_a_millimetre_apart(catalogue: Catalogue) -> None:
    lower = {size.code: size.value("bore").lower_nm for size in catalogue.sizes if size.kind == "bushing"}
    assert lower["bush-12.6x16x10"] - lower["bush-12.5x16x12"] == 100_000
    assert lower["bush-12.5x16x12"] - lower["bush-12.4x16x10"] == 100_000
    thickness = {s.code: s.value("thickness").lower_nm for s in catalogue.sizes if s.kind == "contact"}
    assert thickness["contact-k01-b-battery"] - thickness["contact-k01-battery"] == 100_000


def test_every_position_with_a_kind_has_listed_parts(catalogue: Catalogue) -> None:
    wanted = {(f.code, p.code) for f in catalogue.families for p in f.positions if p.kind}
    assert {(entry.family, entry.position) for entry in catalogue.listings} == wanted


def test_labour_covers_access_strip_and_every_position(catalogue: Catalogue) -> None:
    codes = defaultdict(set)
    for entry in catalogue.labour:
        codes[entry.scope].add(entry.code)
        assert entry.origin
    assert codes["access"] == set(ACCESS_CLASSES)
    assert codes["strip"] == set(CONSTRUCTIONS)
    assert codes["position"] == set(POSITIONS)


def test_shop_terms_cover_the_currency_of_every_offer(catalogue: Catalogue) -> None:
    assert {entry.currency for entry in catalogue.offers} <= {
        terms.currency for terms in catalogue.shop_terms
    }


def test_suppliers_and_offers_are_enough(catalogue: Catalogue) -> None:
    assert len(catalogue.suppliers) == SUPPLIERS
    assert len(catalogue.offers) >= LEAST_OFFERS
    offers = Counter(entry.supplier for entry in catalogue.offers)
    assert set(offers) == {entry.code for entry in catalogue.suppliers}


def test_catalogue_sizes_lie_well_inside_the_span_of_their_dimension(catalogue: Catalogue) -> None:
    spans = {
        (kind.code, d.code): (d.span_lower, d.span_upper) for kind in catalogue.kinds for d in kind.dimensions
    }
    for size in catalogue.sizes:
        for value in size.values:
            lowest, highest = spans[size.kind, value.dimension]
            if value.lower_nm is not None:
                margin = (highest - lowest) // 100
                assert lowest + margin < value.lower_nm <= value.upper_nm < highest - margin, (
                    size.code,
                    value.dimension,
                )
            elif value.count is not None:
                assert lowest <= value.count <= highest, (size.code, value.dimension)
