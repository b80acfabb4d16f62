"""Designations of threads as people write them, and what a refused one names instead."""

import pytest

from api.fit.contacts.stud_fit import Stud
from api.fit.contacts.threads import (
    THREADS,
    Thread,
    UnknownThread,
    read_thread,
    takes_nut,
    threads_of_diameter,
)
from api.fit.judging.features import Feature


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("M8", "M8x1.25"),
        ("m8 x 1,25", "M8x1.25"),
        ("M8×1.25", "M8x1.25"),
        ("M8-1.25", "M8x1.25"),
        ("M 8", "M8x1.25"),
        ("M8x1.25-6g", "M8x1.25"),
        ("M8x1.25-4g6g", "M8x1.25"),
        ("M10x1.0", "M10x1"),
        ("5/16", "5/16-18"),
        ('5/16"-24', "5/16-24"),
        ("5/16-18 UNC-2A", "5/16-18"),
        ("3/8 unf", "3/8-24"),
        ("#10-32", "#10-32"),
        ("10-32", "#10-32"),
        ("No. 10-24", "#10-24"),
        ("#8", "#8-32"),
    ],
)
def test_a_designation_is_read_as_it_is_written(written: str, meant: str) -> None:
    assert read_thread(written).designation == meant


@pytest.mark.parametrize("thread", THREADS, ids=lambda thread: thread.designation)
def test_every_designation_names_its_own_thread(thread: Thread) -> None:
    assert read_thread(thread.designation) is thread


@pytest.mark.parametrize(
    ("written", "code", "nearest"),
    [
        ("M9", "unknown_thread", "M8x1.25"),
        ("M8x3", "unknown_thread", "M8x1"),
        ("M11x1.5", "unknown_thread", "M10x1.5"),
        ("5/16-20", "unknown_thread", "5/16-24"),
        ("5/16-24 UNC", "unknown_thread", "5/16-24"),
        ("9/32-20", "unknown_thread", "1/4-20"),
        ("#9", "unknown_thread", "#8-32"),
        ("5/0-18", "unknown_thread", "1/2-13"),
        ("8", "unreadable_thread", None),
        ("", "unreadable_thread", None),
        ("M8x1.25 " * 9, "unreadable_thread", None),
    ],
)
def test_a_thread_that_does_not_exist_names_the_nearest(written: str, code: str, nearest: str | None) -> None:
    with pytest.raises(UnknownThread) as refused:
        read_thread(written)
    assert (refused.value.code, refused.value.nearest) == (code, nearest)


def test_a_nut_runs_on_its_own_thread_alone() -> None:
    # M8 and 5/16 look alike, M8x1 and M8x1.25 share a diameter: neither goes on the other.
    alike = [read_thread(name) for name in ("M8x1.25", "M8x1", "5/16-18")]
    assert [[takes_nut(stud, nut) for nut in alike] for stud in alike] == [
        [True, False, False],
        [False, True, False],
        [False, False, True],
    ]


def test_a_diameter_alone_leaves_several_threads() -> None:
    found = {thread.designation for thread in threads_of_diameter(7_850_000, 7_870_000)}
    assert found == {"M8x1.25", "M8x1", "5/16-18", "5/16-24"}
    assert threads_of_diameter(9_000_000, 9_050_000) == ()


def test_a_stud_without_a_reading_is_as_thick_as_its_thread_allows() -> None:
    stud = Stud(thread=read_thread("M8"))
    assert stud.crests == Feature(7_760_000, 7_972_000)
    assert Stud(Feature.exact(7_900_000), read_thread("M8")).crests == Feature.exact(7_900_000)
    assert Stud().crests is None
