"""What every test may ask for; the fixtures themselves stand in the modules named here.

Property tests run the same examples every time; `--hypothesis-profile=long` looks further, at random.
"""

from hypothesis import settings

pytest_plugins = ("needed_programs", "run_folder", "databases", "seed_seats", "running_service")

settings.register_profile("seeded", derandomize=True, deadline=None)
settings.register_profile("long", max_examples=5_000, deadline=None)
settings.load_profile("seeded")
