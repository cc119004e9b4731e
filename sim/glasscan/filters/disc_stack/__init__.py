"""The edge-type stacked-disc filter with scrapers."""
