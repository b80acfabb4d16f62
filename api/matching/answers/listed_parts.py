"""Which parts an answer lists: the most probable, as many as it takes. Pure."""

from typing import NamedTuple

import numpy as np

from api.matching.index.kind_index import Looking
from api.matching.likelihoods.density import FloatArray
from api.matching.likelihoods.posterior import MOST_CANDIDATES, among_greatest, count_candidates, greatest


class ListedPart(NamedTuple):
    """A part that an answer lists.

    `place` is where it stands on the shelf, if it does, `row` that of its size in the index, `looked` that of
    its size among those that the search looked at.
    """

    id: str
    place: int | None
    row: int
    looked: int
    listings: int
    probability: float


def list_parts(looking: Looking, limit: int | None) -> list[ListedPart]:
    """Return the parts that an answer lists, the most probable first, equals by maker and number.

    A size's parts share its probability by their listings + 1. Only the sizes whose best part can be among
    the first are opened.
    """
    most = MOST_CANDIDATES if limit is None else limit
    sizes = looking.posterior.size_probability
    weight = looking.table.listings + looking.part_counts
    best: FloatArray = sizes * np.where(
        looking.part_counts > 0, looking.greatest_part_weight / np.maximum(weight, 1), 0.0
    )
    places = greatest(best, most)
    if len(places) and best[places[-1]] > 0.0:
        places = np.union1d(places, np.flatnonzero(best == best[places[-1]]))
    parts = looking.parts(places)
    of = places[parts.size]
    chances = sizes[of] * (parts.listings + 1.0) / weight[of]
    first = among_greatest(chances, most)
    order = first[np.lexsort((parts.rank[first], -chances[first]))][:most]
    count = count_candidates(chances[order].tolist(), looking.posterior.unlisted_probability, limit)
    chosen = order[:count]
    return [
        ListedPart(*told)
        for told in zip(
            parts.ids(chosen),
            parts.shelf_places(chosen),
            looking.rows[of[chosen]].tolist(),
            of[chosen].tolist(),
            parts.listings[chosen].astype(np.int64).tolist(),
            chances[chosen].tolist(),
            strict=True,
        )
    ]
