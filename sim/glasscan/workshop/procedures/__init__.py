"""Work on a filter as ordered, consequential steps: what is left out comes back in the next run."""
