"""The order in which the lessons of a filter are taught, as data."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

from pydantic import Field

from glasscan.content import load, nearest
from glasscan.content.record_loading import Finding
from glasscan.learning.catalogue import names, scenario_names
from glasscan.learning.record_base import Id, Record
from glasscan.paths import asset


class Course(Record):
    """The lessons of one filter, first taught first."""

    filter: Id
    lessons: tuple[Id, ...] = Field(min_length=1, max_length=200)


class CourseFile(Record):
    """All courses."""

    courses: tuple[Course, ...]


def read_courses(path: Path) -> CourseFile:
    """Courses from a file.

    Raises:
        BadInput: it is bad, with one line for each problem.
    """
    return load(path, CourseFile, checks=(_known_words,))


def _known_words(file: CourseFile) -> Iterator[Finding]:
    filters, lessons = names("filters"), scenario_names()
    for i, course in enumerate(file.courses):
        if course.filter not in filters:
            yield (
                ("courses", i, "filter"),
                f"no such filter: '{course.filter}'",
                nearest(course.filter, filters),
            )
        for j, lesson in enumerate(course.lessons):
            path = ("courses", i, "lessons", j)
            if lesson not in lessons:
                yield path, f"no such lesson: '{lesson}'", nearest(lesson, lessons)
            elif lesson in course.lessons[:j]:
                yield path, f"lesson '{lesson}' stands here twice", None


@cache
def taught_order() -> dict[str, int]:
    """Place of each lesson in its course, from 0.

    Raises:
        BadInput: the file of the courses is missing or bad.
    """
    courses = read_courses(asset("course.yaml")).courses
    return {lesson: place for course in courses for place, lesson in enumerate(course.lessons)}
