"""Properties are not timed one by one: a busy machine is no defect."""

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
