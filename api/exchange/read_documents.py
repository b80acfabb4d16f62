"""Read the kinds and the families of a catalogue from their TOML files."""

from collections.abc import Collection, Sequence
from pathlib import PurePosixPath

from api.errors import FieldFault, InvalidInput, shown
from api.exchange.catalogue_files import CatalogueFiles
from api.exchange.opened_catalogue import tables_of, text_of
from api.exchange.toml_tables import TomlDocument
from api.measurement.refusals import nearest_name
from api.starters.check_family import check_family
from api.starters.entries import FamilyEntry
from api.starters.vocabulary import CONSTRUCTIONS
from api.wear_parts.check_kind import check_kind
from api.wear_parts.entries import KindEntry


def read_kinds(files: CatalogueFiles, documents: Sequence[TomlDocument]) -> tuple[KindEntry, ...]:
    """Return the kinds, one a file that is named for it; faults are noted in `files`."""
    kinds = []
    for document in documents:
        try:
            kind = check_kind(document.values)
        except InvalidInput as refused:
            files.document_faults(document, refused.faults)
            continue
        stem = PurePosixPath(document.source.name).stem
        if kind.code != stem:
            fault = FieldFault(("code",), kind.code, f"{stem}, as the file is named", "other_name")
            files.document_faults(document, (fault,))
        kinds.append(kind)
    return tuple(kinds)


def read_families(
    files: CatalogueFiles, documents: Sequence[TomlDocument], kinds: Collection[str]
) -> tuple[FamilyEntry, ...]:
    """Return the families, whose construction is the name of their file; faults go to `files`."""
    families = []
    met: dict[str, tuple[TomlDocument, int]] = {}
    for document in documents:
        construction = PurePosixPath(document.source.name).stem
        _check_file(files, document, construction)
        if construction not in CONSTRUCTIONS:
            continue
        for place, item in enumerate(tables_of(document.values, "family")):
            try:
                families.append(check_family({**item, "construction": construction}, kinds))
            except InvalidInput as refused:
                files.document_faults(document, refused.faults, "family", place)
            code = text_of(item, "code")
            first, first_place = met.setdefault(code, (document, place))
            if code and (first, first_place) != (document, place):
                where = f"{first.source.name}:{first.place(('family', first_place)).line}"
                fault = FieldFault(
                    ("code",), shown(code), f"one not used before (it is at {where})", "duplicate"
                )
                files.document_faults(document, (fault,), "family", place)
    return tuple(families)


def _check_file(files: CatalogueFiles, document: TomlDocument, construction: str) -> None:
    """Note faults of the file's name and of what it states besides its families."""
    if construction not in CONSTRUCTIONS:
        expected = f"a file named for a construction: {', '.join(CONSTRUCTIONS)}"
        nearest = nearest_name(construction, CONSTRUCTIONS)
        files.document_faults(document, (FieldFault((), construction, expected, "other_name", nearest),))
    for name, value in document.values.items():
        if name != "family":
            fault = FieldFault((name,), shown(name), "[[family]] tables only", "unknown_field")
            files.document_faults(document, (fault,))
        elif not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
            fault = FieldFault((name,), shown(value), "[[family]] tables", "not_list")
            files.document_faults(document, (fault,))
    for place, item in enumerate(tables_of(document.values, "family")):
        stated = item.get("construction", construction)
        if stated != construction:
            expected = f"{construction}, as the file is named"
            fault = FieldFault(("construction",), shown(stated), expected, "other_name")
            files.document_faults(document, (fault,), "family", place)
