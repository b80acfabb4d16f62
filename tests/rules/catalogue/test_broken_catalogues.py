"""Every fault of a catalogue folder is told with its file, line, column and what was expected.

The files of one folder in `broken/` replace those of `valid/`; `expected_faults.toml` says what the
reader must find, written down from the files by eye and not from the reader.
"""

import shutil
import tomllib
from pathlib import Path

import pytest

from api.exchange.catalogue_faults import CatalogueFault, CatalogueRefused
from api.exchange.read_catalogue import read_catalogue

HERE = Path(__file__).parent
EXPECTED = tomllib.loads((HERE / "expected_faults.toml").read_text())


def read_broken(name: str, folder: Path) -> tuple[CatalogueFault, ...]:
    shutil.copytree(HERE / "valid", folder, dirs_exist_ok=True)
    shutil.copytree(HERE / "broken" / name, folder, dirs_exist_ok=True)
    with pytest.raises(CatalogueRefused) as refused:
        read_catalogue(folder)
    assert refused.value.explain().splitlines() == [fault.explain() for fault in refused.value.faults]
    return refused.value.faults


def test_every_broken_folder_has_its_expectation() -> None:
    assert {path.name for path in (HERE / "broken").iterdir()} == set(EXPECTED)


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_fault_is_told_where_it_stands(name: str, tmp_path: Path) -> None:
    faults = read_broken(name, tmp_path)
    expected = EXPECTED[name]["faults"]
    told = [
        {
            "file": fault.file,
            "line": fault.line,
            "column": fault.column,
            "field": fault.field,
            "value": fault.value,
            "code": fault.code,
            **({"nearest": fault.nearest} if fault.nearest and "nearest" in wanted else {}),
        }
        for fault, wanted in zip(faults, expected, strict=False)
    ]
    assert told == [{key: value for key, value in wanted.items() if key != "expected"} for wanted in expected]
    assert len(faults) == len(expected), [fault.explain() for fault in faults]
    for fault, wanted in zip(faults, expected, strict=True):
        assert wanted["expected"] in fault.expected
        assert fault.explain().startswith(f"{fault.file}:{fault.line}:{fault.column}: ")
