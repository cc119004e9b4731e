"""A job done well by keys: the card that is due, and what the hand has to choose on pages of its own."""

from glasscan.workshop.procedures.job import best_way


def due(page):
    """Keys to the card that is due, and Enter; at the end the job is finished."""
    while not page.leave:
        done = {a.step for a in page.job.acts}
        step = next((s for s in best_way(page.job) if s not in done), None)
        if step is None:
            yield from ("f", "f")
            return
        cards = [c.id if c else "" for c in page.job.hand(8)]
        way = cards.index(step) - page.form.focused.at
        yield from (["down"] if way > 0 else ["up"]) * abs(way)
        yield "enter"


def hand(page):
    """A wrench pulled thirty times, or as the sheet has it; seven twists; the oil that is missing."""
    joint = page.joint()
    if "torque" in page.card.asks:
        yield from ["p"] * round(joint.right_nm)
    page.hole, page.twists, page.litres = "12", 7.0, 7.0
    yield "d"


def record(page):
    """Every field of the record as the machine stands, signed by its button."""
    for field in page.fields:
        page.entry[field.key] = field.truth(page.machine) or "JK"
    yield from ["tab"] * len(page.fields)
    yield "enter"
