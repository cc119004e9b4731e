"""Mark an assessed case: what was done is played again on the case that its secret draws."""

from __future__ import annotations

from glasscan.faults.fault_data import parts_of
from glasscan.learning.cases.assessed_play import STEP, AssessedTable, play_lines
from glasscan.learning.cases.case_play import Case, sealed
from glasscan.learning.cases.enter_result import CODES, PROMPT, given_words
from glasscan.learning.cases.generate import Hidden
from glasscan.learning.cases.scoring import review
from glasscan.learning.cases.sealed_case import CaseSecret
from glasscan.learning.cases.text_table import review_text
from glasscan.learning.exam.paper_marking import Outcome, away
from glasscan.learning.marking import Result
from glasscan.learning.scoring.verdict import PASS_SHARE, verdict
from glasscan.learning.store.results_files import UNSAFE, Item, Results, StoredMark
from glasscan.learning.store.store_problems import StoreProblem

OUT_OF = 100.0
NO_VERDICT = "No verdict was given."


def judge_case(results: Results, secret: CaseSecret) -> Outcome:
    """Mark one person's case; the record becomes one item, its verdict.

    Raises:
        StoreProblem: the results are of another case.
        BadInput: another version of the program made the case.
    """
    sheet, hidden = secret.sheet, secret.hidden
    if results.digest != sheet.digest:
        raise StoreProblem(f"results of {results.nickname} are of another case than {sheet.paper}")
    case = Case(secret.number, sheet.kind, sheet.level, "", sealed(hidden, "", sheet.level))
    play_lines(AssessedTable(case), {i.prompt: i.given for i in results.items if i.prompt.startswith(STEP)})
    case.spent_s = sum(item.spent_s for item in results.items)
    result = _result(case, hidden)
    slip = UNSAFE if case.unsafe else None
    mark = StoredMark(
        share=result.share, out_of=OUT_OF, key=result.key, slip=slip, codes=CODES, gates=result.gates
    )
    item = Item(prompt=PROMPT, given=given_words(case), spent_s=case.spent_s, mark=mark)
    return Outcome(
        results.model_copy(update={"items": (item,)}),
        verdict([result.marks], [OUT_OF], result.gates, PASS_SHARE),
        ((PROMPT, result),),
        away(results, sheet.limit_s),
    )


def _result(case: Case, hidden: Hidden) -> Result:
    key = f"{hidden.code} {' and '.join(fault.title for fault in parts_of(hidden.code))}"
    if not case.ended:
        return Result(0.0, 0.0, OUT_OF, key, NO_VERDICT)
    told = review(case)
    share = round(min(max(told.score.score, 0.0), 1.0), 6)
    slip = UNSAFE if case.unsafe else None
    reason = "\n".join(review_text(told))
    return Result(share, share * OUT_OF, OUT_OF, key, reason, (), (), slip, told.score.gates)
