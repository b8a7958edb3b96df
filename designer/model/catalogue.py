"""The parts catalogue: parts, crops and limits read from `resources/`, each value with evidence.

A catalogue file lists its sources once under `[sources]`; a record names for each value the
source it comes from under `evidence`, or one `default` for all of them.
"""

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from functools import cache, lru_cache
from typing import Any, TypeVar, get_args, get_type_hints

from designer.model.parts import Crop, Evidence, Limit, Part, PipePart
from designer.resources import resource_path

MEASURED = Evidence("measured", "measured by the grower")
_CLASSES: dict[str, type] = {
    kind: cls for cls in get_args(Part) for kind in get_args(get_type_hints(cls)["kind"])
}

PartType = TypeVar("PartType")


@dataclass(frozen=True, eq=False)
class Catalogue:
    """Parts, crops and limits by id. `evidence[(id, field)]` says where a value comes from.
    `grades` are the ids of the timber grades, whose values only the stand reads."""

    parts: Mapping[str, Part]
    crops: Mapping[str, Crop]
    limits: Mapping[str, Limit]
    evidence: Mapping[tuple[str, str], Evidence]
    grades: tuple[str, ...]

    def part(self, part_id: str, kind: type[PartType]) -> PartType:
        """The part with this id; KeyError when there is none, TypeError when of another kind."""
        part = self.parts[part_id]
        if not isinstance(part, kind):
            raise TypeError(f"{part_id} is a {part.kind}, not a {kind.__name__}")
        return part

    def of_kind(self, kind: str) -> tuple[Part, ...]:
        """All parts of one kind, in catalogue order."""
        return tuple(part for part in self.parts.values() if part.kind == kind)

    def wider_pipe(
        self, than: PipePart, *, outside_diameter: float = 0.0, bore: float = 0.0
    ) -> PipePart | None:
        """The next wider pipe that is wide enough, sold in the same measure, inch or mm, if `than`
        is a pipe of this catalogue."""
        measure = next((end for end in ("-in", "-mm") if than.id.endswith(end)), "")
        return min(
            (
                pipe
                for pipe in self.parts.values()
                if isinstance(pipe, PipePart)
                and pipe.id.endswith(measure)
                and pipe.outside_diameter > than.outside_diameter
                and pipe.outside_diameter >= outside_diameter
                and pipe.bore >= bore
            ),
            key=lambda pipe: pipe.outside_diameter,
            default=None,
        )

    def limit(self, name: str) -> float:
        """The value of a limit, in its own unit."""
        return self.limits[name].value

    def source(self, name: str) -> str:
        """Where a limit comes from, as printed beside a finding."""
        return str(self.limits[name].evidence)

    def evidence_of(self, part_id: str, field_name: str) -> Evidence:
        """Where one value of a part comes from; own parts are measured by the grower."""
        return self.evidence.get((part_id, field_name), MEASURED)

    def with_own(self, own_parts: tuple[Part, ...]) -> "Catalogue":
        """This catalogue with the design's own parts; an own part wins over one of the same id."""
        return _with_own(self, own_parts) if own_parts else self


@cache
def load_catalogue() -> Catalogue:
    """The catalogue that ships with the program."""
    parts: dict[str, Part] = {}
    evidence: dict[tuple[str, str], Evidence] = {}
    for path in sorted(resource_path("parts").glob("*.toml")):
        for record, sources in _records(tomllib.loads(path.read_text("utf-8")), "part"):
            part = _CLASSES[record["kind"]](**record)
            parts[part.id] = part
            evidence.update(_evidence(part.id, part, sources))
    crops: dict[str, Crop] = {}
    for record, sources in _records(tomllib.loads(resource_path("crops.toml").read_text()), "crop"):
        crop = Crop(**record)
        crops[crop.id] = crop
        evidence.update(_evidence(crop.id, crop, sources))
    limits = {
        record.pop("id"): Limit(**record, evidence=sources["default"])
        for record, sources in _records(
            tomllib.loads(resource_path("limits.toml").read_text("utf-8")), "limit"
        )
    }
    timber = tomllib.loads(resource_path("timber.toml").read_text("utf-8"))
    grades = tuple(record["id"] for record in timber["grade"])
    return Catalogue(parts, crops, limits, evidence, grades)


@lru_cache(maxsize=16)
def _with_own(base: Catalogue, own_parts: tuple[Part, ...]) -> Catalogue:
    own = {part.id: part for part in own_parts}
    kept = {key: value for key, value in base.evidence.items() if key[0] not in own}
    return replace(base, parts={**base.parts, **own}, evidence=kept)


def _records(
    document: Mapping[str, Any], name: str
) -> Iterable[tuple[dict[str, Any], dict[str, Evidence]]]:
    sources = {key: Evidence(**value) for key, value in document["sources"].items()}
    for record in document[name]:
        cited = record.pop("evidence")
        cited = {"default": cited} if isinstance(cited, str) else cited
        yield record, {field: sources[key] for field, key in cited.items()}


def _evidence(
    part_id: str, record: Part | Crop, cited: Mapping[str, Evidence]
) -> dict[tuple[str, str], Evidence]:
    numeric = [f.name for f in fields(record) if isinstance(getattr(record, f.name), int | float)]
    return {(part_id, name): cited[name] if name in cited else cited["default"] for name in numeric}
