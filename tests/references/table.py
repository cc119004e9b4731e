"""Table of covered reference rows in tests/README.md: `python -m tests.references.table` prints it."""

from __future__ import annotations

from collections import Counter

from tests.references.coverage import covered, not_covered, rows

STATUSES = ("FOUND", "COMPUTED", "MEMORY", "PRACTICE")


def table() -> str:
    """Markdown: how many rows of each status are tests, and why the others are not."""
    status = {row["id"]: row["status"] for row in rows()}
    total, done = Counter(status.values()), Counter(status[row_id] for row_id in covered())
    lines = ["| status | rows | tested |", "|---|---|---|"]
    lines += [f"| {word} | {total[word]} | {done[word]} |" for word in STATUSES]
    lines += [f"| all | {len(status)} | {len(covered())} |", "", "| why not | rows |", "|---|---|"]
    reasons = Counter(not_covered().values())
    lines += [f"| {why} | {count} |" for why, count in sorted(reasons.items())]
    return "\n".join(lines)


if __name__ == "__main__":
    print(table())
