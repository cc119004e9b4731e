"""`glasscan job`: a job at the bench step by step, without a window."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from glasscan.cli.arguments import Verbs, add_verb, seed
from glasscan.content import BadInput, nearest

if TYPE_CHECKING:
    from glasscan.workshop.machine import Machine
    from glasscan.workshop.procedures.job import Job


STEPS = (
    "cards in the order done, by number or by name; what the hand chooses behind a colon, "
    "e.g. oil-gasket:with=system-oil,spin-on:torque=24,lockwire:hole=12:twists=7"
)


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser = add_verb(verbs, "job", run, "do a job at the bench: steps, findings, marks, and the next run")
    parser.add_argument("name", metavar="NAME", help="a file of assets/procedures, e.g. can-change")
    parser.add_argument("--steps", metavar="A,B,C", help=STEPS)
    parser.add_argument("--seed", type=seed, default=1, metavar="N", help="of the tray and of what is met")
    parser.add_argument("--met", metavar="STATES", help="states met, instead of drawing them")
    parser.add_argument("--filter", metavar="KIND", help="kind of filter, where the job has several")
    parser.add_argument("--run", dest="next", action="store_true", help="run the engine afterwards")
    parser.add_argument("--lesson", metavar="FILE.yaml", help="write the next run as a lesson")
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def run(args: argparse.Namespace) -> int:
    """Do the steps, or list them."""
    job, kind = _job(args)
    told = _tray(job) if args.steps is None else _done(job, _words(args.steps))
    told["filter"] = kind
    if args.next and args.steps is not None:
        told["next_run"] = _next(job, kind)
    if args.lesson and args.steps is not None:
        told["lesson"] = _lesson(job, kind, Path(args.lesson))
    print(json.dumps(told, allow_nan=False) if args.json else "\n".join(in_words(told)))
    return 0


def _lesson(job: Job, kind: Any, path: Path) -> str:
    """Write the next run as a lesson file; one that is there is kept."""
    from glasscan.window.bench.job_lesson import lesson_text

    if path.exists():
        raise BadInput([f"--lesson: {path} is there already: choose another name"])
    try:
        path.write_text(lesson_text(job, kind, path.stem), encoding="utf-8")
    except OSError as bad:
        raise BadInput([f"--lesson: {path} cannot be written: {bad.strerror}"]) from None
    return str(path)


def _words(text: str) -> list[str]:
    return [word.strip() for word in text.split(",") if word.strip()]


def _job(args: argparse.Namespace) -> tuple[Job, Any]:
    from glasscan.workshop.procedures.job import Job, states_met
    from glasscan.workshop.procedures.procedure_catalogue import load_procedure

    kinds = load_procedure(args.name).filters
    kind = args.filter or kinds[0]
    if kind not in kinds:
        raise BadInput([_choice("--filter", kind, kinds)])
    procedure = load_procedure(args.name, kind)
    met = None if args.met is None else tuple(_words(args.met))
    for state in met or ():
        if state not in states_met(procedure):
            raise BadInput([_choice("--met", state, states_met(procedure))])
    return Job(procedure, args.seed, met), kind


def _tray(job: Job) -> dict[str, Any]:
    """The cards in the order of the tray."""
    p = job.procedure
    cards = [{"step": c.id, "text": c.text} | ({"asks": list(c.asks)} if c.asks else {}) for c in job.cards]
    what = job.outcome().machine.what
    label = f"Hour meter {what.meter_h:,.1f} h. On the box of the new part: {what.part_no} (invented)."
    return {
        "job": p.name, "title": p.title, "about": p.about, "safety": p.safety, "label": label, "cards": cards,
    }  # fmt: skip


def _done(job: Job, steps: list[str]) -> dict[str, Any]:
    from glasscan.window.bench.job_marks import left_words, mark
    from glasscan.workshop.job_record import job_record
    from glasscan.workshop.machine import BadChoiceError, CannotError

    numbers = {str(i): card.id for i, card in enumerate(job.cards, 1)}
    for step in steps:
        if job.ended:
            break  # the work was stopped: what else was planned is not done
        card, chosen = _card(job, step, numbers)
        try:
            job.do(card, chosen)
        except CannotError:
            continue  # told below, with what the machine said
        except BadChoiceError as bad:
            raise BadInput([f"--steps: {card}: {bad}"]) from None
    outcome, marks = job.outcome(), mark(job)
    return {
        "job": job.procedure.name,
        "met": list(job.present or ()),
        "findings": list(outcome.findings),
        "happened": [{"text": e.text, "harm": e.harm} for e in outcome.machine.events],
        "refused": [{"step": step, "why": why} for step, why in job.refused],
        "stopped": outcome.machine.ended,
        "gates": list(marks.verdict.gates),
        "left": [{"condition": x.condition, "step": x.step, "how": x.how} for x in outcome.left],
        "left_in_words": [left_words(job, x) for x in outcome.left],
        "left_out": list(outcome.left_out),
        "out_of_place": list(marks.out_of_place),
        "marks": {"order": marks.order, "care": marks.care, "sense": marks.sense},
        "share": round(marks.verdict.share, 4),
        "passed": marks.verdict.passed,
        "machine": state_told(outcome.machine),
        "record": job_record(outcome, job.procedure.title),
    }


def _card(job: Job, step: str, numbers: dict[str, str]) -> tuple[str, dict[str, str]]:
    """The card of a word, and what the hand chose there."""
    word, *more = step.split(":")
    if word.isdecimal() and word not in numbers:
        raise BadInput([f"--steps: expected a card from 1 to {len(numbers)}, found '{word[:40]}'"])
    word = numbers.get(word, word)
    if "slip" in more:
        word += ":slip"
    chosen: dict[str, str] = {}
    for pair in (m for m in more if m != "slip"):
        key, equals, value = pair.partition("=")
        if not (key and equals and value):
            raise BadInput([f"--steps: {word}: expected KEY=VALUE behind the colon, found '{pair[:40]}'"])
        chosen[key] = value
    known = [c.id for c in job.left_over()]
    if word not in known:
        done = any(a.step == word.split(":")[0] for a in job.acts)
        raise BadInput([_choice("--steps", word, tuple(known)) + (" (done already)" if done else "")])
    return word, chosen


def state_told(m: Machine) -> dict[str, Any]:
    """The machine as it stands, for people and programs."""
    return {
        "joints": {
            name: {
                "closed": j.closed, "torque_nm": j.torque_nm, "wire": j.wire, "rings": list(j.rings),
                "lubricant": j.lubricant,
            }
            for name, j in m.joints.items()
        },
        "oil_l": {where: round(litres, 3) for where, litres in m.oil_l.items()},
        "parts": dict(m.parts),
        "pressure_kpa": m.pressure_kpa,
        "running": m.running,
        "made_safe": m.safe,
    }  # fmt: skip


def _next(job: Job, kind: Any) -> dict[str, Any]:
    from glasscan.window.bench.job_run import SERIES, compare

    both = compare(job, kind)
    told: dict[str, Any] = {"acting": list(both.acting), "silent": list(both.silent)}
    for name, _, unit in SERIES:
        pair = {"well": both.well[name], "yours": both.yours[name]}
        told[name] = {"unit": unit} | {
            who: {"largest": round(float(y.max()), 4), "at_end": round(float(y[-1]), 4)}
            for who, y in pair.items()
        }
    return told


def _choice(key: str, found: str, known: tuple[str, ...]) -> str:
    near = nearest(found, known)
    meant = f" (did you mean {near!r}?)" if near else ""
    return f"{key}: expected one of {', '.join(known)}, found '{found[:40]}'{meant}"


def in_words(told: dict[str, Any]) -> list[str]:
    """The same for people."""
    if "cards" in told:
        head = [told["title"], told["about"], told["safety"], told["label"], ""]
        # by number: the name of a card tells whether it is the common wrong way
        return [*head, *(f"{i:>3}  {c['text']}" for i, c in enumerate(told["cards"], 1))]
    from glasscan.workshop.job_record import record_words

    lines = [e["text"] for e in told["happened"]]
    lines += [f"refused: {r['step'].removesuffix(':slip')}: {r['why']}" for r in told["refused"]]
    lines += [*told["findings"], *(" ".join(x.split("\n")) for x in told["left_in_words"])]
    lines += [f"gate not met: {gate}" for gate in told["gates"]]
    lines += [f"record: {line}" for line in record_words(told["record"]).split("\n")]
    m = told["marks"]
    lines.append(f"order {m['order']:g} of 10, care {m['care']:g} of 5, sense {m['sense']:g} of 3")
    lines.append("pass" if told["passed"] else "not yet")
    lines += [f"wrote {told['lesson']}: glasscan open {told['lesson']}"] if "lesson" in told else []
    for name, values in told.get("next_run", {}).items():
        if isinstance(values, dict):
            well, yours = values["well"]["at_end"], values["yours"]["at_end"]
            lines.append(f"{name} at the end: {yours:g} {values['unit']} (done well: {well:g})")
    return lines
