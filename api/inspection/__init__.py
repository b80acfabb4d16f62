"""All readings of one stripped starter against limits, and what to check once it is together again."""
