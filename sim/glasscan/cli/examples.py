"""Examples for the help of each verb; README and manual page show the same lines."""

from __future__ import annotations

EXAMPLES: dict[str, tuple[tuple[str, str], ...]] = {
    "tour": (("tour", "the cold start in a minute"),),
    "open": (
        ("open cold-start", "a shipped lesson in the window"),
        ("open my-lesson.yaml --set air_c=-18", "a file of your own, colder than written"),
    ),
    "run": (
        ("run cold-start --for 120 --json", "two minutes without a window, as one JSON object"),
        ("run cold-start --set plant.regulator=before --out results", "trace and pictures into a folder"),
    ),
    "check": (
        ("check my-lesson.yaml", "what is wrong with a file, by line and column"),
        ("check assets/faults/valve.yaml", "every kind of data file is known by its folder"),
    ),
    "list": (
        ("list", "lessons, jobs, oils, filters, rigs, faults, kinds of file"),
        ("list jobs", "one of them"),
    ),
    "words": (
        ("words event", "events that a lesson may name"),
        ("words trace --json", "columns"),
    ),
    "new": (("new lesson my-morning", "a commented lesson to start from: my-morning.yaml"),),
    "shot": (
        ("shot cold-start --at 12 --out frame.png", "the frame of one moment"),
        ("shot turn-the-handle --at 45 --view closer --json", "what was drawn in it, as one JSON object"),
    ),
    "figure": (
        ("figure", "the list of laws"),
        ("figure density rho15=890 at_c=80", "one of them worked out"),
    ),
    "schema": (
        ("schema > lesson.schema.json", "for an editor that completes and checks"),
        ("schema fault", "the same for a file of faults"),
    ),
    "study": (
        ("study", "what is due today, then the questions"),
        ("study --list", "only tell what is due"),
    ),
    "class": (("class marked --out class", "figures of a class as a page and two tables"),),
    "case": (
        ("case --seed 7 --filter can --level 2", "a hidden fault in the window"),
        ("case --seed 7 --text", "the same as text"),
        ("case make --level 2 --out case.json", "an assessed case, sealed to your key"),
        ("case --paper case.json --who Wen", "play it, in text"),
    ),
    "inspect": (
        ("inspect --seed 5 --filter can", "a used filter cut open"),
        ("inspect scraper-day --solve", "the filter of a lesson after its run, judged"),
    ),
    "job": (
        ("job can-change", "the steps of a job"),
        ("job can-change --steps right-manual,right-parts,made-safe", "do some of them"),
    ),
    "bench": (("bench", "timings as ratios against other ways (needs a checkout)"),),
    "plan": (("plan cold-start --out plan.html", "objective, time, safety, what to say when, questions"),),
    "guide": (("guide --out guide.html", "the first ten minutes and the keys, on one page"),),
    "completion": (("completion bash > ~/.local/share/bash-completion/completions/glasscan", "for bash"),),
    "man": (("man > glasscan.1", "the manual page"),),
    "where": (("where", "the folder that holds results, cases, papers and pictures"),),
    "about": (("about --json", "versions to put into a report of a fault"),),
}
"""Words behind `glasscan`, and what they do."""


def examples(verb: str) -> str:
    """The examples of a verb as they stand under its help; empty where it has none."""
    rows = EXAMPLES.get(verb, ())
    if not rows:
        return ""
    return "examples:\n" + "\n".join(f"  glasscan {words}\n      {text}" for words, text in rows)
