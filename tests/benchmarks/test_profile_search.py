"""The profile of searches names what they run; how long that takes is not judged here."""

from pathlib import Path

from api.database import Database
from tests.benchmarks.drawn_searches import draw_searches, read_kinds
from tests.benchmarks.profile_search import answering, cpu_ms, profile


def test_a_profile_names_the_use_case_and_its_share(seeded_database: Database, tmp_path: Path) -> None:
    drawn = draw_searches(read_kinds(seeded_database), "selective", 4)
    answer = answering(seeded_database, tmp_path)
    assert cpu_ms(answer, drawn) > 0
    (first, share, calls), *others = profile(answer, drawn)
    assert first == "api/matching/answers/search.py: find_matches"
    assert calls == 1 and 0.5 < share <= 1
    assert all(0 < other <= share for _, other, _ in others)
