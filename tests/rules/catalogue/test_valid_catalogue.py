"""A sound catalogue folder is read exactly, however its files are encoded within the grammar."""

import shutil
from pathlib import Path

import pytest

from api.exchange.catalogue import Catalogue
from api.exchange.catalogue_faults import FAULTS_IN_SENTENCE, MOST_FAULTS, CatalogueFault, CatalogueRefused
from api.exchange.csv_rows import read_csv
from api.exchange.read_catalogue import read_catalogue
from api.exchange.shop_entries import LabourEntry
from api.exchange.source_text import LARGEST_FILE, Place, SourceText
from api.wear_parts.entries import ItemKey, SizeValueEntry

VALID = Path(__file__).parent / "valid"


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return read_catalogue(VALID)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(VALID, tmp_path / "catalogue"))


def test_sizes_are_exact_nanometres(catalogue: Catalogue) -> None:
    plain = catalogue.sizes[0]
    assert plain.value("bore") == SizeValueEntry(
        dimension="bore", provenance="drawing", lower_nm=12_500_000, upper_nm=12_518_000
    )
    assert plain.value("flange_diameter") == SizeValueEntry(
        dimension="flange_diameter", provenance="drawing", applies=False
    )
    flanged = catalogue.sizes[1]
    bore, outside = flanged.value("bore"), flanged.value("outside_diameter")
    assert bore and outside
    # 1/64 in = 396,875 nm exactly (the inch is 25.4 mm by the agreement of 1959)
    assert (bore.lower_nm, bore.upper_nm) == (31 * 396_875, 12_395_200)
    assert outside.lower_nm == outside.upper_nm == 15_875_000
    assert flanged.value("construction") == SizeValueEntry(
        dimension="construction", provenance="measured", choice="solid"
    )
    drive = next(size for size in catalogue.sizes if size.kind == "drive_clutch")
    assert drive.value("teeth") == SizeValueEntry(dimension="teeth", provenance="drawing", count=9)
    assert drive.value("helix_lead") is None


def test_kinds_keep_the_order_of_their_dimensions(catalogue: Catalogue) -> None:
    bushing, contact, drive = catalogue.kinds
    assert [dimension.code for dimension in drive.dimensions] == ["teeth", "tip_diameter", "rotation"]
    tip = drive.dimension("tip_diameter")
    assert tip is not None
    assert (tip.two_point_over, tip.wear_scale_nm, tip.span_lower, tip.span_upper) == (
        "teeth",
        150_000,
        12_000_000,
        80_000_000,
    )
    assert tip.miscount_chance == 0.005
    assert contact.description == "A contact of the solenoid, or the disc that bridges two."
    assert bushing.dimension("helix_lead") is None
    form = contact.dimension("form")
    assert form and [choice.value for choice in form.choices] == ["battery_side", "motor_side", "disc"]


def test_families_have_the_construction_of_their_file(catalogue: Catalogue) -> None:
    direct, inertia, movable = catalogue.families
    assert [family.construction for family in catalogue.families] == [
        "direct_drive",
        "inertia_drive",
        "movable_pole_shoe",
    ]
    assert (direct.pinion.diametral_pitch, direct.pinion.module_nm) == (10, None)
    assert (inertia.pinion.diametral_pitch, inertia.pinion.module_nm) == (None, 2_500_000)
    assert inertia.pilot_diameter_nm == 76_200_000
    assert (direct.internal_reduction_thousandths, direct.pinion.profile_shift_thousandths) == (1_000, 500)
    assert direct.pinion.pressure_angle_millidegrees == 20_000
    assert (direct.notes, movable.notes) == ("Invented.", "")
    seat = direct.position("drive_end_bushing")
    assert seat is not None
    bore, form = seat.feature("housing_bore"), seat.feature("housing_bore_form")
    assert bore and form and (bore.lower_nm, bore.upper_nm, form.text) == (16_000_000, 16_018_000, "through")
    assert seat.feature("travel") is None
    plunger = direct.position("plunger")
    assert plunger is not None and plunger.kind is None
    assert direct.position("brush_set") is None


