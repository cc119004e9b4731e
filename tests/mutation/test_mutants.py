"""The faults of the mutation command are many, differ from the law, and are Python."""

import ast
from pathlib import Path

from tests.mutation.__main__ import TOP, all_mutants, files_beside
from tests.mutation.mutants import mutants_of


def test_there_are_hundreds_of_faults_and_each_is_python():
    """At least 200 in all, in every room some; each changes the text and can be compiled."""
    found = all_mutants()
    assert len(found) > 200
    for mutant in found[::25]:
        source = (TOP / mutant.path).read_text(encoding="utf-8")
        assert source[mutant.start : mutant.end] == mutant.old
        assert ast.dump(ast.parse(mutant.text(source))) != ast.dump(ast.parse(source))
        assert files_beside(mutant)


def test_faults_of_a_line():
    """Operators, numbers, comparisons and calls; nothing in annotations, indices and texts."""
    source = (
        'def f(x: list[int]) -> int:\n    "a + b"\n    return min(x[1 + 1], 3 * x[0]) if x[0] > 2 else 0\n'
    )
    told = {(m.old, m.new) for m in mutants_of(Path("f.py"), source)}
    assert told == {("min", "max"), ("*", "/"), ("3", "3.9000000000000004"), (">", "<=")}
