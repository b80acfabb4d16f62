"""Does a contact go on its stud, or is its own stud the one that the cap and the nut take? Pure."""

from typing import Final

import attrs

from api.fit.contacts.clearance_holes import ClearanceHoles, clearance_holes
from api.fit.contacts.threads import Thread, crest_limits_nm, takes_nut, threads_of_diameter
from api.fit.judging.features import Feature
from api.fit.judging.gaps import at_most, bound_figures, figure_mm, gap_nm, span
from api.fit.judging.reasons import Figure, Reason

FITS_TO_NM: Final = 1_500_000
REFUSED_FROM_NM: Final = 3_000_000
"""Clearance on a stud of unknown thread: up to which a contact fits, from which not (our judgement)."""


@attrs.frozen
class Stud:
    """A stud as far as it is known: its diameter over the crests, its thread."""

    diameter: Feature | None = None
    thread: Thread | None = None

    @property
    def crests(self) -> Feature | None:
        """The diameter over the crests: as stated, else what the thread's usual class allows."""
        if self.diameter is None and self.thread is not None:
            return Feature(*crest_limits_nm(self.thread))
        return self.diameter


UNKNOWN_STUD: Final = Stud()


def judge_stud(seat: Stud, hole: Feature | None = None, own: Stud | None = None) -> Reason:
    """Return what the seat's stud says of a contact with a `hole` for it, or with a stud of its `own`.

    A hole fits where the stud surely goes through and the hole is surely no wider than the coarse hole of
    the stud's thread; it is refused where it surely exceeds that by the step from fine to coarse (our
    judgement). An own stud fits where its thread is the seat's. What is not known is `unknown`.
    """
    if hole is not None:
        return _judge_hole(seat, hole)
    if own is not None:
        return _judge_own(seat, own)
    return Reason("stud_hole", "unknown", "neither a stud hole nor a stud of its own is stated")


def judge_nut(stud: Stud, nut: Thread) -> Reason:
    """Return whether a nut of this thread runs on a stud."""
    if stud.thread is None:
        return Reason("nut_thread", "unknown", "the thread of the stud is not stated", exact=True)
    if takes_nut(stud.thread, nut):
        return Reason("nut_thread", "fits", f"{nut.designation}, as the stud has", exact=True)
    text = f"{nut.designation}, but the stud has {stud.thread.designation}: a nut started across strips"
    return Reason("nut_thread", "does_not_fit", text, exact=True)


def _judge_hole(seat: Stud, hole: Feature) -> Reason:
    crests = seat.crests
    if crests is None:
        return Reason("stud_hole", "unknown", "neither diameter nor thread of the stud is stated")
    clearance = gap_nm(hole, crests)
    holes = None if seat.thread is None else clearance_holes(seat.thread)
    figures = (*bound_figures("clearance", clearance), *_hole_figures(holes))
    told = f"clearance on the stud {span(clearance)}"
    if clearance[1] <= 0:
        return Reason("stud_hole", "does_not_fit", f"{told}: it does not go over the stud", figures=figures)
    if clearance[0] <= 0:
        return Reason("stud_hole", "unknown", f"{told}: it may not go over the stud", figures=figures)
    if holes is None or seat.thread is None:
        return _judge_clearance_alone(told, clearance, figures)
    bounds = hole.bounds_nm()
    widest = f"the coarse hole for {seat.thread.size} is {span((holes.coarse_nm,) * 2)} ({holes.source})"
    if at_most(bounds, holes.coarse_nm) == "fits":
        return Reason("stud_hole", "fits", f"{told}; {widest}", figures=figures)
    if bounds[0] > 2 * holes.coarse_nm - holes.fine_nm:
        text = f"{told}: far wider than intended; {widest}"
        return Reason("stud_hole", "does_not_fit", text, figures=figures)
    text = f"{told}: wider than intended, see that the nut bears all round; {widest}"
    return Reason("stud_hole", "unknown", text, figures=figures)


def _judge_clearance_alone(told: str, clearance: tuple[int, int], figures: tuple[Figure, ...]) -> Reason:
    if clearance[0] >= REFUSED_FROM_NM:
        return Reason("stud_hole", "does_not_fit", f"{told}: far too loose", figures=figures)
    verdict = at_most(clearance, FITS_TO_NM)
    if verdict == "fits":
        return Reason("stud_hole", "fits", told, figures=figures)
    return Reason("stud_hole", "unknown", f"{told}: looser than {span((FITS_TO_NM,) * 2)}", figures=figures)


def _hole_figures(holes: ClearanceHoles | None) -> tuple[Figure, ...]:
    if holes is None:
        return ()
    return (
        figure_mm("fine_hole", holes.fine_nm),
        figure_mm("medium_hole", holes.medium_nm),
        figure_mm("coarse_hole", holes.coarse_nm),
    )


def _judge_own(seat: Stud, own: Stud) -> Reason:
    if seat.thread is not None and own.thread is not None:
        return _judge_threads(seat.thread, own.thread)
    wanted, crests = seat.crests, own.crests
    if wanted is None or crests is None:
        return Reason("stud_diameter", "unknown", "the stud of the seat or that of the part is not stated")
    difference = gap_nm(crests, wanted)
    figures = bound_figures("difference", difference)
    if difference[0] > 0 or difference[1] < 0:
        text = f"its own stud differs by {span(difference)} in diameter from the one that the seat takes"
        return Reason("stud_diameter", "does_not_fit", text, figures=figures)
    alike = threads_of_diameter(*crests.bounds_nm())
    names = ", ".join(thread.designation for thread in alike) or "no thread of the table"
    text = f"the diameter agrees, but one thread is not stated; {names} measure alike: try the nut by hand"
    return Reason("stud_diameter", "unknown", text, figures=figures)


def _judge_threads(seat: Thread, own: Thread) -> Reason:
    if takes_nut(own, seat):
        return Reason("stud_thread", "fits", f"{own.designation}, as the seat takes", exact=True)
    text = f"{own.designation}, but the seat takes {seat.designation}: a nut started across strips the thread"
    return Reason("stud_thread", "does_not_fit", text, exact=True)