def test_parts_and_numbers_are_read_as_written_and_compared_in_normalised_form(catalogue: Catalogue) -> None:
    assert catalogue.parts[0].material == "bronze, porous"
    assert catalogue.parts[1].material is None
    assert catalogue.parts[3].description == 'Disc, "thick"'
    assert catalogue.parts[3].voltage == 12
    assert [(number.written, number.normalised) for number in catalogue.numbers] == [
        ("6291041500213", "06291041500213"),
        ("EV 12.34/5", "EV12345"),
        ("X-77", "X77"),
        ("036000241457", "00036000241457"),
    ]
    assert catalogue.supersessions[0].new == ItemKey("part", "alpha", "AB-101")
    assert catalogue.supersessions[1].old == ItemKey("starter", "alpha", "S-1")


def test_money_is_in_minor_units_of_its_currency(catalogue: Catalogue) -> None:
    bolt, starter, yen = catalogue.offers
    assert (bolt.price_minor, bolt.core_deposit_minor, bolt.pack_size) == (205, 0, 10)
    assert (starter.price_minor, starter.core_deposit_minor, starter.pack_size) == (14_000, 3_500, 1)
    assert (starter.minimum_quantity, starter.stock, starter.valid_until) == (1, None, None)
    assert (yen.price_minor, yen.currency, yen.stock) == (410, "JPY", 0)
    north, south = catalogue.suppliers
    assert (north.shipping_minor, north.free_shipping_from_minor) == (650, 8_000)
    assert (south.shipping_minor, south.free_shipping_from_minor) == (500, None)


def test_labour_and_terms_are_exact(catalogue: Catalogue) -> None:
    assert catalogue.labour[2] == LabourEntry("position", "drive_end_bushing", 250, "our judgement")
    dollars, yen = catalogue.shop_terms
    assert (dollars.tax_parts_millionths, dollars.tax_included) == (70_000, False)
    assert (yen.rate_per_hour_minor, yen.tax_deposit_millionths, yen.tax_included) == (6_000, 0, True)


def test_line_ends_and_byte_order_mark_of_spreadsheets_are_taken(folder: Path, catalogue: Catalogue) -> None:
    for file in [*folder.rglob("*.csv"), *folder.rglob("*.toml")]:
        file.write_bytes(b"\xef\xbb\xbf" + file.read_bytes().replace(b"\n", b"\r\n"))
    assert read_catalogue(folder) == catalogue


def test_columns_may_stand_in_any_order_and_optional_ones_be_left_out(
    folder: Path, catalogue: Catalogue
) -> None:
    (folder / "makers.csv").write_text("name,code\nAlpha Example Works,alpha\nBeta Example Works,beta\n")
    numbers = (folder / "numbers.csv").read_text().splitlines()
    gtins = [line.replace("gtin,,", "gtin,") for line in numbers if ",gtin," in line]
    (folder / "numbers.csv").write_text("\n".join(["owner,maker,number,scheme,written", *gtins]))
    found = read_catalogue(folder)
    assert found.makers == catalogue.makers
    assert found.numbers == tuple(number for number in catalogue.numbers if number.scheme == "gtin")


def test_blank_rows_and_other_files_are_passed_over(folder: Path, catalogue: Catalogue) -> None:
    (folder / "makers.csv").write_text((folder / "makers.csv").read_text() + "\n,\n  ,  \n\n")
    (folder / "README.md").write_text("# Read by people")
    assert read_catalogue(folder) == catalogue


def test_kind_without_sizes_needs_no_file(folder: Path) -> None:
    (folder / "sizes" / "drive_clutch.csv").unlink()
    parts, listings = folder / "parts.csv", folder / "listings.csv"
    for file in (parts, listings):
        kept = [line for line in file.read_text().splitlines() if "B 300" not in line]
        file.write_text("\n".join(kept))
    assert {size.kind for size in read_catalogue(folder).sizes} == {"bushing", "contact"}


LEFT_OUT = ["lives.csv", "usage.csv"]
TOP_FILES = sorted({path.name for path in VALID.glob("*.csv")} - set(LEFT_OUT))


