"""Stations along a run: of supports, of staggered buckets, of whole pitches. All in mm."""

from designer.model.design import Bucket, Run, Side


def supports_needed(length: float, spacing: float = 1220.0) -> int:
    """How many supports keep the drain from sagging at a spacing, mm."""
    return max(2, int(-(-length // spacing)) + 1)


def even_supports(length: float, count: int) -> tuple[float, ...]:
    """Stations of supports spread evenly, one at each end of the run."""
    return tuple(round(length * i / (count - 1), 3) for i in range(count))


def staggered(ids: list[str], length: float, pitch: float) -> tuple[Bucket, ...]:
    """Buckets alternating left and right, the first one pitch from the capped end."""
    sides: tuple[Side, Side] = ("left", "right")
    return tuple(
        Bucket(id=bucket_id, station=round(length - pitch * (i + 1), 3), side=sides[i % 2])
        for i, bucket_id in enumerate(ids)
    )


def snapped_station(run: Run, station: float) -> float:
    """The nearest station that is a whole number of pitches from the capped end."""
    return round(run.length - round((run.length - station) / run.pitch) * run.pitch, 3)
