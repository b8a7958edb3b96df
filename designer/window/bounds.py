"""What a field of a record allows, read from its annotations, and the sentence that refuses."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from types import NoneType
from typing import Any, get_args, get_type_hints

from annotated_types import Ge, Gt, Le, MaxLen, MinLen


@dataclass(frozen=True, slots=True)
class Bounds:
    """Limits of a number, and of the length of a text; None where there is none."""

    above: float | None = None
    at_least: float | None = None
    at_most: float | None = None
    shortest: int = 0
    longest: int | None = None

    def refusal(self, label: str, value: float, shown: Callable[[float], str]) -> str | None:
        """Why a number is refused, in one sentence; None when it is allowed."""
        if self.above is not None and value <= self.above:
            return f"{label} must be more than {shown(self.above)}."
        if self.at_least is not None and value < self.at_least:
            return f"{label} must be at least {shown(self.at_least)}."
        if self.at_most is not None and value > self.at_most:
            return f"{label} must be at most {shown(self.at_most)}."
        return None

    def text_refusal(self, label: str, text: str) -> str | None:
        """Why a text is refused, in one sentence; None when it is allowed."""
        if len(text) < self.shortest:
            return f"{label} cannot be empty."
        if self.longest is not None and len(text) > self.longest:
            return f"{label} can have {self.longest} letters at most; this has {len(text)}."
        return None


NO_BOUNDS = Bounds()


@cache
def bounds_of(record: type, name: str) -> Bounds:
    """The bounds of one field of a dataclass. KeyError when it has no such field."""
    hint: Any = get_type_hints(record, include_extras=True)[name]
    if NoneType in get_args(hint):
        hint = next(choice for choice in get_args(hint) if choice is not NoneType)
    found: dict[str, Any] = {}
    for limit in getattr(hint, "__metadata__", ()):
        match limit:
            case Gt(gt):
                found["above"] = gt
            case Ge(ge):
                found["at_least"] = ge
            case Le(le):
                found["at_most"] = le
            case MinLen(shortest):
                found["shortest"] = shortest
            case MaxLen(longest):
                found["longest"] = longest
    return Bounds(**found)
