"""The window: draws snapshots and sends intents; steps nothing."""
