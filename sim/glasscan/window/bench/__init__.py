"""The workshop in the window: a filter cut open on the bench, and jobs done step by step."""
