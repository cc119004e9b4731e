"""A good element beside an overdue one: the way in from the first screen."""

from __future__ import annotations

import numpy as np

from glasscan.learning.catalogue import load_filter
from glasscan.ui.progress_task import ReportProgress
from glasscan.window.bench.beside_page import BesidePage, PairChoice
from glasscan.window.bench.filter_sources import RIGS, sound_rig
from glasscan.window.navigator import Navigator
from glasscan.workshop.inspection.inspection_data import FilterKind
from glasscan.workshop.inspection.side_by_side import GOOD_H, OVERDUE_H, served


def pair_of(kind: FilterKind, seed: int, tell: ReportProgress) -> PairChoice:
    """Both elements of a kind of filter, from one run of its rig; the number decides their sides."""
    seen = served(sound_rig(kind), load_filter(RIGS[kind][0]), (GOOD_H, *OVERDUE_H), tell)
    left = bool(np.random.default_rng([seed, 31]).random() < 0.5)
    return PairChoice(seen[0], seen[1:], left)


def beside(front: Navigator) -> bool:
    """Lay a good element beside an overdue one; False where the window was closed."""
    seed = int(np.random.default_rng().integers(1, 1000))
    pair = front.behind_bar("Two elements in service", lambda tell: pair_of("can", seed, tell))
    return pair is not None and front.show(BesidePage(front.desk, pair))
