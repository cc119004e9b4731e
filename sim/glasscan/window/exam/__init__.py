"""Pages of papers and class results: make, sit, mark, figures of a class."""
