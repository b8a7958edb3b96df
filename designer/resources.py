"""Where the files that come with the program are, in a checkout and in an installed copy.

A checkout keeps `resources/` and `samples/` beside the package; the wheel carries them inside it.
"""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def _folder(name: str) -> Path:
    inside = _PACKAGE / name
    return inside if inside.is_dir() else _PACKAGE.parent / name


def resource_path(*parts: str) -> Path:
    """Path of a file or folder in `resources/`: `resource_path("fonts", "OFL.txt")`.

    Raises FileNotFoundError, naming the path, where there is no such file.
    """
    path = _folder("resources").joinpath(*parts)
    if not path.exists():
        raise FileNotFoundError(f"Rillwright's own file {path} is missing; install it again.")
    return path


def sample_paths() -> list[Path]:
    """The sample designs (`*.rill`), sorted by file name; an empty list where there are none."""
    return sorted(_folder("samples").glob("*.rill"))
