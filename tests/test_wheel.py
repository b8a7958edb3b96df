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

FIND = """
from designer.resources import resource_path, sample_paths
print(resource_path("fonts", "OFL.txt"), *sample_paths(), sep="\\n")
"""


@pytest.mark.slow
def test_the_wheel_carries_resources_and_samples_and_makes_a_build_sheet(tmp_path: Path) -> None:
    wheels = tmp_path / "wheels"
    run(
        [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", wheels, REPOSITORY]
    )
    (wheel,) = wheels.glob(f"rillwright-{designer.__version__}-*.whl")

    programs, packages = installed_copy(tmp_path / "elsewhere", wheel)
    installed = packages / "designer"
    # Pictures are for the README only.
    wanted = {f for f in files_under(REPOSITORY / "resources") if not f.startswith("pictures/")}
    assert files_under(installed / "resources") == wanted
    assert files_under(installed / "samples") == files_under(REPOSITORY / "samples")
    assert not (packages / "tests").exists()

    # The module resources.py stands beside the folder resources/ there, and must not be hidden.
    found = run([python_in(programs), "-c", FIND], tmp_path).splitlines()
    assert Path(found[0]) == installed / "resources" / "fonts" / "OFL.txt"
    samples = (installed / "samples").glob("*.rill")
    assert [Path(line) for line in found[1:]] == sorted(samples)

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
    options = ["--no-deps", "--no-index", "--quiet", "--disable-pip-version-check"]
    run([sys.executable, "-m", "pip", "--python", python_in(programs), "install", *options, wheel])
    # A .pth line only adds that folder: the editable install's own .pth in it is not read, so
    # the checkout stays out of reach.
    (packages / "borrowed.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    return programs, packages


def python_in(programs: Path) -> Path:
    return programs / ("python.exe" if os.name == "nt" else "python")


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
