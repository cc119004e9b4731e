"""Dirt in the rig: size classes, what the element catches, how it clogs, scraping, sludge and the books."""
