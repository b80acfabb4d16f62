"""The measurement of a comparison runs; what it finds hangs on the machine and is not judged here."""

from click.testing import CliRunner

from benchmarks.measure_comparison import main, measure


def test_a_small_comparison_is_measured_against_a_bare_handler() -> None:
    found = measure(positions=1, replacements=1, rounds=1)
    assert found.compared_ms > found.bare_ms > 0
    assert found.ratio > 1


def test_the_command_prints_the_ratio() -> None:
    run = CliRunner().invoke(main, ["--positions", "2", "--replacements", "1", "--rounds", "1"])
    assert run.exit_code == 0, run.output
    assert run.output.startswith("2 positions, 1 replacements, 20000 histories: ")
