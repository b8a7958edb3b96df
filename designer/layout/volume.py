"""Volumes of tapered vessels: buckets, barrels and totes."""

from math import pi, sqrt

from designer.model.parts import BucketPart, ReservoirPart

MM3_PER_LITRE = 1e6


def frustum_litres(
    base_area: float, top_area: float, height: float, depth: float | None = None
) -> float:
    """Litres in a straight-sided tapered vessel filled to `depth` above its base.

    Areas in mm2, lengths in mm. The prismatoid rule V = h/3 (A1 + A2 + sqrt(A1 A2)) is exact when
    both sections are alike, as in a cone; a tote's are nearly so. Depth is held within the vessel.
    """
    if depth is None:
        depth = height
    depth = min(max(depth, 0.0), height)
    share = depth / height
    root = sqrt(base_area) + (sqrt(top_area) - sqrt(base_area)) * share
    area = root * root
    return depth / 3 * (base_area + area + sqrt(base_area * area)) / MM3_PER_LITRE


def bucket_litres(bucket: BucketPart, depth: float | None = None) -> float:
    """Litres in a bucket filled to `depth` mm above its base, inside its wall; all when None."""
    base = bucket.base_diameter - 2 * bucket.wall
    top = bucket.top_diameter - 2 * bucket.wall
    return frustum_litres(pi / 4 * base**2, pi / 4 * top**2, bucket.height, depth)


def reservoir_litres(reservoir: ReservoirPart, depth: float | None = None) -> float:
    """Litres in a reservoir filled to `depth` mm above its floor; all when None."""
    factor = pi / 4 if reservoir.shape == "round" else 1.0
    return frustum_litres(
        factor * reservoir.base_length * reservoir.base_width,
        factor * reservoir.rim_length * reservoir.rim_width,
        reservoir.height,
        depth,
    )
