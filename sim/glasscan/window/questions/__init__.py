"""Questions at the screen: answer forms, cards, keys worked out beside the window."""
