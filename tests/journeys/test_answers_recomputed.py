"""An answer is recomputed by SciPy from the published model; the order of the catalogue changes none.

Source of the densities: SciPy's `stats.exponnorm`, averaged over the tolerance by `integrate.quad`.
"""

from collections import Counter
from typing import Any

import attrs
import httpx
import numpy as np
import pytest
from databases import SEED_DAY, new_place
from running_service import serving
from scipy import integrate, stats

from api.exchange.catalogue import Catalogue
from api.exchange.load_catalogue import load_catalogue

WORN_BUSH = {"bore": "12.62 mm", "length": "11.9 mm"}
ORDERED = (
    "kinds",
    "makers",
    "sizes",
    "parts",
    "families",
    "starters",
    "listings",
    "numbers",
    "suppliers",
    "offers",
)


def worn_density(read: float, lower: float, upper: float, u: float, wear: float, sense: str) -> float:
    """Return the density per mm of a reading of a worn length."""
    if sense == "shrinks":
        read, lower, upper = -read, -upper, -lower
    mean, _ = integrate.quad(
        lambda made: stats.exponnorm.pdf(read, wear / u, loc=made, scale=u), lower, upper, epsabs=1e-13
    )
    return float(mean) / (upper - lower)


def test_a_search_is_recomputed_from_the_published_model(service: httpx.Client, catalogue: Catalogue) -> None:
    published = service.get("/v1/kinds/bushing").json()
    model = {one["code"]: one for one in published["dimensions"]}
    match = service.get("/v1/matches/bushing", params={**WORN_BUSH, "limit": "200"}, timeout=300).json()
    assert match["model"] == published["model"]
    read = {code: (one["mm"], one["standard_uncertainty_mm"]) for code, one in match["readings"].items()}

    maker = {one.name: one.code for one in catalogue.makers}
    parts = {(one.maker, one.number): one.size for one in catalogue.parts if one.kind == "bushing"}
    listings = Counter((one.maker, one.number) for one in catalogue.listings)
    of_size: Counter[str] = Counter()
    weight_in_size: Counter[str] = Counter()
    for part, size in parts.items():
        of_size[size] += listings[part]
        weight_in_size[size] += listings[part] + 1
    sizes = [one for one in catalogue.sizes if one.kind == "bushing"]
    total = sum(of_size[one.code] + 1 for one in sizes)
    p0 = published["unlisted_prior"]
    span = {code: model[code]["span_upper"] - model[code]["span_lower"] for code in read}
    weights = {}
    for size in sizes:
        weight = (1 - p0) * (of_size[size.code] + 1) / total
        for code, (mm, u) in read.items():
            value, e = size.value(code), model[code]["slip_chance"]
            f = worn_density(
                mm,
                value.lower_nm / 1e6,
                value.upper_nm / 1e6,
                u,
                model[code]["wear_scale_mm"],
                model[code]["wear_sense"],
            )
            weight *= (1 - e) * f + e / span[code]
        weights[size.code] = weight
    unlisted = p0 / np.prod(list(span.values()))
    everything = sum(weights.values()) + unlisted

    assert match["unlisted_probability"] == pytest.approx(unlisted / everything, abs=1e-7)
    assert len(match["candidates"]) > 50
    for one in match["candidates"]:
        part = maker[one["part"]["maker"]], one["part"]["number"]
        share = (listings[part] + 1) / weight_in_size[parts[part]]
        assert one["probability"] == pytest.approx(weights[parts[part]] / everything * share, abs=1e-6), part


def test_every_figure_of_the_model_is_published_as_the_data_state_it(
    service: httpx.Client, catalogue: Catalogue
) -> None:
    """Slip chance e, miscount chance m, wear scales, spans R, prior p0: each with its origin."""
    for kind in catalogue.kinds:
        told = service.get(f"/v1/kinds/{kind.code}").json()
        assert (told["unlisted_prior"], told["model"]) == (kind.unlisted_prior, kind.model_version)
        assert told["unlisted_prior_origin"] == kind.unlisted_prior_origin
        assert [one["code"] for one in told["dimensions"]] == [one.code for one in kind.dimensions]
        for shown, stated in zip(told["dimensions"], kind.dimensions, strict=True):
            per = 1e6 if stated.measure == "length" else 1
            assert shown["slip_chance"] == stated.slip_chance > 0
            assert shown["miscount_chance"] == stated.miscount_chance > 0
            assert shown["origin"] == stated.origin
            assert (shown["agrees_within"] > 0) and (shown["worn_within"] > 0)
            assert shown["wear_scale_mm"] == (stated.wear_scale_nm and stated.wear_scale_nm / 1e6)
            spans = [None if one is None else one / per for one in (stated.span_lower, stated.span_upper)]
            assert [shown["span_lower"], shown["span_upper"]] == spans


def told(client: httpx.Client, kind: str, query: dict[str, str]) -> list[Any]:
    """Return what a search answers, without the identifiers, which every database makes for itself."""
    match = client.get(f"/v1/matches/{kind}", params={**query, "limit": "60"}).json()
    candidates = [
        {
            **{key: one[key] for key in one if key not in ("part", "best_offer", "superseded_by")},
            "part": (one["part"]["maker"], one["part"]["number"]),
            "offer": one["best_offer"] and one["best_offer"]["price"],
        }
        for one in match["candidates"]
    ]
    rest = {key: match[key] for key in match if key != "candidates"}
    return [candidates, rest]


def test_neither_the_order_of_the_catalogue_nor_that_of_the_readings_changes_an_answer(
    catalogue: Catalogue,
) -> None:
    reversed_catalogue = attrs.evolve(
        catalogue, **{name: tuple(reversed(getattr(catalogue, name))) for name in ORDERED}
    )
    searches = [
        ("bushing", WORN_BUSH),
        ("drive_clutch", {"teeth": "9", "face_width": "12 mm"}),
        ("contact", {"form": "disc", "disc_diameter": "26 mm", "thickness": "2.3 mm"}),
    ]
    answers = []
    for one in (catalogue, reversed_catalogue):
        with new_place("sqlite", "migrated") as place:
            database = place.open()
            with database.write() as session:
                load_catalogue(session.connection, one, SEED_DAY)
            database.close()
            with serving(place) as address, httpx.Client(base_url=address, timeout=300) as client:
                answers.append([told(client, kind, query) for kind, query in searches])
                turned = [told(client, kind, dict(reversed(query.items()))) for kind, query in searches]
        assert turned == answers[-1]
    assert answers[0] == answers[1]
