"""A wheel built from the checkout works on its own, away from it."""

import os
import subprocess
import sys
import sysconfig
import venv
from pathlib import Path

import pytest

import designer

REPOSITORY = Path(__file__).resolve().parent.parent


@pytest.mark.slow
def test_the_wheel_carries_resources_and_samples_and_makes_a_build_sheet(tmp_path: Path) -> None:
    wheels = tmp_path / "wheels"
    run(
        [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", wheels, REPOSITORY]
    )
    (wheel,) = wheels.glob(f"rillwright-{designer.__version__}-*.whl")

    programs, packages = installed_copy(tmp_path / "elsewhere", wheel)
    installed = packages / "designer"
    assert files_under(installed / "resources") == files_under(REPOSITORY / "resources")
    assert files_under(installed / "samples") == files_under(REPOSITORY / "samples")
    assert not (packages / "tests").exists()

    command = programs / ("rillwright.exe" if os.name == "nt" else "rillwright")
    assert designer.__version__ in run([command, "--version"], tmp_path)

    sample = min((installed / "samples").glob("*.rill"))
    sheet = tmp_path / "sheet.pdf"
    run([command, "sheet", sample, "--out", sheet], tmp_path)
    assert sheet.read_bytes().startswith(b"%PDF-")


def installed_copy(folder: Path, wheel: Path) -> tuple[Path, Path]:
    """Install the wheel in a new environment that borrows the dependencies from this one.

    Returns its folder of programs and its folder of packages.
    """
    venv.create(folder, symlinks=os.name != "nt")
    scheme = {"base": str(folder), "platbase": str(folder)}
    names = sysconfig.get_preferred_scheme("prefix") if os.name == "nt" else "posix_prefix"
    programs = Path(sysconfig.get_path("scripts", names, scheme))
    packages = Path(sysconfig.get_path("purelib", names, scheme))
    python = programs / ("python.exe" if os.name == "nt" else "python")
    options = ["--no-deps", "--no-index", "--quiet", "--disable-pip-version-check"]
    run([sys.executable, "-m", "pip", "--python", python, "install", *options, wheel])
    # A .pth line only adds that folder: the editable install's own .pth in it is not read, so
    # the checkout stays out of reach.
    (packages / "borrowed.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    return programs, packages


def run(command: list[str | Path], folder: Path | None = None) -> str:
    """What the command prints; its whole output is in the failure where it fails."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    done = subprocess.run(
        [str(part) for part in command],
        cwd=folder,
        env=kept,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, f"{done.stdout}\n{done.stderr}"
    return done.stdout


def files_under(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
