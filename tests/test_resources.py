"""The program's own files are found where they are and missed by name where they are not."""

from pathlib import Path

import pytest

from designer import resources


def test_fonts_travel_with_their_licence() -> None:
    assert resources.resource_path("fonts", "NotoSans-Regular.ttf").read_bytes()[:4] == b"\0\1\0\0"
    assert resources.resource_path("fonts", "NotoSans-Bold.ttf").read_bytes()[:4] == b"\0\1\0\0"
    licence = resources.resource_path("fonts", "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE" in licence
    assert licence.startswith("Copyright")


def test_a_missing_resource_is_named() -> None:
    with pytest.raises(FileNotFoundError, match=r"no-such\.toml is missing"):
        resources.resource_path("parts", "no-such.toml")


def test_samples_are_the_rill_files_in_order(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = make_package(tmp_path)
    samples = tmp_path / "samples"
    samples.mkdir()
    for name in ("two.rill", "one.rill", "notes.txt"):
        (samples / name).touch()
    monkeypatch.setattr(resources, "_PACKAGE", package)
    assert resources.sample_paths() == [samples / "one.rill", samples / "two.rill"]


def test_an_installed_copy_reads_inside_the_package(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = make_package(tmp_path)
    for folder in (tmp_path, package):
        (folder / "resources").mkdir()
        (folder / "resources" / "x.toml").touch()
    monkeypatch.setattr(resources, "_PACKAGE", package)
    assert resources.resource_path("x.toml") == package / "resources" / "x.toml"


def test_no_samples_is_an_empty_list(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(resources, "_PACKAGE", make_package(tmp_path))
    assert resources.sample_paths() == []


def make_package(folder: Path) -> Path:
    package = folder / "designer"
    package.mkdir()
    return package
