"""The outlet assembly: how far a bucket stands from the drain, and where its tail hangs."""

from dataclasses import dataclass

from designer.model.parts import BucketPart, ElbowPart, GrommetPart, PipePart


@dataclass(frozen=True, slots=True)
class OutletAssembly:
    """Sizes of one outlet assembly, mm. Distances are horizontal, from the drain's axis.

    `bucket_axis` is the bucket's centre line, `wall` the outside of the bucket's wall at the hole,
    `inner_elbow` the centre of the elbow inside. The outer elbow's centre stands over the axis.
    `drop` is from the nipple's centre line down to the bottom of the elbow's socket, where a tail
    begins.
    """

    bucket_axis: float
    wall: float
    inner_elbow: float
    drop: float
    elbow_body: float


def outside_diameter_at(bucket: BucketPart, height: float) -> float:
    """Outside diameter of a straight-tapered bucket at a height above its base, mm."""
    return (
        bucket.base_diameter + (bucket.top_diameter - bucket.base_diameter) * height / bucket.height
    )


def outlet_assembly(
    bucket: BucketPart,
    height: float,
    nipple_length: float,
    grommet: GrommetPart,
    elbow: ElbowPart,
) -> OutletAssembly:
    """Put the assembly together as a person does: both elbows pushed home on the nipple, the
    inner elbow drawn against the grommet's flange on the inside of the wall.

    From the axis outward: elbow centre to socket bottom, the nipple, back by one socket depth to
    the inner elbow's face, the flange, the wall, then the bucket's radius at the hole.
    """
    inner_face = elbow.centre_to_socket_bottom + nipple_length - elbow.socket_depth
    wall_outside = inner_face - grommet.flange_thickness - bucket.wall
    return OutletAssembly(
        bucket_axis=wall_outside + outside_diameter_at(bucket, height) / 2,
        wall=wall_outside,
        inner_elbow=nipple_length + 2 * elbow.centre_to_socket_bottom,
        drop=elbow.centre_to_socket_bottom,
        elbow_body=elbow.body_diameter,
    )


def cut_tail_shortest(elbow: ElbowPart, pipe: PipePart) -> float:
    """The shortest tail worth cutting, mm: the socket it is pushed into and one pipe diameter."""
    return elbow.socket_depth + pipe.outside_diameter
