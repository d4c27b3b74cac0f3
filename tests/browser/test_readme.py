"""Every command that the README gives does run, and the picture it shows is there."""

import re
import shlex
import subprocess
from collections.abc import Callable

import pytest

from tests.browser.conftest import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")
LINES = [
    line.strip()
    for block in re.findall(r"```sh\n(.*?)```", README, re.DOTALL)
    for line in block.splitlines()
    if line.strip()
]
MANAGED = [line for line in LINES if "manage.py" in line]
MADE = sorted({*re.findall(r"`(make [a-z-]+)`", README), *(set(LINES) - set(MANAGED))})


def test_the_readme_gives_commands_of_both_sorts():
    assert len(MANAGED) >= 4
    assert {"make demo", "make test", "make run", "make bench", "make lint"} <= set(MADE)


@pytest.mark.parametrize("line", MADE)
def test_a_target_of_the_readme_can_be_made(line: str):
    done = subprocess.run(
        [*shlex.split(line), "--dry-run"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("line", MANAGED)
def test_a_command_of_the_readme_runs_on_the_demo(commanded: Callable[..., str], line: str):
    python, manage, *words = shlex.split(line)
    assert (python, manage) == (".venv/bin/python", "manage.py")
    assert commanded(*words).strip()


def test_the_pictures_of_the_readme_are_there():
    for path in re.findall(r"!\[[^]]*\]\(([^)]+)\)", README):
        assert (ROOT / path).stat().st_size > 10_000
