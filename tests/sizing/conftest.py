"""Random tests of this room are judged by their results, not by how busy the machine is."""

from hypothesis import settings

settings.register_profile("no_deadline", deadline=None)
settings.load_profile("no_deadline")
