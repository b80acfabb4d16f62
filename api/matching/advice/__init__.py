"""What to read next, and what is to be gained by it. Pure."""
