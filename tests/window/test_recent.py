"""The list of recent files."""

from pathlib import Path

import pytest
from PySide6.QtCore import QSettings

from designer.window.recent import MOST, Recent, short_folder


@pytest.fixture
def recent() -> Recent:
    return Recent(QSettings("Rillwright", "Rillwright"))


def made(folder: Path, name: str) -> Path:
    path = folder / name
    path.touch()
    return path


def test_the_newest_comes_first_and_none_comes_twice(recent: Recent, tmp_path: Path) -> None:
    a, b = made(tmp_path, "a.rill"), made(tmp_path, "b.rill")
    for path in (a, b, a):
        recent.add(path)
    assert recent.paths() == [a, b]


def test_a_file_that_is_gone_is_not_shown_and_comes_back_with_its_disk(
    recent: Recent, tmp_path: Path
) -> None:
    path = made(tmp_path, "a.rill")
    recent.add(path)
    path.unlink()
    assert recent.paths() == []
    path.touch()
    assert recent.paths() == [path]


def test_the_list_is_short_and_can_be_forgotten(recent: Recent, tmp_path: Path) -> None:
    for number in range(MOST + 3):
        recent.add(made(tmp_path, f"{number}.rill"))
    assert len(recent.paths()) == MOST
    recent.clear()
    assert recent.paths() == []


def test_the_list_is_there_at_the_next_start(recent: Recent, tmp_path: Path) -> None:
    path = made(tmp_path, "with, comma and ünicode.rill")
    recent.add(path)
    assert Recent(QSettings("Rillwright", "Rillwright")).paths() == [path]


def test_a_folder_is_shown_short(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "home", lambda: Path("/home/kim"))
    assert short_folder(Path("/home/kim/beds/a.rill")) == "beds"
    long = short_folder(Path("/srv") / ("deep/" * 20) / "a.rill")
    assert len(long) == 44
    assert long.startswith("…")
