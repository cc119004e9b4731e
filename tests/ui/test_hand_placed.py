"""Pages say what stands beside what; boxes placed by hand are counted, and the count only falls."""

from __future__ import annotations

from pathlib import Path

WINDOW = Path(__file__).parents[2] / "sim" / "glasscan" / "window"
BY_HAND: dict[str, int] = {
    "bench/bench_page.py": 3,
    "bench/beside_page.py": 13,
    "bench/choose_filter_page.py": 9,
    "bench/choose_job_page.py": 8,
    "bench/hand_page.py": 9,
    "bench/job_page.py": 6,
    "bench/next_run_page.py": 4,
    "bench/press_page.py": 21,
    "bench/report_page.py": 6,
    "bench/stack_page.py": 15,
    "bench/tray_page.py": 8,
    "cases/case_base_page.py": 3,
    "cases/debrief_page.py": 13,
    "cases/start_page.py": 9,
    "cases/unsafe_page.py": 5,
    "exam/class_page.py": 21,
    "exam/make_page.py": 6,
    "exam/results_page.py": 5,
    "exam/sit_page.py": 8,
    "questions/quiz_page.py": 12,
    "study/aloud_page.py": 2,
    "study/study_page.py": 6,
    "study/today_page.py": 12,
}
"""File -> boxes placed by hand that are left. Lower a number when a page moves to the layout tree."""


def counted() -> dict[str, int]:
    """Boxes that each page makes."""
    found = {
        str(p.relative_to(WINDOW)): p.read_text("utf-8").count("pygame.Rect(")
        for p in WINDOW.rglob("*page*.py")
    }
    return {name: n for name, n in sorted(found.items()) if n}


def test_no_page_places_more_boxes_by_hand() -> None:
    """A new page has none; an old one has no more than it had."""
    more = {name: n for name, n in counted().items() if n > BY_HAND.get(name, 0)}
    assert more == {}
