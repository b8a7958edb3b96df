"""The house plan: arrows point down only, and Qt stays upstairs."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "designer"

LEVELS = (
    ("resources", "__init__"),
    ("units",),
    ("model",),
    ("layout",),
    ("water", "stand"),
    ("checks",),
    ("analysis", "fresh"),
    ("fresh",),
    ("sketch", "takeoff"),
    ("drawing",),
    ("canvas", "sheet"),
    ("window",),
    ("cli",),
    ("systemlibs",),
    ("bootstrap",),
    ("__main__",),
)
"""From the ground up. What stands on one level may use its own room and what lies below."""
LEVEL = {name: i for i, names in enumerate(LEVELS) for name in names}
MAY_USE_QT = {"canvas", "window", "systemlibs"}
MODULES = sorted(PACKAGE.rglob("*.py"))


def room(path: Path) -> str:
    """The room of the house that a module belongs to."""
    return path.relative_to(PACKAGE).with_suffix("").parts[0]


def imports(path: Path) -> Iterator[tuple[str, bool]]:
    """Every module imported, and whether it is imported only when a function runs."""
    tree = ast.parse(path.read_text("utf-8"))
    inside = {
        id(node)
        for outer in ast.walk(tree)
        if isinstance(outer, ast.FunctionDef | ast.AsyncFunctionDef)
        for node in ast.walk(outer)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield alias.name, id(node) in inside
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path} imports by a relative name"
            assert node.module is not None
            yield node.module, id(node) in inside
            if node.module == "designer":
                for alias in node.names:
                    yield f"designer.{alias.name}", id(node) in inside


def test_every_room_of_the_house_is_on_the_plan() -> None:
    assert {room(path) for path in MODULES} <= set(LEVEL)


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_arrows_point_down_only(path: Path) -> None:
    own = room(path)
    for name, _ in imports(path):
        parts = name.split(".")
        if parts[0] != "designer" or len(parts) < 2 or parts[1] not in LEVEL:
            continue
        used = parts[1]
        assert used == own or LEVEL[used] < LEVEL[own], f"{own} uses {used}"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_nothing_below_the_canvas_knows_qt(path: Path) -> None:
    if room(path) in MAY_USE_QT:
        return
    assert not [name for name, _ in imports(path) if name.split(".")[0].startswith("PySide")]


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_a_module_can_be_held_in_the_head(path: Path) -> None:
    assert len(path.read_text("utf-8").splitlines()) <= 400


def loaded_by(module: str) -> set[str]:
    """Packages in memory after importing one module in a fresh interpreter."""
    code = f"import sys, {module}; print(' '.join({{name.split('.')[0] for name in sys.modules}}))"
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return set(done.stdout.split())


def test_the_window_starts_without_what_only_sheets_and_tests_need() -> None:
    assert not loaded_by("designer.window.app") & {
        "reportlab", "scipy", "fluids", "hypothesis", "pytest", "pypdfium2", "pdfplumber",
    }  # fmt: skip


def test_the_command_line_starts_without_qt() -> None:
    assert not [name for name in loaded_by("designer.cli") if name.startswith("PySide")]


def test_the_analysis_needs_neither_qt_nor_a_sheet() -> None:
    loaded = loaded_by("designer.analysis")
    assert not [name for name in loaded if name.startswith("PySide") or name == "reportlab"]
