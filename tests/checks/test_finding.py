"""Findings: which drawing shows them."""

from pathlib import Path

import pytest

import designer.checks
from designer.checks.finding import SEEN_IN_ELEVATION, Finding


def about(rule: str) -> Finding:
    return Finding(rule, "", "good", (), "", "", "", "")


@pytest.mark.parametrize("rule", ["fall-total", "tails-reach", "sump", "drain-room"])
def test_levels_are_seen_in_the_elevation(rule: str) -> None:
    assert about(rule).view == "elevation"


@pytest.mark.parametrize("rule", ["rims-clear", "clear-of-walls", "reach", "every-bucket-fed"])
def test_places_on_the_ground_are_seen_in_the_plan(rule: str) -> None:
    assert about(rule).view == "plan"


def test_every_rule_named_for_the_elevation_exists() -> None:
    (folder,) = designer.checks.__path__
    rules = [path for path in Path(folder).rglob("*.py") if path.name != "finding.py"]
    written = "".join(path.read_text("utf-8") for path in rules)
    assert sorted(rule for rule in SEEN_IN_ELEVATION if f'"{rule}"' not in written) == []
