"""What every test stands on: no screen, nobody's own settings, calm property tests."""

import gc
import os
import sys
import tempfile
import weakref
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

# Before the first import of Qt, which reads these once: no screen, and a home of its own.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
_home = tempfile.TemporaryDirectory(prefix="rillwright-tests-", ignore_cleanup_errors=True)
_HOME_VARIABLES = {
    "HOME": "",
    "USERPROFILE": "",
    "APPDATA": "roaming",
    "LOCALAPPDATA": "local",
    "XDG_CONFIG_HOME": "config",
    "XDG_DATA_HOME": "data",
    "XDG_CACHE_HOME": "cache",
    "XDG_STATE_HOME": "state",
}
for _variable, _folder in _HOME_VARIABLES.items():
    _path = Path(_home.name) / _folder
    _path.mkdir(exist_ok=True)
    os.environ[_variable] = str(_path)
if os.environ.get("LC_ALL") in {"C", "POSIX"}:  # Qt warns of a locale without UTF-8
    os.environ["LC_ALL"] = "C.UTF-8"
if "XDG_RUNTIME_DIR" not in os.environ:  # Qt warns of its lack, and wants it private
    _runtime = Path(_home.name) / "runtime"
    _runtime.mkdir(mode=0o700)
    os.environ["XDG_RUNTIME_DIR"] = str(_runtime)

import shiboken6  # noqa: E402 - after the home is set, as those below
from hypothesis import HealthCheck, settings  # noqa: E402
from PySide6.QtCore import QSettings, QStandardPaths  # noqa: E402

QStandardPaths.setTestModeEnabled(True)

# No deadline and no complaint about slow examples: tests are not timed, machines differ.
settings.register_profile(
    "calm", deadline=None, max_examples=50, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile(
    "ci", settings.get_profile("calm"), derandomize=True, database=None, print_blob=True
)
settings.load_profile("ci" if os.environ.get("CI") else "calm")


@pytest.fixture(autouse=True)
def own_settings(tmp_path: Path) -> None:
    """Give each test empty settings of its own, so that none finds what another one left."""
    for style in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
        QSettings.setPath(style, QSettings.Scope.UserScope, str(tmp_path / "settings"))


@pytest.fixture(autouse=True)
def collect_in_this_thread() -> Iterator[None]:
    """Collect garbage between the tests: a collection that starts in a worker's thread would
    destroy there the Qt objects that earlier tests left."""
    gc.disable()
    yield
    gc.collect(1)


@pytest.fixture(autouse=True, scope="module")
def drop_what_a_module_kept(request: pytest.FixtureRequest) -> Iterator[None]:
    """Forget after each module what its tests kept, such as files read by pdfplumber, and collect
    what outlived the quick collections: it would add up to gigabytes."""
    yield
    for kept in vars(request.module).values():
        if getattr(kept, "__module__", "").startswith("tests.") and hasattr(kept, "cache_clear"):
            kept.cache_clear()
    gc.collect()


@pytest.fixture(autouse=True)
def documents_closed(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Stop the work beside every document that a test opened, so that none goes on in the next."""
    module = sys.modules.get("designer.canvas.document")
    if module is None:
        yield
        return
    opened: list[weakref.ref[Any]] = []
    kind = module.WaterWork

    def made(*args: Any) -> Any:
        work = kind(*args)
        opened.append(weakref.ref(work))
        return work

    monkeypatch.setattr(module, "WaterWork", made)
    yield
    for work in filter(None, (one() for one in opened)):
        if shiboken6.isValid(work):
            work.stop()
        else:  # Qt has taken its document down
            work._thread.shutdown(wait=True, cancel_futures=True)
