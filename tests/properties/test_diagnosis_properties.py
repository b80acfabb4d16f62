"""What holds of every diagnosis, whatever was observed of whatever starter."""

from math import exp, log
from random import Random

import numpy as np
import pytest
from diagnosis_of_seed import tables
from hypothesis import given, settings
from hypothesis import strategies as st

from api.diagnosis.check_stated import Claim, check_stated
from api.diagnosis.diagnose import diagnose
from api.diagnosis.knowledge import ObservationKnown
from api.diagnosis.likelihood import weigh_evidence
from api.diagnosis.posterior import weigh
from api.diagnosis.scales import most_plausible
from api.diagnosis.subject import Subject, weigh_faults
from api.starters.vocabulary import CONSTRUCTIONS, FIELDS

TOLD_BY_ROW = {"no_load_test"}
EXAMPLES = 40


@st.composite
def subjects(draw: st.DrawFn) -> Subject:
    return Subject(
        voltage=draw(st.sampled_from([6, 12, 24])),
        construction=draw(st.sampled_from([None, *CONSTRUCTIONS])),
        field=draw(st.sampled_from([None, *FIELDS])),
        rated_power_w=draw(st.sampled_from([None, 900, 5000])),
    )


def claims_of(known: ObservationKnown, subject: Subject) -> st.SearchStrategy[Claim]:
    if known.number is None:
        answers = st.sampled_from([one.code for one in known.answers])
        return st.builds(Claim, code=st.just(known.code), answer=answers)
    most = most_plausible(known.number, subject)
    return st.builds(
        Claim,
        code=st.just(known.code),
        value=st.floats(0, most),
        uncertainty=st.none() | st.floats(most / 10_000, most / 10),
    )


@st.composite
def observed(draw: st.DrawFn, most: int = 12) -> tuple[Subject, list[Claim]]:
    subject = draw(subjects())
    codes = sorted(tables().observations.keys() - TOLD_BY_ROW)
    chosen = draw(st.lists(st.sampled_from(codes), unique=True, max_size=most))
    return subject, [draw(claims_of(tables().observations[code], subject)) for code in chosen]


def chances(subject: Subject, claims: list[Claim]) -> dict[str, float]:
    stated = check_stated(tables(), subject, claims)
    return {one.known.code: one.chance for one in diagnose(tables(), subject, "repairer", stated).faults}


@settings(max_examples=EXAMPLES)
@given(observed(), st.randoms(use_true_random=False))
def test_the_order_of_observations_does_not_matter(told: tuple[Subject, list[Claim]], rng: Random) -> None:
    subject, claims = told
    shuffled = list(claims)
    rng.shuffle(shuffled)
    stated, other = check_stated(tables(), subject, claims), check_stated(tables(), subject, shuffled)
    one, two = (diagnose(tables(), subject, "repairer", each) for each in (stated, other))
    assert [(fault.known.code, fault.chance) for fault in one.faults] == [
        (fault.known.code, fault.chance) for fault in two.faults
    ]
    assert [[moved.log_odds for moved in fault.moved] for fault in one.faults] == [
        [moved.log_odds for moved in fault.moved] for fault in two.faults
    ]


@settings(max_examples=EXAMPLES)
@given(observed(most=38))
def test_probabilities_add_up_to_1_and_none_is_0_or_1(told: tuple[Subject, list[Claim]]) -> None:
    subject, claims = told
    found = chances(subject, claims)
    assert sum(found.values()) == pytest.approx(1, abs=1e-12)
    assert all(0 < chance < 1 for chance in found.values())


@settings(max_examples=EXAMPLES)
@given(observed(), st.data())
def test_what_is_likelier_under_a_fault_than_on_average_raises_it(
    told: tuple[Subject, list[Claim]], data: st.DataObject
) -> None:
    subject, claims = told
    left = sorted(tables().observations.keys() - TOLD_BY_ROW - {one.code for one in claims})
    left = [code for code in left if tables().observations[code].no_load is None]
    more = data.draw(
        st.sampled_from(left).flatmap(lambda code: claims_of(tables().observations[code], subject))
    )
    prior = weigh_faults(tables(), subject)
    before = chances(subject, claims)
    after = chances(subject, [*claims, more])
    (piece,) = weigh_evidence(check_stated(tables(), subject, [more]), prior.faults, tables().observations)
    mean = sum(before[fault.code] * piece.likelihood[place] for place, fault in enumerate(prior.faults))
    for place, fault in enumerate(prior.faults):
        if piece.likelihood[place] > 1.001 * mean and before[fault.code] > 1e-4:
            assert after[fault.code] > before[fault.code]
        if piece.likelihood[place] < 0.999 * mean and after[fault.code] > 1e-4:
            assert after[fault.code] < before[fault.code]


@settings(max_examples=EXAMPLES)
@given(observed())
def test_shares_of_the_log_odds_add_up_to_the_whole_change(told: tuple[Subject, list[Claim]]) -> None:
    """Bayes' rule in odds, worked out here without any share."""
    subject, claims = told
    prior = weigh_faults(tables(), subject)
    evidence = weigh_evidence(check_stated(tables(), subject, claims), prior.faults, tables().observations)
    shares = weigh(prior, evidence).log_odds.sum(axis=1)
    joint = [
        log(prior.chances[place]) + sum(log(one.likelihood[place]) for one in evidence)
        for place in range(len(prior.faults))
    ]
    for place, chance in enumerate(prior.chances):
        others = [value for index, value in enumerate(joint) if index != place]
        greatest = max(others)
        odds_after = joint[place] - greatest - log(sum(exp(value - greatest) for value in others))
        assert odds_after - log(chance / (1 - chance)) == pytest.approx(shares[place], abs=1e-4)


@settings(max_examples=EXAMPLES)
@given(observed())
def test_no_evidence_is_impossible_under_any_fault(told: tuple[Subject, list[Claim]]) -> None:
    subject, claims = told
    prior = weigh_faults(tables(), subject)
    for one in weigh_evidence(check_stated(tables(), subject, claims), prior.faults, tables().observations):
        assert np.all(one.likelihood > 0)
        assert np.all(np.isfinite(one.likelihood))


@settings(max_examples=EXAMPLES)
@given(subjects())
def test_chances_beforehand_add_up_and_leave_out_what_the_starter_cannot_have(subject: Subject) -> None:
    prior = weigh_faults(tables(), subject)
    assert prior.chances.sum() == pytest.approx(1)
    for fault in prior.faults:
        assert subject.construction is None or subject.construction in fault.constructions
        assert subject.field is None or subject.field in fault.fields


@settings(max_examples=EXAMPLES)
@given(st.floats(0.0, 0.49), st.floats(0.0, 0.49))
def test_two_drops_well_within_the_limit_tell_the_same(first: float, second: float) -> None:
    """The true value is spread evenly within a band: only near its ends does the number itself matter."""
    subject = Subject(voltage=12)
    if max(first, second) < 0.4:
        one = chances(subject, [Claim(code="feed_drop_volts", value=first)])
        two = chances(subject, [Claim(code="feed_drop_volts", value=second)])
        assert all(one[code] == pytest.approx(two[code], rel=0.05) for code in one)
