"""Starter families, their positions and seats, the starters catalogued, and the parts listed for them."""
