"""Numbers cross-reference, GTINs check, supersessions end at a current number."""

from collections import Counter, defaultdict

from stdnum import ean

from api.exchange.catalogue import Catalogue

MANY_GTINS = 300


def test_gtins_have_right_check_digits_and_lie_in_the_restricted_range(catalogue: Catalogue) -> None:
    gtins = [entry for entry in catalogue.numbers if entry.scheme == "gtin"]
    assert len(gtins) >= MANY_GTINS
    for entry in gtins:
        # Check digit: python-stdnum's EAN module, apart from the project's own rule.
        assert ean.is_valid(entry.written), entry
        # GS1 General Specifications: prefixes 20 to 29 are restricted circulation numbers.
        assert len(entry.written) == 13, entry
        assert 20 <= int(entry.written[:2]) <= 29, entry
    assert max(Counter(entry.written for entry in gtins).values()) == 1


def test_original_equipment_numbers_lead_to_parts_of_several_makers(catalogue: Catalogue) -> None:
    makers = defaultdict(set)
    for entry in catalogue.numbers:
        if entry.scheme == "original_equipment":
            assert entry.issuer, entry
            makers[entry.normalised].add(entry.item.maker)
    assert sum(len(found) >= 2 for found in makers.values()) >= 50


def test_cross_reference_numbers_join_parts_of_one_size(catalogue: Catalogue) -> None:
    size_of = {("part", part.maker, part.number): part.size for part in catalogue.parts}
    sizes = defaultdict(set)
    for entry in catalogue.numbers:
        if entry.scheme == "aftermarket" and tuple(entry.item) in size_of:
            sizes[entry.normalised].add(size_of[tuple(entry.item)])
    assert len(sizes) >= 100
    assert all(len(found) == 1 for found in sizes.values())


def test_supersessions_form_chains_without_cycles_in_order_of_time(catalogue: Catalogue) -> None:
    replaced_by = {entry.old: entry for entry in catalogue.supersessions}
    assert len(replaced_by) == len(catalogue.supersessions)
    assert {key.owner for key in replaced_by} == {"part", "starter"}
    longest = 0
    for start in replaced_by:
        steps, day, key = 0, "", start
        while key in replaced_by:
            entry = replaced_by[key]
            assert entry.on > day, entry
            steps, day, key = steps + 1, entry.on, entry.new
            assert steps <= len(replaced_by), start
        longest = max(longest, steps)
    assert longest >= 3


def test_a_replacement_has_the_size_or_the_family_of_what_it_replaces(catalogue: Catalogue) -> None:
    stands_for = {("part", part.maker, part.number): part.size for part in catalogue.parts}
    stands_for |= {("starter", one.maker, one.number): one.family for one in catalogue.starters}
    for entry in catalogue.supersessions:
        assert stands_for[tuple(entry.old)] == stands_for[tuple(entry.new)], entry


def test_some_numbers_pass_from_one_maker_to_another(catalogue: Catalogue) -> None:
    assert any(entry.old.maker != entry.new.maker for entry in catalogue.supersessions)
