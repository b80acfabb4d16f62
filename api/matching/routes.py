"""HTTP of searches by measurement, one and many, and of the kinds with their published model."""

from collections.abc import Callable, Mapping

from api.database import Database
from api.errors import DomainError, FieldFault, InvalidInput, UnknownCode
from api.matching.answers.read_search import Asked, SearchOptions, asked_in_body
from api.matching.answers.search import find_matches
from api.matching.index.candidate_index import CandidateIndex, IndexedKind
from api.matching.kind_models import kind_answer
from api.matching.shapes import (
    KindAnswer,
    KindSummary,
    MatchAnswer,
    MatchesAnswer,
    MatchesRequest,
    SearchRequest,
    SearchResult,
)
from api.matching.store import kind_codes, kind_summaries, stored_kind
from api.measurement.instruments import Instrument
from api.measurement.refusals import nearest_name
from api.offers.days import today
from api.wire.inputs import read_parameter_values, read_parameters, read_value
from api.wire.operation import Link, Operation, PathName, operation
from api.wire.shapes import Page, Problem

KIND = PathName("code of the kind", "bushing")
EXAMPLE_SEARCHES = {
    "searches": [
        {"kind": "bushing", "readings": {"bore": "12.62 mm", "length": "11.9 mm"}},
        {
            "kind": "drive_clutch",
            "readings": {
                "teeth": 10,
                "tip_diameter": {"text": "29.5 mm", "instrument": "outside_micrometer"},
            },
            "limit": 5,
        },
    ]
}


@operation(
    Operation(
        "GET",
        "/v1/kinds",
        "list_kinds",
        "kinds",
        "The kinds of wear part",
        Page[KindSummary],
        links={"kind": Link("get_kind", {"kind": "$response.body#/items/0/code"})},
    )
)
def list_kinds(database: Database) -> Page[KindSummary]:
    """List every kind with how many sizes and current parts it has; there are few, so in one piece."""
    with database.read() as reads:
        rows = kind_summaries(reads)
    items = [
        KindSummary(
            code=row.code, name=row.name, description=row.description, sizes=row.sizes, parts=row.parts
        )
        for row in rows
    ]
    return Page(items=items, total=len(items), next=None)


@operation(
    Operation(
        "GET",
        "/v1/kinds/{kind}",
        "get_kind",
        "kinds",
        "One kind: dimensions, matching model, instruments",
        KindAnswer,
        path_names={"kind": KIND},
    )
)
def get_kind(kind: str, database: Database, instruments: Mapping[str, Instrument]) -> KindAnswer:
    """Publish everything that an answer of this kind was computed with."""
    with database.read() as reads:
        stored = stored_kind(reads, kind)
        if stored is None:
            raise UnknownCode("kind", kind, nearest_name(kind, kind_codes(reads)))
    return kind_answer(stored, instruments)


@operation(
    Operation(
        "GET",
        "/v1/matches/{kind}",
        "get_matches",
        "matches",
        "The parts that fit a few measurements",
        MatchAnswer,
        query=SearchOptions,
        path_names={"kind": KIND},
        free_query=True,
        links={"part": Link("get_part", {"id": "$response.body#/candidates/0/part/id"})},
    )
)
def get_matches(
    kind: str,
    query_string: bytes,
    database: Database,
    index: CandidateIndex,
    instruments: Mapping[str, Instrument],
) -> MatchAnswer:
    """Search by measurement, one parameter for each dimension; shareable and cacheable."""
    with database.read() as reads:
        indexed = index.of(reads, kind)
        asked = asked_in_query(query_string)
        with index.turns:
            return find_matches(reads, indexed, asked, instruments, today())


@operation(
    Operation(
        "POST",
        "/v1/matches",
        "find_many_matches",
        "matches",
        "Up to 1,000 searches in one call, each answered or refused on its own",
        MatchesAnswer,
        body=MatchesRequest,
        example=EXAMPLE_SEARCHES,
    )
)
def find_many_matches(
    body: MatchesRequest,
    database: Database,
    index: CandidateIndex,
    instruments: Mapping[str, Instrument],
    problem_of: Callable[[DomainError], Problem],
) -> MatchesAnswer:
    """Answer every search of the body, in its order and on one state of the catalogue."""
    results = []
    kinds: dict[str, IndexedKind] = {}
    with database.read() as reads:
        for place, told in enumerate(body.searches):
            try:
                search = read_search_request(told, place)
                if search.kind not in kinds:
                    kinds[search.kind] = index.of(reads, search.kind)
                indexed = kinds[search.kind]
                asked = asked_in_body(search, ("searches", place))
                with index.turns:
                    match = find_matches(reads, indexed, asked, instruments, today())
                results.append(SearchResult(status=200, match=match))
            except DomainError as refused:
                problem = problem_of(refused)
                results.append(SearchResult(status=problem.status, problem=problem))
    return MatchesAnswer(results=results)


def read_search_request(told: SearchRequest | dict[str, object], place: int) -> SearchRequest:
    """Return the search at one place of a body; raises `InvalidInput`, its faults located in the body."""
    if isinstance(told, SearchRequest):
        return told
    try:
        return read_value(told, SearchRequest)
    except InvalidInput as refused:
        raise InvalidInput.of(fault.beneath("searches", place) for fault in refused.faults) from None


def asked_in_query(query_string: bytes) -> Asked:
    """Take the words of a search from a query; what its options lack is carried along as faults."""
    parameters = read_parameters(query_string)
    own = {name: parameters.pop(name) for name in SearchOptions.model_fields if name in parameters}
    faults: tuple[FieldFault, ...] = ()
    try:
        options = read_parameter_values(own, SearchOptions)
    except InvalidInput as refused:
        faults = refused.faults
        refused_names = {fault.path[0] for fault in faults}
        sound = {name: value for name, value in own.items() if name not in refused_names}
        options = read_parameter_values(sound, SearchOptions)
    return Asked(
        readings=parameters,
        condition=options.condition,
        unit=options.unit,
        instrument=options.instrument,
        limit=options.limit,
        faults=faults,
    )


ROUTES = (list_kinds, get_kind, get_matches, find_many_matches)
