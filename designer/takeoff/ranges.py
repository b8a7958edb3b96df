"""Many bucket letters said in few words: "A to H, K"."""

from collections.abc import Collection

from designer.analysis import Analysis


def bucket_ranges(analysis: Analysis, bucket_ids: Collection[str]) -> str:
    """The letters of some buckets in drilling order, neighbours drawn together.

    Three or more in a row become "A to C". With several runs each letter carries its run's number.
    """
    wanted = set(bucket_ids)
    words: list[str] = []
    for layout in analysis.runs:
        number = analysis.run_number(layout)
        rows: list[list[str]] = [[]]
        for place in layout.from_cap:
            if place.bucket.id in wanted:
                rows[-1].append(number + layout.letters[place.bucket.id])
            elif rows[-1]:
                rows.append([])
        for row in rows:
            words += [f"{row[0]} to {row[-1]}"] if len(row) > 2 else row
    return ", ".join(words)