@pytest.mark.parametrize("name", TOP_FILES)
def test_missing_file_is_told(folder: Path, name: str) -> None:
    (folder / name).unlink()
    (fault,) = faults_of(folder)
    assert (fault.file, fault.line, fault.column, fault.code) == (name, 1, 1, "missing_file")
    assert "readable file" in fault.expected


@pytest.mark.parametrize("name", LEFT_OUT)
def test_file_that_may_be_left_out_is_empty_then(folder: Path, name: str) -> None:
    (folder / name).unlink()
    assert getattr(read_catalogue(folder), name.removesuffix(".csv")) == ()


@pytest.mark.parametrize("name", ["kinds", "families"])
def test_missing_directory_is_told(folder: Path, name: str) -> None:
    shutil.rmtree(folder / name)
    faults = faults_of(folder)
    assert (f"{name}/", "missing_file") in {(fault.file, fault.code) for fault in faults}


def test_folder_that_is_not_there_misses_every_file(tmp_path: Path) -> None:
    faults = faults_of(tmp_path / "nowhere")
    assert {fault.code for fault in faults} == {"missing_file"}
    assert {fault.file for fault in faults} == {"kinds/", "families/", *TOP_FILES}


def test_lone_carriage_returns_are_no_line_ends(folder: Path) -> None:
    (folder / "makers.csv").write_bytes(b"code,name\ralpha,Alpha\rbeta,Beta\r")
    (fault,) = faults_of(folder)
    assert (fault.file, fault.line, fault.code) == ("makers.csv", 1, "bad_csv")


def test_file_beyond_any_catalogue_is_not_read(folder: Path) -> None:
    with (folder / "offers.csv").open("ab") as file:
        file.truncate(LARGEST_FILE + 1)  # a hole: nothing is written
    (fault,) = faults_of(folder)
    assert (fault.file, fault.code) == ("offers.csv", "too_large")


def test_fault_of_no_column_stands_at_its_row() -> None:
    table, faults = read_csv(SourceText("makers.csv", "code,name\n\nalpha,Alpha\n"), ("code", "name"))
    assert faults == []
    assert table.place(next(table.rows), "colour") == Place(3, 1)
    assert table.place(next(table.rows), "name") == Place(3, 7)


def test_deeply_nested_brackets_are_a_fault_not_a_crash(folder: Path) -> None:
    (folder / "families" / "direct_drive.toml").write_text("a = " + "[" * 100_000 + "]" * 100_000)
    (fault,) = faults_of(folder)
    assert (fault.file, fault.code) == ("families/direct_drive.toml", "bad_toml")


def test_many_faults_are_counted_and_the_first_told(folder: Path) -> None:
    rows = "".join(f"maker {number},\n" for number in range(MOST_FAULTS))
    (folder / "makers.csv").write_text("code,name\nalpha,Alpha\nbeta,Beta\n" + rows)
    with pytest.raises(CatalogueRefused) as refused:
        read_catalogue(folder)
    assert (len(refused.value.faults), refused.value.total) == (MOST_FAULTS, 2 * MOST_FAULTS)
    lines = refused.value.explain().splitlines()
    assert len(lines) == FAULTS_IN_SENTENCE + 1
    assert lines[0].startswith("makers.csv:4:1: code: 'maker 0' cannot be taken, expected a code of")
    assert lines[-1] == f"and {2 * MOST_FAULTS - FAULTS_IN_SENTENCE} more"


def test_a_faulty_entry_does_not_make_its_references_faults(folder: Path) -> None:
    makers = (folder / "makers.csv").read_text()
    (folder / "makers.csv").write_text(makers.replace("Alpha Example Works", ""))
    sizes = (folder / "sizes" / "bushing.csv").read_text()
    (folder / "sizes" / "bushing.csv").write_text(sizes.replace("drawing", "sketch"))
    assert [(fault.file, fault.field) for fault in faults_of(folder)] == [
        ("makers.csv", "name"),
        ("sizes/bushing.csv", "provenance"),
    ]


def faults_of(folder: Path) -> tuple[CatalogueFault, ...]:
    with pytest.raises(CatalogueRefused) as refused:
        read_catalogue(folder)
    return refused.value.faults
