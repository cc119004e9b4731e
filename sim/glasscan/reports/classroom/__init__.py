"""Class results: how people and questions did, how far to trust the score, and a page to print."""
