"""The first start sets up a checkout once, says plainly what is wrong, and leaves others alone."""

import ast
import json
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest

from designer import bootstrap, systemlibs

REPOSITORY = Path(__file__).resolve().parent.parent
PROJECT = """\
[build-system]
requires = ["hatchling"]
[project]
name = "rillwright"
requires-python = ">=3.11"
dependencies = ["numpy"]
[project.optional-dependencies]
tests = ["pytest"]
[tool.ruff]
line-length = 100
"""


class Machine:
    """A checkout on a machine whose venv, pip and exec only record what was asked of them."""

    def __init__(self, root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.root = root
        self.pip_runs: list[str] = []
        self.pip_result: tuple[int, list[str]] = (0, [])
        self.pip_raises: type[BaseException] | None = None
        self.venvs_made = 0
        self.started: list[list[str]] = []
        self.usable = True
        self.probes = 0
        self.missing: list[systemlibs.Library] = []
        self.apt: list[list[str]] = []
        self.root_user = False
        (root / "pyproject.toml").write_text(PROJECT, encoding="utf-8")
        monkeypatch.setattr(bootstrap, "checkout_root", lambda: root)
        monkeypatch.setattr(bootstrap, "run_pip", self.run_pip)
        monkeypatch.setattr(bootstrap, "make_venv", self.make_venv)
        monkeypatch.setattr(bootstrap, "is_usable", lambda _: self.python.exists() and self.usable)
        monkeypatch.setattr(bootstrap, "go_on_inside", self.go_on_inside)
        monkeypatch.setattr(systemlibs, "missing_libraries", self.missing_libraries)
        monkeypatch.setattr(systemlibs, "may_install", lambda: self.root_user)
        monkeypatch.setattr(systemlibs, "apt_install", self.apt_install)

    @property
    def python(self) -> Path:
        return bootstrap.venv_python(self.root)

    def make_venv(self, root: Path) -> None:
        self.venvs_made += 1
        self.usable = True
        self.python.parent.mkdir(parents=True, exist_ok=True)
        self.python.touch()
        (root / ".venv" / "pyvenv.cfg").touch()

    def run_pip(self, command: Sequence[str], root: Path) -> tuple[int, list[str]]:
        self.pip_runs.append(command[command.index("--editable") + 1])
        if self.pip_raises:
            raise self.pip_raises
        return self.pip_result

    def go_on_inside(self, root: Path, module: str, arguments: Sequence[str]) -> None:
        self.started.append([module, *arguments])

    def missing_libraries(self) -> list[systemlibs.Library]:
        self.probes += 1
        return self.missing

    def apt_install(self, packages: list[str]) -> bool:
        self.apt.append(packages)
        self.missing = []
        return True

    def start(self, *arguments: str, extras: Sequence[str] = (), **more: Any) -> None:
        bootstrap.prepare("designer", list(arguments), extras, **more)


@pytest.fixture
def machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Machine:
    return Machine(tmp_path, monkeypatch)


def test_the_first_start_sets_up_and_passes_the_arguments_on(machine: Machine) -> None:
    machine.start("sheet", "bed.rill")
    assert machine.venvs_made == 1
    assert machine.pip_runs == [str(machine.root)]
    assert machine.started == [["designer", "sheet", "bed.rill"]]


def test_the_second_start_runs_neither_pip_nor_the_library_search(machine: Machine) -> None:
    machine.start()
    machine.start()
    assert machine.venvs_made == 1
    assert len(machine.pip_runs) == 1
    assert machine.probes == 1
    assert len(machine.started) == 2


def test_a_changed_dependency_is_installed_and_other_settings_are_not_minded(
    machine: Machine,
) -> None:
    project = machine.root / "pyproject.toml"
    machine.start()
    project.write_text(PROJECT.replace("line-length = 100", "line-length = 90"), encoding="utf-8")
    machine.start()
    assert len(machine.pip_runs) == 1
    project.write_text(PROJECT.replace('"numpy"', '"numpy>=2"'), encoding="utf-8")
    machine.start()
    assert len(machine.pip_runs) == 2
    assert machine.venvs_made == 1


def test_the_tests_extra_is_added_once_and_then_kept(machine: Machine) -> None:
    machine.start()
    machine.start(extras=["tests"])
    machine.start()
    machine.start(extras=["tests"])
    assert machine.pip_runs == [str(machine.root), f"{machine.root}[tests]"]
    project = machine.root / "pyproject.toml"
    project.write_text(PROJECT.replace('"numpy"', '"numpy>=2"'), encoding="utf-8")
    machine.start()
    assert machine.pip_runs[-1] == f"{machine.root}[tests]"


def test_a_venv_made_by_hand_is_kept(machine: Machine) -> None:
    machine.make_venv(machine.root)
    machine.start()
    assert machine.venvs_made == 1
    assert len(machine.pip_runs) == 1


def test_a_start_broken_off_in_pip_is_made_anew(
    machine: Machine, capsys: pytest.CaptureFixture[str]
) -> None:
    machine.pip_raises = KeyboardInterrupt
    with pytest.raises(SystemExit, match="Stopped"):
        machine.start()
    assert machine.started == []
    machine.pip_raises = None
    machine.start()
    assert machine.venvs_made == 2
    assert len(machine.started) == 1


def test_a_venv_that_cannot_run_pip_is_made_anew(machine: Machine) -> None:
    machine.make_venv(machine.root)
    machine.usable = False
    machine.start()
    assert machine.venvs_made == 2


def test_a_venv_that_lost_its_interpreter_is_made_anew(machine: Machine) -> None:
    machine.start()
    machine.python.unlink()
    machine.start()
    assert machine.venvs_made == 2
    assert len(machine.started) == 2


@pytest.mark.parametrize("stamp", ["", "{", "[]", '{"key": 3}'])
def test_a_spoilt_stamp_only_costs_another_set_up(machine: Machine, stamp: str) -> None:
    machine.start()
    (machine.root / ".venv" / "rillwright.json").write_text(stamp, encoding="utf-8")
    machine.start()
    assert len(machine.pip_runs) == 2
    assert len(machine.started) == 2


@pytest.mark.skipif(os.name == "nt", reason="a venv on Windows holds a copy, not a link")
def test_a_replaced_system_python_sets_up_again(machine: Machine) -> None:
    machine.start()
    newer = machine.root / "python-next"
    newer.touch()
    machine.python.unlink()
    machine.python.symlink_to(newer)
    machine.start()
    assert len(machine.pip_runs) == 2


def test_failing_pip_is_told_in_a_sentence_with_its_last_lines(machine: Machine) -> None:
    lines = [f"line {number}" for number in range(40)]
    machine.pip_result = (1, [*lines, "ERROR: no matching distribution"])
    with pytest.raises(SystemExit) as stopped:
        machine.start()
    told = str(stopped.value)
    assert told.startswith("Rillwright could not be set up because pip failed; check")
    assert told.endswith("ERROR: no matching distribution")
    assert "line 39" in told
    assert "line 20" not in told
    assert machine.started == []


def test_after_failing_pip_the_next_start_tries_again_in_the_same_venv(machine: Machine) -> None:
    machine.pip_result = (1, ["no network"])
    with pytest.raises(SystemExit):
        machine.start()
    machine.pip_result = (0, [])
    machine.start()
    assert machine.venvs_made == 1
    assert len(machine.started) == 1


def test_a_folder_that_may_not_be_written_is_named(
    machine: Machine, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(root: Path) -> None:
        raise PermissionError(13, "Permission denied", str(root / ".venv"))

    monkeypatch.setattr(bootstrap, "make_venv", refuse)
    with pytest.raises(SystemExit, match=r"could not be set up in .*Permission denied"):
        machine.start()


def test_an_older_python_is_refused_in_one_sentence() -> None:
    with pytest.raises(bootstrap.SetUpError) as refused:
        bootstrap.require_python((3, 8))
    assert str(refused.value) == (
        "Rillwright needs Python 3.11 or newer and this is Python 3.8; "
        "install a newer one and start again with it."
    )
    bootstrap.require_python((3, 11))
    bootstrap.require_python((4, 0))


@pytest.mark.parametrize(
    "name",
    [
        "designer/__init__.py",
        "designer/__main__.py",
        "designer/bootstrap.py",
        "designer/systemlibs.py",
        "tests/__init__.py",
        "tests/__main__.py",
    ],
)
def test_what_an_older_python_reads_parses_there(name: str) -> None:
    source = (REPOSITORY / name).read_text(encoding="utf-8")
    assert ast.parse(source, name, feature_version=(3, 8)).body


def test_an_installed_copy_is_left_alone(tmp_path: Path) -> None:
    package = tmp_path / "site-packages" / "designer"
    package.mkdir(parents=True)
    assert bootstrap.checkout_root(package) is None
    beside = package.parent / "pyproject.toml"
    beside.write_text('[project]\nname = "another"\n', encoding="utf-8")
    assert bootstrap.checkout_root(package) is None
    beside.write_text('[project]\nname = "rillwright"\n', encoding="utf-8")
    assert bootstrap.checkout_root(package) == package.parent


def test_this_repository_is_seen_as_a_checkout() -> None:
    assert bootstrap.checkout_root() == REPOSITORY


def test_a_start_from_inside_the_venv_is_left_alone(
    machine: Machine, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "prefix", str(machine.root / ".venv"))
    machine.start()
    assert machine.pip_runs == []
    assert machine.started == []
    assert machine.probes == 0


def test_a_second_start_at_the_same_time_waits_and_finds_all_done(
    machine: Machine, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = bootstrap.alone(machine.root)

    class AfterTheOther:
        """Stands for the lock: while this start waits for it, another one finishes."""

        def __enter__(self) -> None:
            with held:
                machine.make_venv(machine.root)
                bootstrap.set_up(machine.root, ())

        def __exit__(self, *_: object) -> None:
            pass

    monkeypatch.setattr(bootstrap, "alone", lambda _: AfterTheOther())
    machine.start()
    assert len(machine.pip_runs) == 1
    assert len(machine.started) == 1


def test_python_without_venv_names_the_package_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bootstrap.importlib.util, "find_spec", lambda name: None)
    monkeypatch.setattr(systemlibs, "may_install", lambda: False)
    wanted = "python{}.{}-venv".format(*sys.version_info[:2])
    with pytest.raises(bootstrap.SetUpError) as refused:
        bootstrap.require_venv_module()
    assert f"sudo apt-get install -y {wanted}" in str(refused.value)


def test_python_without_venv_gets_it_as_root(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[list[str]] = []

    def install(packages: list[str]) -> bool:
        asked.append(packages)
        return True

    monkeypatch.setattr(bootstrap.importlib.util, "find_spec", lambda name: None)
    monkeypatch.setattr(systemlibs, "may_install", lambda: True)
    monkeypatch.setattr(systemlibs, "apt_install", install)
    bootstrap.require_venv_module()
    assert asked == [["python{}.{}-venv".format(*sys.version_info[:2])]]


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("Collecting shapely>=2.0 (from rillwright==0.1.0)", "  Fetching shapely"),
        ("  Downloading x-6.11-cp310.whl (81.3 MB)", "    81.3 MB to download"),
        ("  Downloading y-1.0-py3.whl (12 kB)", ""),
        ("Installing collected packages: numpy, shapely", "  Installing 2 packages"),
        ("Installing collected packages: rillwright", "  Installing Rillwright"),
        ("Requirement already satisfied: pip", ""),
    ],
)
def test_pip_is_told_in_plain_words(line: str, told: str) -> None:
    assert bootstrap.in_plain_words(line) == told


# System libraries


def only_lacking(*names: str) -> Callable[[str], object]:
    def load(name: str) -> object:
        if name in names:
            raise OSError(f"{name}: cannot open shared object file")
        return object()

    return load


EGL = systemlibs.Library("libEGL.so.1", "libegl1")
CURSOR = systemlibs.Library("libxcb-cursor.so.0", "libxcb-cursor0", True)


def test_missing_libraries_are_found_by_their_loader_names() -> None:
    lacking = only_lacking("libEGL.so.1", "libxcb-cursor.so.0")
    assert systemlibs.missing_libraries(lacking, "linux") == [EGL, CURSOR]
    assert systemlibs.missing_libraries(only_lacking(), "linux") == []


@pytest.mark.parametrize("platform", ["win32", "darwin"])
def test_only_linux_is_searched(platform: str) -> None:
    assert systemlibs.missing_libraries(only_lacking("libEGL.so.1"), platform) == []


def test_two_libraries_of_one_package_are_installed_once() -> None:
    missing = systemlibs.missing_libraries(
        only_lacking("libglib-2.0.so.0", "libgthread-2.0.so.0"), "linux"
    )
    assert [library.name for library in missing] == ["libglib-2.0.so.0", "libgthread-2.0.so.0"]
    assert systemlibs.packages_of(missing) == ["libglib2.0-0"]


def test_the_window_is_not_tried_without_its_libraries(machine: Machine) -> None:
    machine.missing = [EGL, CURSOR]
    with pytest.raises(SystemExit) as stopped:
        machine.start()
    told = str(stopped.value)
    assert "libEGL.so.1, libxcb-cursor.so.0" in told
    assert told.endswith("    sudo apt-get install -y libegl1 libxcb-cursor0")
    assert machine.pip_runs == []  # found before the long download, not after


def test_as_root_missing_libraries_are_installed(machine: Machine) -> None:
    machine.missing = [EGL]
    machine.root_user = True
    machine.start()
    assert machine.apt == [["libegl1"]]
    assert len(machine.started) == 1
    assert json.loads((machine.root / ".venv" / "rillwright.json").read_text())["libraries"]


def test_screenless_tests_go_on_without_the_x11_libraries(
    machine: Machine, capsys: pytest.CaptureFixture[str]
) -> None:
    machine.missing = [CURSOR]
    machine.start(stops=systemlibs.stops_screenless)
    assert len(machine.started) == 1
    assert "sudo apt-get install -y libxcb-cursor0" in capsys.readouterr().err
    machine.missing = [EGL]
    with pytest.raises(SystemExit):
        machine.start(stops=systemlibs.stops_screenless)


def test_a_command_that_only_writes_files_goes_on_without_any(machine: Machine) -> None:
    machine.missing = [EGL, CURSOR]
    machine.start("sheet", stops=systemlibs.stops_nothing)
    assert machine.started == [["designer", "sheet"]]


def test_missing_libraries_are_looked_for_again_until_found(machine: Machine) -> None:
    machine.missing = [CURSOR]
    machine.start(stops=systemlibs.stops_screenless)
    machine.missing = []
    machine.start()
    machine.start()
    assert machine.probes == 2


def test_a_wayland_session_opens_a_window_without_the_x11_libraries(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("WAYLAND_DISPLAY", "wayland-0")
    assert not systemlibs.stops_window([CURSOR])
    assert systemlibs.stops_window([EGL, CURSOR])
    monkeypatch.delenv("WAYLAND_DISPLAY")
    assert systemlibs.stops_window([CURSOR])
