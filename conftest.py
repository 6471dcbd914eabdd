"""Settings shared by all tests: property tests are repeatable and have no time limit of their own (kernels compile)."""

from hypothesis import settings

settings.register_profile("repeatable", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("repeatable")
