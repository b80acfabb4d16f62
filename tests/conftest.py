"""What every test may ask for; the fixtures themselves stand in the modules named here."""

pytest_plugins = ("needed_programs", "databases", "seed_seats", "running_service")
