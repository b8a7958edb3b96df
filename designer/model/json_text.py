"""JSON as a design file writes it: one way to write a value, and strict reading.

Writing is stable, so that two saves of one design are the same bytes and a moved bucket is one
changed line. Reading refuses what a usual JSON reader lets pass: a field given twice.
"""

import json
from collections import Counter
from collections.abc import Iterator
from typing import Any

Loc = tuple[str | int, ...]
"""The way to a value: field names, and positions in lists counted from 0."""

MAX_DEPTH = 30
"""Deepest nesting read; a design needs seven levels."""
MAX_VALUES = 200_000
"""Most values read in all; a bed of 1,000 buckets has about 5,000."""

_INDENT = "  "
_PLAIN_REASONS = {
    "Expecting value": "a value is missing or misspelt",
    "Expecting property name enclosed in double quotes": "a name in double quotes is missing",
    "Expecting ':' delimiter": "a colon is missing",
    "Expecting ',' delimiter": "a comma or a closing bracket is missing",
    "Illegal trailing comma before end of object": "a comma stands before a closing bracket",
    "Illegal trailing comma before end of array": "a comma stands before a closing bracket",
    "Extra data": "something follows after the end",
    "Unterminated string starting at": "a text has no closing quote",
    "Invalid control character at": "a text holds a line break or another control character",
    "Invalid \\escape": "a backslash is followed by the wrong letter",
    "Invalid \\uXXXX escape": "a \\u is not followed by four digits",
}


class JsonError(ValueError):
    """Text that is not usable JSON; the message is a clause without a full stop."""


class RepeatedFieldError(JsonError):
    """An object that gives one field twice; `loc` leads to the object, `field` is its name."""

    def __init__(self, loc: Loc, field: str) -> None:
        super().__init__(f"the field '{field}' is given twice")
        self.loc = loc
        self.field = field


class _Repeating(dict[str, Any]):
    """An object in which a field was given twice."""

    repeated: str


def parse_json(text: str) -> Any:
    """The value of a JSON text. NaN and infinities pass, to be refused where their place is known.

    Raises JsonError, naming line and column, or RepeatedFieldError.
    """
    try:
        value = json.loads(text, object_pairs_hook=_record, parse_int=_whole)
    except RecursionError:
        raise JsonError("its brackets are nested too deeply") from None
    except json.JSONDecodeError as error:
        what = error.msg.removesuffix(" at").removesuffix(":")
        reason = _PLAIN_REASONS.get(error.msg) or _PLAIN_REASONS.get(what, "it cannot be read")
        raise JsonError(f"line {error.lineno}, column {error.colno}: {reason}") from None
    for count, (loc, member) in enumerate(_walk(value)):
        if count == MAX_VALUES:
            raise JsonError("it holds far more than a design can")
        if len(loc) > MAX_DEPTH:
            raise JsonError("its brackets are nested too deeply")
        if isinstance(member, _Repeating):
            raise RepeatedFieldError(loc, member.repeated)
        texts = [*member] if isinstance(member, dict) else [member]
        if any(isinstance(text, str) and not _encodable(text) for text in texts):
            raise JsonError("a text holds half a character (a lone \\ud800 to \\udfff)")
    return value


def format_json(document: dict[str, Any]) -> str:
    """A document as text: what holds only plain values on one line, all else indented.

    Lists of points (`x` and `y`) count as plain. Numbers have at most three decimals. Raises
    ValueError for a number that is not finite.
    """
    members = (f"{_INDENT}{_quoted(key)}: {_text(v, _INDENT)}" for key, v in document.items())
    return "{\n" + ",\n".join(members) + "\n}\n"


def format_number(value: float) -> str:
    """A number to three decimals, as short as it can be: `300`, `0.5`, never an exponent or -0.

    Raises ValueError for NaN and infinities.
    """
    if value != value or value in (float("inf"), float("-inf")):
        raise ValueError("not a finite number")
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _record(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    record = dict(pairs)
    if len(record) == len(pairs):
        return record
    repeating = _Repeating(record)
    counts = Counter(key for key, _ in pairs)
    repeating.repeated = next(key for key, count in counts.items() if count > 1)
    return repeating


def _whole(digits: str) -> int | float:
    # Python refuses to turn thousands of digits into an int; as a float they are infinite,
    # which is then refused with its place.
    return int(digits) if len(digits) <= 20 else float(digits)


def _walk(value: Any, loc: Loc = ()) -> Iterator[tuple[Loc, Any]]:
    """Each value with the way to it, in the order of the text, one step below MAX_DEPTH at most."""
    yield loc, value
    if len(loc) <= MAX_DEPTH and isinstance(value, dict | list):
        for key, member in value.items() if isinstance(value, dict) else enumerate(value):
            yield from _walk(member, (*loc, key))


def _encodable(text: str) -> bool:
    return text.isascii() or not any("\ud800" <= letter <= "\udfff" for letter in text)


def _text(value: Any, indent: str) -> str:
    if isinstance(value, dict):
        if all(_is_plain(member) for member in value.values()):
            return _one_line(value)
        inner = indent + _INDENT
        members = (f"{inner}{_quoted(key)}: {_text(v, inner)}" for key, v in value.items())
        return "{\n" + ",\n".join(members) + f"\n{indent}}}"
    if isinstance(value, list | tuple):
        if all(_is_plain(member) for member in value):
            return _one_line(value)
        inner = indent + _INDENT
        return "[\n" + ",\n".join(inner + _text(v, inner) for v in value) + f"\n{indent}]"
    return _one_line(value)


def _is_plain(value: Any) -> bool:
    is_point = isinstance(value, dict) and value.keys() == {"x", "y"}
    return is_point or not isinstance(value, dict | list | tuple)


def _one_line(value: Any) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_quoted(k)}: {_one_line(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_one_line(v) for v in value) + "]"
    if isinstance(value, float | int) and not isinstance(value, bool):
        return format_number(value)
    return _quoted(value)


def _quoted(value: str | bool | None) -> str:
    return json.dumps(value, ensure_ascii=False)
