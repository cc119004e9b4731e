"""`glasscan study`: what is due today, weak codes, calibration, and the questions themselves."""

from __future__ import annotations

import argparse
import json
import sys
from collections import Counter
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from glasscan.cli.arguments import Verbs, add_verb, seed
from glasscan.cli.files import add_data_dir
from glasscan.cli.talk import one_line_for_problems, talk
from glasscan.content import BadInput

if TYPE_CHECKING:
    from glasscan.learning.store.store import Store
    from glasscan.learning.study.study_plan import Lessons, Plan

SELF = "me"
"""Nickname where none is given: a computer of one's own needs no name."""
MOST = 10
"""Questions of one session unless asked otherwise: about twenty minutes (PRACTICE)."""
KINDS = ("can", "cartridge", "disc")
"""Spin-on filter, cartridge in a housing, stacked discs."""
SHOWN = 8
"""Lessons of the path listed by name."""


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser = add_verb(verbs, "study", run, "self-study: what is due today, then the questions, in text")
    parser.add_argument(
        "lessons", metavar="SCENARIO", nargs="*", help="files or ids; without any: all that are shipped"
    )
    parser.add_argument("--who", default=SELF, metavar="NICK", help=f"nickname ({SELF})")
    parser.add_argument("--list", action="store_true", help="only the lists")
    parser.add_argument("--json", action="store_true", help="only the lists, as one JSON object")
    parser.add_argument("--most", type=count, default=MOST, metavar="N", help=f"questions at most ({MOST})")
    parser.add_argument("--seed", type=seed, metavar="N", help="of the variants (else the day)")
    parser.add_argument(
        "--exam-on",
        type=day,
        metavar="YYYY-MM-DD",
        help="day of the exam",
    )
    parser.add_argument("--filter", choices=KINDS, help="only lessons about this kind of filter")
    parser.add_argument("--code", metavar="CODE", help="only lessons that teach this syllabus code")
    parser.add_argument("--level", type=int, choices=(1, 2, 3), help="only lessons of this level")
    add_data_dir(parser)


def count(text: str) -> int:
    """A number of questions."""
    if not text.isdecimal() or not 1 <= int(text[:6]) <= 500:
        raise argparse.ArgumentTypeError(f"expected a number from 1 to 500, found '{text[:40]}'")
    return int(text)


def day(text: str) -> date:
    """A date as written in the standard way (ISO 8601)."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        message = f"expected a date such as 2031-05-20, found '{text[:40]}'"
        raise argparse.ArgumentTypeError(message) from None


def run(args: argparse.Namespace) -> int:
    """Lists, then questions."""
    from glasscan.learning.store.connection import store_path
    from glasscan.learning.store.store import Store
    from glasscan.learning.study.study_plan import chosen, person_of, plan, shipped_lessons

    words = {_id(word): word for word in args.lessons}
    lessons = chosen(shipped_lessons(args.lessons), args.filter, args.code, args.level)
    if not lessons:
        raise BadInput(["study: expected at least one lesson: none has this filter, code and level"])
    today = date.today()
    with one_line_for_problems(), Store(store_path(args.data_dir)) as store:
        note = store.clock_note()
        if note:
            print(note, file=sys.stderr)
        lists = plan(store, person_of(store, args.who), lessons, today, args.exam_on)
        if args.json:
            print(json.dumps(as_json(lists, today), allow_nan=False))
            return 0
        print("\n".join(in_words(lists, lessons)), flush=True)
        return 0 if args.list else _session(args, store, lists, lessons, words, today)


def _session(
    args: argparse.Namespace, store: Store, lists: Plan, lessons: Lessons, words: dict[str, str], today: date
) -> int:
    from glasscan.cli.headless import run_to_end
    from glasscan.cli.study_talk import hold
    from glasscan.learning.study.study_session import StudySession, left_over, settle
    from glasscan.learning.variants import load_variant

    person = store.person(args.who)
    items = {f"{name}/{p.id}" for name, s in lessons.items() for p in s.prompts}

    def desk(number: int) -> StudySession:
        return StudySession(
            store, person, number, lambda n, s: load_variant(words.get(n, n), s), run_to_end, today
        )

    for sitting in left_over(store, person):
        late = settle(store, sitting, desk(sitting.seed), items.__contains__)
        if late:
            print(f"marked {late} kept answers of a session that was cut off")
    names = [*lists.due, *lists.new][: args.most]
    number = today.toordinal() if args.seed is None else args.seed
    return hold(talk(False), desk(number), names)


def _id(word: str) -> str:
    from pathlib import Path

    return Path(word).stem if word.endswith((".yaml", ".yml")) else word


def as_json(lists: Plan, today: date) -> dict[str, Any]:
    """The lists for other programs; shares are 0..1, null where there is none."""
    return {
        "today": today.isoformat(),
        "due": list(lists.due),
        "new": list(lists.new),
        "weak_codes": [
            {"code": w.code, "title": w.title, "share": w.share, "lessons": list(w.lessons)}
            for w in lists.weak
        ],
        "lessons": list(lists.lessons),
        "exam_recall": lists.exam_recall,
        "calibration": [
            {"level": c.level, "odds": c.odds, "answers": c.answers, "share": c.share, "verdict": c.verdict}
            for c in lists.calibration
        ],
    }


def path_lines(new: Sequence[str], lessons: Lessons) -> list[str]:
    """The next lessons of the path, each with its title, level and number of new questions."""
    counts = Counter(item.partition("/")[0] for item in new)
    lines = [f"  {lessons[n].title} ({n}, level {lessons[n].level}): {k}" for n, k in counts.items()]
    more = [f"  and {len(lines) - SHOWN} more lessons"] if len(lines) > SHOWN else []
    return [*lines[:SHOWN], *more]


def in_words(lists: Plan, lessons: Lessons) -> list[str]:
    """The lists for people."""
    lines = [f"Due today: {len(lists.due)}", *(f"  {item}" for item in lists.due)]
    lines += [f"New: {len(lists.new)}", *path_lines(lists.new, lessons)]
    if lists.exam_recall is not None:
        lines.append(f"Known on the day of the exam if you stop now: {lists.exam_recall:.0%}")
    if lists.weak:
        lines.append("Weak codes, and the lessons that teach them:")
        lines += [f"  {w.share:4.0%}  {w.code}  {w.title}: {', '.join(w.lessons)}" for w in lists.weak]
    lines.append("Confidence against what came:")
    for c in lists.calibration:
        share = "–" if c.share is None else f"{c.share:.0%} right"
        lines.append(f"  {c.level}  {c.odds:<24} {c.answers:4} answers  {share:<11} {c.verdict}")
    return lines
