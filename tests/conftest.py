"""For every test: how long a drawn example takes says nothing, so hypothesis sets no deadline."""

from hypothesis import settings

settings.register_profile("plain", deadline=None)
settings.load_profile("plain")
