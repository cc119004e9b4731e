"""Longer texts of the bench: the example sheet, and the record of the inspection before."""

from __future__ import annotations

from collections import Counter

from glasscan.debris.debris_data import catalogue
from glasscan.workshop.inspection.evidence import Evidence
from glasscan.workshop.inspection.inspection import Inspection
from glasscan.workshop.inspection.inspection_data import manual

CODES = tuple(k.code for k in catalogue().kinds.values())


def title_of(code: str) -> str:
    """A kind with its code."""
    return f"{code}  {catalogue().kind(code).title}"


def service_time(hours: float) -> str:
    """Time in service: hours, or minutes where it is less than one."""
    return f"{hours:.1f} h" if hours >= 1.0 else f"{hours * 60:.0f} min"


def manual_text() -> str:
    """The example sheet as text."""
    sheet = manual()
    lines = [f"{sheet.manual} (invented). {sheet.title}.", sheet.about, ""]
    for code, limit in sheet.kinds.items():
        allowed = f"up to {limit.most}, none over {limit.longest_mm:g} mm" if limit.most else "none"
        if code == "D17":
            allowed = "made by the cutting: discard"
        lines.append(f"{code} {catalogue().kind(code).title}: {allowed}.")
    film = ", ".join(f"{kind} {most:g} g" for kind, most in sheet.film_limit_g_per_10_h.items())
    lines += [
        "",
        f"Film for every 10 h, up to: {film}.",
        "Behind the filter media: none.",
    ]
    lines += ["Unsure: do not fly."]
    return "\n".join(lines)


def record_text(work: Inspection) -> str:
    """What was written at the inspection before."""
    if work.last is None:
        return "There is no record of an inspection before this one."
    lines = ["The record of the change before (invented):", *_record_lines(work.last)]
    film = _film_g_10_h(work.evidence)
    return "\n".join([*lines, "", f"Today's fine dirt for every 10 h: {film:.2f} g."])


def _record_lines(e: Evidence) -> list[str]:
    counts = Counter(b.code for b in e.bodies if b.size_m >= manual().count_from_mm * 1e-3)
    lines = [f"{service_time(e.hours)} in service.", f"Fine dirt for every 10 h: {_film_g_10_h(e):.2f} g."]
    lines += [f"{title_of(code)}: {n}" for code, n in sorted(counts.items())]
    return [*lines, "No other pieces were counted."]


def _film_g_10_h(e: Evidence) -> float:
    return float(e.held.sum() + e.bowl.sum()) * 1e3 / max(e.hours, 1e-9) * 10.0
