"""Cut-open inspection: what a run has left in a filter, laid out, looked at, sorted and judged."""
