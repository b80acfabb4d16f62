"""What a reader of the README is promised: every problem type, setting, command and option is there."""

import importlib
import pkgutil
import re
from collections.abc import Iterator

import click
import pytest
from source_files import ROOT

import api
from api.__main__ import main
from api.app import operations
from api.errors import CommandRefused, DomainError
from api.problems import PROBLEMS
from api.settings import SETTINGS

README = (ROOT / "README.md").read_text("utf-8")


def section(title: str) -> str:
    """Return the README's text under a heading, up to the next one of its level."""
    found = re.search(rf"^## {re.escape(title)}\n(.*?)(?=^## |\Z)", README, re.MULTILINE | re.DOTALL)
    assert found, f"README.md has no section {title!r}"
    return found[1]


def every_error() -> set[type[DomainError]]:
    """Import the whole package and return every error it defines."""
    for module in pkgutil.walk_packages(api.__path__, "api."):
        if "_travelling" not in module.name:
            importlib.import_module(module.name)

    def beneath(kind: type[DomainError]) -> Iterator[type[DomainError]]:
        for child in kind.__subclasses__():
            yield child
            yield from beneath(child)

    return {kind for kind in beneath(DomainError) if kind is not CommandRefused}


def test_every_error_is_an_answer_or_met_by_the_command_line_alone() -> None:
    answered = {f"{kind.__module__}.{kind.__name__}" for kind in PROBLEMS}
    met = {kind for kind in every_error() if not issubclass(kind, CommandRefused)}
    assert {f"{kind.__module__}.{kind.__name__}" for kind in met} == answered


def test_every_problem_type_is_in_the_readme() -> None:
    told = section("Problem types")
    assert {kind.code for kind in PROBLEMS.values() if f"`{kind.code}`" not in told} == set()


def test_every_setting_is_in_the_readme_with_its_default() -> None:
    told = section("Settings")
    assert [one.name for one in SETTINGS if f"`{one.name}`" not in told or one.default not in told] == []


def test_every_command_and_option_is_in_the_readme() -> None:
    told = section("Commands")
    assert isinstance(main, click.Group)
    for name, command in main.commands.items():
        assert f"`startwright {name}" in told, name
        for parameter in command.params:
            if isinstance(parameter, click.Option) and not parameter.hidden and parameter.name != "help":
                assert any(f"{option}" in told for option in parameter.opts), f"{name} {parameter.opts}"


@pytest.mark.parametrize("path", sorted({one.path for one in operations()}))
def test_every_path_is_in_the_readme(path: str) -> None:
    assert path in README
