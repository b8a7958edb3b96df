"""Kinds of templates and buckets as a person names them, in words."""

from __future__ import annotations

from difflib import get_close_matches

from designer.analysis import Analysis
from designer.sheet.template import KIND_WORDS, TemplateKind
from designer.takeoff.ranges import bucket_ranges

ALL = "all"
"""Asks for every kind."""


def kind_name(kind: TemplateKind) -> str:
    """What a kind is called in a command: "drain collar"."""
    return kind.replace("_", " ")


def kinds_named(words: str) -> frozenset[TemplateKind]:
    """The kinds named in "outlet, drain collar", or all. Raises ValueError for another name."""
    known: dict[str, TemplateKind] = {kind_name(kind): kind for kind in KIND_WORDS}
    found: set[TemplateKind] = set()
    for name in _names(words):
        plain = " ".join(name.lower().replace("-", " ").replace("_", " ").split())
        if plain == ALL:
            found.update(known.values())
        elif plain in known:
            found.add(known[plain])
        else:
            meant = get_close_matches(plain, known, 1)
            remedy = f"did you mean {meant[0]}?" if meant else f"choose from {', '.join(known)}."
            raise ValueError(f"There is no template {name!r}; {remedy}")
    if not found:
        raise ValueError(f"Name a template; choose from {', '.join(known)}.")
    return frozenset(found)


def buckets_named(analysis: Analysis, words: str) -> frozenset[str]:
    """The ids of the buckets named by their letters in "A, B", as on the drawings. Raises
    ValueError for a letter that no bucket has."""
    known = {analysis.bucket_label(bucket_id).upper(): bucket_id for bucket_id in analysis.places}
    if not known:
        raise ValueError("There is no bucket in this design yet.")
    every = bucket_ranges(analysis, list(analysis.places))
    found = set()
    for name in _names(words):
        if name.upper() not in known:
            raise ValueError(f"There is no bucket {name!r}; the bed has {every}.")
        found.add(known[name.upper()])
    if not found:
        raise ValueError(f"Name a bucket; the bed has {every}.")
    return frozenset(found)


def _names(words: str) -> list[str]:
    return [name.strip() for name in words.split(",") if name.strip()]
