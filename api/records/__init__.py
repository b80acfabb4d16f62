"""What was measured at the bench: records of specimens, and what the catalogue learns of them."""
