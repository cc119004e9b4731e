"""A short case in text: suspects and tests in words on one line, results told once a test is bought."""

from __future__ import annotations

from glasscan.learning.question import PosedQuestion

HEADS = ("think", "test", "verdict")
CASE_HOW = (
    "Words in this order: think SUSPECTS test TESTS verdict SUSPECT, such as: think F12 F20 test jar. "
    "Results are told after each line; add to it until there is a verdict, or verdict cannot-tell."
)


def test_lines(asked: PosedQuestion) -> list[str]:
    """The tests that can be bought."""
    return [f"  test {t.word:<22}{t.minutes:>4g} min  {t.title}" for t in asked.tests]


def read_case(asked: PosedQuestion, line: str) -> str:
    """A line as it is stored: `think:F12 test:second-gauge verdict:F12`; both ways of writing are read.

    Raises:
        ValueError: a word that is no suspect or test, or no head before it.
    """
    found: dict[str, list[str]] = {head: [] for head in HEADS}
    head = ""
    for word in line.replace(",", " ").split():
        if word.lower() in HEADS:
            head = word.lower()
            continue
        own, _, rest = word.partition(":")
        place, name = (own, rest) if rest and own in HEADS else (head, word)
        if not place:
            raise ValueError("expected think, test or verdict first")
        found[place].append(_known(asked, place, name))
    if found["test"] and not found["think"]:
        raise ValueError("say what you hold possible before the first test: think ...")
    if len(found["verdict"]) > 1:
        raise ValueError("one verdict only")
    return " ".join(f"{h}:{name}" for h in HEADS for name in dict.fromkeys(found[h]))


def _known(asked: PosedQuestion, head: str, name: str) -> str:
    suspects = {code.lower(): code for code, _ in asked.choices}
    known = {t.word: t.word for t in asked.tests} if head == "test" else suspects
    if head == "verdict":
        known = known | {"cannot-tell": "cannot-tell"}
    if name.lower() not in known:
        raise ValueError(f"{head}: expected one of {', '.join(known.values())}, found '{name[:20]}'")
    return known[name.lower()]


def is_open(asked: PosedQuestion, stored: str) -> bool:
    """Whether a case still waits for its verdict."""
    return bool(asked.tests) and "verdict:" not in stored


def told(asked: PosedQuestion, stored: str) -> list[str]:
    """Results of the tests bought so far."""
    bought = [t for t in asked.tests if f"test:{t.word}" in stored.split()]
    spent = sum(t.minutes for t in bought)
    return [*(f"  {t.title}: {t.result}" for t in bought), f"  {spent:g} min spent"] if bought else []
