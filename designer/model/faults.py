"""What is wrong with a design file, in sentences that a grower can act on.

A fault has a place ("run 'North bed', bucket 3, station") and says what is there and what is
allowed. The validator's own wording is never shown.
"""

import difflib
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from designer.model.design import Design
from designer.model.json_text import Loc, format_number

_LISTS = {
    "runs": "run",
    "buckets": "bucket",
    "obstacles": "obstacle",
    "own_parts": "own part",
    "accepted": "acceptance",
    "outline": "outline point",
    "return_path": "return path point",
    "feed_path": "feed path point",
    "supports": "support",
    "ground": "ground level",
    "subjects": "subject",
}
_TYPES = {
    "float_type": "a number",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "bool_type": "true or false",
    "string_type": "a text in double quotes",
    "tuple_type": "a list in square brackets",
    "dataclass_type": "a record in curly brackets",
    "dict_type": "a record in curly brackets",
    "finite_number": "an ordinary number",
}
_BOUNDS = {
    "greater_than": ("above", "gt"),
    "greater_than_equal": ("at least", "ge"),
    "less_than": ("below", "lt"),
    "less_than_equal": ("at most", "le"),
}


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault: `place` is the subject of the sentence, `text` the rest without a full stop."""

    place: str
    text: str

    def __str__(self) -> str:
        return f"{self.place} {self.text}"


class DesignError(ValueError):
    """A design that cannot be opened. `message` is one sentence about the first of `faults`."""

    def __init__(self, faults: Sequence[Fault], opening: str = "", note: str = "") -> None:
        self.faults = tuple(faults)
        self.place = self.faults[0].place
        clause = f"{opening}{self.faults[0]}"
        others = len(self.faults) - 1
        count = f"and {others} more {'fault' if others == 1 else 'faults'}" if others else ""
        if count or note:
            clause += f" ({'; '.join(filter(None, (count, note)))})"
        ending = "" if clause.endswith("?") else "."
        self.message = clause[0].upper() + clause[1:] + ending
        super().__init__(self.message)


def place_of(loc: Loc, run_names: Sequence[str] = ()) -> str:
    """A place in words. A run goes by its name where that is its own, else by its number."""
    words: list[str] = []
    for before, step in zip(("", *loc), loc, strict=False):
        if isinstance(step, str):
            words.append(step)
        else:
            words[-1] = f"{_LISTS.get(str(before), str(before))} {step + 1}"
            if before == "runs" and step < len(run_names):
                name = run_names[step]
                if name.strip() and run_names.count(name) == 1:
                    words[-1] = f"run {quoted(name)}"
    return ", ".join(words) or "the design"


def quoted(text: str) -> str:
    """A text from a file as shown in a sentence: on one line, and short."""
    text = "".join(letter if letter.isprintable() else " " for letter in text)
    text = " ".join(text.split())
    return f"'{text if len(text) <= 60 else text[:57] + '...'}'"


def did_you_mean(wrong: str, choices: Iterable[str]) -> str | None:
    """The choice that is most like a misspelt word, or None."""
    near = difflib.get_close_matches(wrong, list(choices), n=1, cutoff=0.6)
    return near[0] if near else None


def faults_in_words(errors: Sequence[Mapping[str, Any]], document: Any) -> tuple[Fault, ...]:
    """The faults a pydantic validation found (`ValidationError.errors()`) in a document."""
    names = _run_names(document)
    faults: list[Fault] = []
    unknown = [error for error in errors if error["type"] == "unexpected_keyword_argument"]
    misspelt: set[Loc] = set()
    for error in unknown:
        *parent, field = error["loc"]
        absent = [name for name in _field_names(parent) if name not in _at(document, parent)]
        meant = did_you_mean(field, absent)
        if meant:
            misspelt.add((*parent, meant))
        hint = f"did you mean {quoted(meant)}?" if meant else "remove it"
        place = place_of(_without_kind(tuple(parent)), names)
        faults.append(Fault(place, f"has an unknown field {quoted(field)}; {hint}"))
    for error in errors:
        explained = error["type"] == "missing" and error["loc"] in misspelt
        if error["type"] != "unexpected_keyword_argument" and not explained:
            faults.append(_fault(error, names))
    return tuple(faults)


def _at(document: Any, loc: Sequence[str | int]) -> Any:
    for step in _without_kind(tuple(loc)):
        document = document[step]
    return document


def _fault(error: Mapping[str, Any], names: Sequence[str]) -> Fault:
    loc, kind, ctx = _without_kind(error["loc"]), error["type"], error.get("ctx", {})
    given = error["input"]
    if kind == "missing":
        return Fault(place_of(loc[:-1], names), f"has no '{loc[-1]}'; add it")
    if kind == "union_tag_not_found":
        return Fault(place_of(loc, names), "has no 'kind'; add it")
    if kind == "union_tag_invalid":
        loc, given, needed = (*loc, "kind"), ctx["tag"], _any_of(ctx["expected_tags"].split(", "))
    elif kind == "literal_error":
        needed = ctx["expected"]
    elif kind in _BOUNDS:
        word, key = _BOUNDS[kind]
        needed = f"{word} {format_number(ctx[key])}"
    elif kind == "string_too_short":
        return Fault(place_of(loc, names), "is an empty text; write something there")
    elif kind == "string_too_long":
        text = f"is {len(given)} characters long, but may be at most {ctx['max_length']}"
        return Fault(place_of(loc, names), text)
    else:
        needed = _TYPES.get(kind, "another value")
    return Fault(place_of(loc, names), f"is {_shown(given)}, but must be {needed}")


def _any_of(choices: Sequence[str]) -> str:
    return ", ".join(choices[:-1]) + f" or {choices[-1]}"


def _shown(value: Any) -> str:
    if isinstance(value, str):
        return f"the text {quoted(value)}"
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, int | float):
        if not math.isfinite(value):
            return "not a number (NaN)" if math.isnan(value) else "infinite"
        return format_number(value) if abs(value) < 1e9 else f"{value:.3g}"
    return "a list" if isinstance(value, list | tuple) else "a record"


def _run_names(document: Any) -> tuple[str, ...]:
    runs = document.get("runs") if isinstance(document, dict) else None
    if not isinstance(runs, list):
        return ()
    names = [run.get("name") if isinstance(run, dict) else None for run in runs]
    return tuple(name if isinstance(name, str) else "" for name in names)


def _without_kind(loc: Loc) -> Loc:
    # Below an own part the validator adds the part's kind to the way.
    return loc[:2] + loc[3:] if loc[:1] == ("own_parts",) else loc


def _field_names(loc: Sequence[str | int]) -> list[str]:
    """Names of the fields of the record at a place, following the records' types."""
    record: Any = Design
    for step in loc:
        choices = [c for c in get_args(record) if c is not NoneType]
        if get_origin(record) is tuple:
            record = choices[0]
        elif get_origin(record) in (Union, UnionType) and len(choices) > 1:
            record = next(c for c in choices if step in get_args(get_type_hints(c)["kind"]))
        else:
            hint = get_type_hints(record)[str(step)]
            kept = [c for c in get_args(hint) if c is not NoneType]
            record = kept[0] if NoneType in get_args(hint) else hint
    return [field.name for field in fields(record)]
