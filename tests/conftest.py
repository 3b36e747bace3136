"""How the project's own property tests run: time is measured in benchmarks, so no example has a deadline."""

from hypothesis import settings

settings.register_profile("no_deadline", deadline=None)
settings.load_profile("no_deadline")
