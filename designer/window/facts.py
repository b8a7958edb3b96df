"""The computed texts beside the fields, in the person's units."""

from collections.abc import Callable

from designer.analysis import Analysis
from designer.layout.run import Place, RunLayout
from designer.layout.tails import TailWindow
from designer.layout.volume import bucket_litres, reservoir_litres
from designer.units import format_length, format_slope, format_volume, style_for
from designer.window.entries import Fact

NONE_YET = "no bucket yet"


def say(analysis: Analysis, mm: float) -> str:
    """A length in the design's units."""
    return format_length(mm, style_for(analysis.design.units))


def level(analysis: Analysis, mm: float) -> str:
    """A level above the datum, in words."""
    text = say(analysis, abs(mm))
    return f"{text} below" if mm < 0 else f"{text} above"


def window_text(analysis: Analysis, window: TailWindow | None) -> str:
    """The lengths of a tail window, or that none fits."""
    if window is None:
        return NONE_YET
    shortest, longest = say(analysis, window.shortest), say(analysis, window.longest)
    if window.open:
        return f"{shortest} to {longest}"
    return f"none fits: at least {shortest} to reach in, at most {longest} to stay clear"


def _of_bucket(text: Callable[[Analysis, RunLayout, Place], str]) -> Callable[[Analysis, str], str]:
    return lambda analysis, bucket_id: text(analysis, *analysis.places[bucket_id])


BUCKET_DISTANCE = Fact(
    "Bucket's centre from the drain",
    _of_bucket(lambda a, _, place: say(a, abs(place.offset))),
)
BUCKET_WINDOW = Fact(
    "Tails that fit here", _of_bucket(lambda a, _, place: window_text(a, place.window))
)
BUCKET_TAIL = Fact(
    "Its tail is cut to", _of_bucket(lambda a, layout, place: say(a, layout.tail_length(place)))
)
BUCKET_STAND = Fact("Its base, by the ground", _of_bucket(lambda a, _, place: level(a, place.base)))
BUCKET_VOLUME = Fact(
    "Holds to the rim",
    _of_bucket(lambda a, _, place: format_volume(bucket_litres(place.part), a.design.units)),
)


def _medium(analysis: Analysis, run_id: str) -> str:
    layout = analysis.run(run_id)
    litres = bucket_litres(layout.parts.bucket, layout.run.medium_depth)
    return f"{format_volume(litres, analysis.design.units)} in each bucket"


def _distance(analysis: Analysis, run_id: str) -> str:
    places = analysis.run(run_id).places
    return say(analysis, abs(places[0].offset)) if places else NONE_YET


def _slope(analysis: Analysis, run_id: str) -> str:
    return format_slope(analysis.run(run_id).levels.slope, analysis.design.units)


def _return_slope(analysis: Analysis, run_id: str) -> str:
    layout = analysis.run(run_id)
    if not layout.return_length:
        return "no return path yet"
    return format_slope(layout.run.return_fall / layout.return_length, analysis.design.units)


MEDIUM = Fact("Medium", _medium)
DISTANCE = Fact("Bucket's centre from the drain", _distance)
COMMON_WINDOW = Fact("Tails that fit all", lambda a, i: window_text(a, a.run(i).common_tail))
SLOPE = Fact("Slope", _slope)
OUTLET_LEVEL = Fact(
    "Bore's bottom at the outlet end, by the ground",
    lambda a, i: level(a, a.run(i).levels.invert(0.0)),
)
RETURN_LENGTH = Fact("Return path", lambda a, i: say(a, a.run(i).return_length))
RETURN_SLOPE = Fact("Slope of the return path", _return_slope)
OUTFALL_LEVEL = Fact(
    "Bore's bottom at the reservoir, by the ground", lambda a, i: level(a, a.run(i).outfall_invert)
)


def _reservoir(text: Callable[[Analysis], str]) -> Callable[[Analysis, str], str]:
    return lambda analysis, _: text(analysis)


def _full(analysis: Analysis) -> str:
    assert analysis.reservoir is not None
    full = format_volume(analysis.reservoir.litres_full, analysis.design.units)
    rim = format_volume(reservoir_litres(analysis.reservoir.part), analysis.design.units)
    return f"{full}\nto the rim {rim}"


def _working(analysis: Analysis) -> str:
    assert analysis.reservoir is not None
    return format_volume(analysis.reservoir.litres_working, analysis.design.units)


def _levels(analysis: Analysis) -> str:
    laid = analysis.reservoir
    assert laid is not None
    return "\n".join(
        f"{name} {level(analysis, mm)}"
        for name, mm in (
            ("rim", laid.rim_level),
            ("full", laid.full_level),
            ("low water", laid.low_level),
        )
    )


RESERVOIR_FULL = Fact("Holds when full", _reservoir(_full))
RESERVOIR_WORKING = Fact("From full to low water", _reservoir(_working))
RESERVOIR_LEVELS = Fact("Levels by the ground", _reservoir(_levels))

BUCKETS = Fact("Buckets", lambda a, _: str(len(a.places)))
RUNS = Fact("Runs", lambda a, _: str(len(a.runs)))
