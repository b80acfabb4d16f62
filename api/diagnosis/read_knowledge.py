"""Reads all data files of the diagnosis and checks that they agree. Pure: takes their texts."""

import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

from api.diagnosis.knowledge import FaultKnown, Knowledge, ObservationKnown
from api.diagnosis.read_faults import READ_FAULTS, make_faults, weights
from api.diagnosis.read_observations import READ_OBSERVATIONS
from api.diagnosis.table_members import Reader, refuse
from api.errors import FieldFault, InvalidInput
from api.measurement.refusals import nearest_name

FAULTS_FILE = "faults.toml"


def read_knowledge(texts: Mapping[str, str]) -> Knowledge:
    """Return what the files state: `faults.toml`, and every other one a file of observations.

    `texts` are the files' texts by name. Raises `InvalidInput` with every fault; paths begin with the file's
    name and lead into it, such as `("symptoms.toml", "observation", 3, "rows", 0, "chances")`.
    """
    if FAULTS_FILE not in texts:
        raise InvalidInput.of([FieldFault((FAULTS_FILE,), "", "this file", "missing")])
    faults: dict[str, FaultKnown] = {}
    observations: dict[str, ObservationKnown] = {}
    head: Mapping[str, Any] = {}
    found: list[FieldFault] = []
    for name in (FAULTS_FILE, *sorted(texts.keys() - {FAULTS_FILE})):
        try:
            if name == FAULTS_FILE:
                head = _document(texts[name], READ_FAULTS)
                faults = make_faults(head["fault"])
            else:
                listed = _document(texts[name], READ_OBSERVATIONS)["observation"]
                found.extend(one.beneath(name) for one in _unknown_faults(listed, faults))
                for place, one in enumerate(listed):
                    if one.code in observations:
                        path = (name, "observation", place, "code")
                        found.append(FieldFault(path, one.code, "each code once", "repeated"))
                    observations[one.code] = one
        except InvalidInput as refused:
            found.extend(fault.beneath(name) for fault in refused.faults)
    if found:
        raise InvalidInput.of(found)
    return Knowledge(
        faults=faults,
        observations=observations,
        construction_weights=weights(head["construction_weights"]),
        field_weights=weights(head["field_weights"]),
    )


def _document(text: str, reader: Reader) -> Any:
    try:
        document = tomllib.loads(text)
    except ValueError as error:
        raise refuse(str(error), "a TOML document", "not_toml") from error
    return reader(document)


def _unknown_faults(
    listed: tuple[ObservationKnown, ...], known: Mapping[str, FaultKnown]
) -> Iterator[FieldFault]:
    """Yield faults that no table knows, and those named in two rows of one observation."""
    for place, one in enumerate(listed):
        named: set[str] = set()
        for index, row in enumerate(one.rows):
            path = ("observation", place, "rows", index, "faults")
            for code in row.faults:
                if known and code not in known:
                    yield FieldFault(
                        path, code, f"a fault of {FAULTS_FILE}", "unknown", nearest_name(code, known)
                    )
                if code in named:
                    yield FieldFault(path, code, "each fault in one row", "repeated")
                named.add(code)
