"""Property tests run without a stopwatch: the machine may be shared."""

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
