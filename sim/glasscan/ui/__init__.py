"""The kit of the window: canvas, theme, widgets, text, focus, pages. Knows no filter and no lesson."""
