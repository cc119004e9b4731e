"""Figures of cleanliness: codes and classes of counts."""

from __future__ import annotations

from typing import Any

from glasscan.formulas.registry import FigureError, Input, figure, word
from glasscan.laws import cleanliness

COUNTS = tuple(
    Input(f"n{size}", "1/mL", low=0.0, optional=size == 4) for size in cleanliness.ISO4406_SIZES_UM_C
)
CLASSES = word("class", cleanliness.NAS1638_PER_100ML)


@figure(
    "cleanliness-code",
    *COUNTS,
    unit="code",
    method="code numbers of the counts above 4, 6 and 14 um(c); a limit belongs to its own code; without n4 "
    "(microscope, 5 and 15 um) a dash first",
    source="ISO 4406 range table (status: FOUND in reproductions)",
)
def _code(n6: float, n14: float, n4: float | None = None) -> str:
    return cleanliness.iso4406((n4, n6, n14))


@figure(
    "cleanliness-range",
    Input("code", low=0.0, high=28.0, whole=True),
    unit="1/mL, 1/mL",
    method="counts over the first and up to the second",
    source="ISO 4406 range table (status: FOUND in reproductions)",
)
def _range(code: int) -> list[float]:
    return list(cleanliness.iso4406_range_per_ml(code))


@figure(
    "nas-1638-limits",
    CLASSES,
    unit="1/100 mL",
    method="most particles of 5-15, 15-25, 25-50, 50-100 and over 100 um",
    source="NAS 1638 table (status: FOUND in public texts)",
)
def _nas(class_: str) -> list[int]:
    return list(cleanliness.NAS1638_PER_100ML[class_])


@figure(
    "nas-1638-class",
    *(Input(key, "1/100 mL", low=0.0) for key in ("n5_15", "n15_25", "n25_50", "n50_100", "n100")),
    unit="class",
    method="smallest class whose five limits hold every count",
    source="NAS 1638 table (status: FOUND in public texts)",
)
def _nas_class(n5_15: float, n15_25: float, n25_50: float, n50_100: float, n100: float) -> str:
    return cleanliness.nas1638_class((n5_15, n15_25, n25_50, n50_100, n100))


@figure(
    "navy-fluid-limits",
    Input("class", choices=(*cleanliness.NAVY_PER_100ML, "new-5606")),
    unit="1/100 mL",
    method="most particles of 5-10, 10-25, 25-50, 50-100 and over 100 um; for new fluid of MIL-PRF-5606H "
    "the first two bands are 5-15 and 15-25 um",
    source="Navy aviation hydraulics manual, MIL-PRF-5606H, as reproduced publicly (status: FOUND)",
)
def _navy(class_: str) -> list[int]:
    return list(cleanliness.NAVY_PER_100ML.get(class_, cleanliness.NEW_5606_PER_100ML))


@figure(
    "navy-fluid-class",
    *(Input(key, "1/100 mL", low=0.0) for key in ("n5_10", "n10_25", "n25_50", "n50_100", "n100")),
    unit="class",
    method="smallest Navy class whose five limits hold every count",
    source="Navy aviation hydraulics manual, as reproduced publicly (status: FOUND)",
)
def _navy_class(n5_10: float, n10_25: float, n25_50: float, n50_100: float, n100: float) -> str:
    return cleanliness.navy_class((n5_10, n10_25, n25_50, n50_100, n100))


@figure(
    "as4059-limits",
    word("class", cleanliness.AS4059_A_PER_100ML),
    unit="1/100 mL",
    method="cumulative limits above 6, 14, 21, 38 and 70 um(c), sizes B to F: running sums of the NAS 1638 "
    "bands; `size_a` above 4 um(c)",
    source="identity of the two standards; size A and class 000 recalled (status: MEMORY); newer issues "
    "round to three figures",
)
def _as4059(class_: str) -> dict[str, Any]:
    limits = list(cleanliness.as4059_cumulative_per_100ml(class_))
    return {"values": limits, "size_a": cleanliness.AS4059_A_PER_100ML[class_]}


@figure(
    "as4059-class",
    *(Input(f"n{size}", "1/100 mL", low=0.0, optional=True) for size in (4, 6, 14, 21, 38, 70)),
    unit="class",
    method="smallest class whose cumulative limits hold the counts above 4, 6, 14, 21, 38 and 70 um(c), as "
    "many as are given; `by_size` each alone",
    source="AS4059 as in `as4059-limits`",
)
def _as4059_class(
    n4: float | None = None,
    n6: float | None = None,
    n14: float | None = None,
    n21: float | None = None,
    n38: float | None = None,
    n70: float | None = None,
) -> dict[str, Any]:
    counts = (n4, n6, n14, n21, n38, n70)
    made = [place for place, count in enumerate(counts) if count is not None]
    if not made:
        raise FigureError("as4059-class: missing all of n4, n6, n14, n21, n38 and n70; expected one at least")
    alone = {
        "ABCDEF"[place]: cleanliness.as4059_class((None,) * place + (counts[place],) + (None,) * (5 - place))
        for place in made
    }
    return {"value": cleanliness.as4059_class(counts), "by_size": alone}
