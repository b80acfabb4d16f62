"""Gives a diagnosis its wire shape, in words and numbers."""

from collections.abc import Iterable, Sequence
from math import exp

from api.diagnosis.answer_shapes import (
    ConcernedAnswer,
    ContradictionAnswer,
    DiagnosisAnswer,
    DiagnosisAssumption,
    EvidenceAnswer,
    ExpectedCostAnswer,
    FailedPositionAnswer,
    FaultAnswer,
    FaultCauseAnswer,
    FaultCostAnswer,
    ForComparisonAnswer,
    NotPricedAnswer,
    OptionCostAnswer,
    StarterDiagnosed,
)
from api.diagnosis.assumptions import assumptions_of
from api.diagnosis.cautions import CAUTIONS, OF_EVERY_DIAGNOSIS
from api.diagnosis.compare_faults import NotPriced
from api.diagnosis.diagnose import Diagnosis, Moved, RankedFault
from api.diagnosis.expected_cost import PricedFault, PricedOption, expect_costs
from api.diagnosis.knowledge import FaultKnown
from api.diagnosis.next_test import Person
from api.diagnosis.present_observations import next_test_answer, observed_answer, origin_answer, told_words
from api.diagnosis.subject import Subject
from api.fit.reason_shapes import caution_answers
from api.offers.shapes import money_answer
from api.starters.positions_of_construction import EXCLUDED
from api.starters.vocabulary import POSITION_KINDS

MODEL = "one fault at a time, 1"
"""Which model and version of the tables answered."""

FURTHER = 3
"""How many more tests are named beside the next one (our judgement)."""


def diagnosis_answer(
    diagnosis: Diagnosis, family: str | None, person: Person, voltage_stated: bool
) -> DiagnosisAnswer:
    """Return the whole answer."""
    subject = diagnosis.subject
    tests = [next_test_answer(one) for one in diagnosis.advice[: FURTHER + 1]]
    compared = list(_for_comparison(diagnosis.faults, subject))
    return DiagnosisAnswer(
        model=MODEL,
        starter=StarterDiagnosed(
            family=family, construction=subject.construction, field=subject.field, voltage=subject.voltage
        ),
        person=person,
        observations=[observed_answer(one) for told in diagnosis.evidence for one in told.stated],
        faults=[_fault_answer(one, subject) for one in diagnosis.faults],
        next_test=tests[0] if tests else None,
        further_tests=tests[1:],
        contradictions=[
            ContradictionAnswer(observations=list(one.codes), words=one.words)
            for one in diagnosis.contradictions
        ],
        for_comparison=compared,
        probability_without_comparison=max(0.0, 1.0 - sum(one.probability for one in compared)),
        expected_cost=None,
        assumptions=[
            DiagnosisAssumption(what=one.what, value=one.value, origin=one.origin)
            for one in assumptions_of(diagnosis, voltage_stated)
        ],
        cautions=caution_answers([*(CAUTIONS[code] for code in diagnosis.cautions), *OF_EVERY_DIAGNOSIS]),
    )


def expected_cost_answer(
    priced: Sequence[PricedFault], without: Sequence[NotPriced], keep_months: float | None
) -> ExpectedCostAnswer:
    """Give what repair and replacement are expected to cost its wire shape."""
    return ExpectedCostAnswer(
        keep_months=keep_months,
        expected=_option_costs(expect_costs(priced)),
        priced_probability=min(1.0, sum(one.probability for one in priced)),
        faults=[
            FaultCostAnswer(fault=one.fault, probability=one.probability, options=_option_costs(one.options))
            for one in priced
        ],
        not_priced=[NotPricedAnswer(fault=one.fault, why=one.why) for one in without],
    )


def _option_costs(options: Iterable[PricedOption]) -> list[OptionCostAnswer]:
    return [OptionCostAnswer(id=one.id, option=one.option, total=money_answer(one.total)) for one in options]


def _fault_answer(ranked: RankedFault, subject: Subject) -> FaultAnswer:
    known = ranked.known
    return FaultAnswer(
        fault=known.code,
        name=known.name,
        place=known.place,
        probability=ranked.chance,
        prior_probability=ranked.before,
        positions=[
            ConcernedAnswer(position=code, kind=POSITION_KINDS[code], renewed=code in known.renew)
            for code in _there(known.positions, subject)
        ],
        needs_part=known.needs_part,
        repair=known.repair,
        cautions=caution_answers(CAUTIONS[code] for code in known.cautions),
        root_causes=[
            FaultCauseAnswer(check=one.check, origin=origin_answer(one.origin)) for one in known.root_causes
        ],
        evidence=[_evidence_answer(one, known) for one in ranked.moved],
    )


def _there(codes: Sequence[str], subject: Subject) -> list[str]:
    """Return those positions that the starter has, as far as it is known."""
    excluded = EXCLUDED.get(subject.construction or "", ())
    return [
        code
        for code in codes
        if code not in excluded and (subject.positions is None or code in subject.positions)
    ]


def _evidence_answer(moved: Moved, known: FaultKnown) -> EvidenceAnswer:
    factor = exp(moved.log_odds)
    said = " or ".join(told_words(one) for one in moved.told.stated)
    told = f"{moved.told.code} ({said})"
    if abs(moved.log_odds) < 0.05:
        words = f"{told} tells hardly anything of “{known.name}”"
    elif factor > 1:
        words = f"{told} makes “{known.name}” {factor:.3g} times likelier against all others"
    else:
        words = f"{told} makes “{known.name}” {1 / factor:.3g} times less likely against all others"
    return EvidenceAnswer(code=moved.told.code, log_odds=moved.log_odds, odds_factor=factor, words=words)


def _for_comparison(faults: Iterable[RankedFault], subject: Subject) -> Iterable[ForComparisonAnswer]:
    for one in faults:
        renewed = _there(one.known.renew, subject)
        if renewed:
            yield ForComparisonAnswer(
                fault=one.known.code,
                probability=one.chance,
                positions=[FailedPositionAnswer(position=code, failed=True) for code in renewed],
                needs_part_cost=[code for code in renewed if POSITION_KINDS[code] is None],
            )
