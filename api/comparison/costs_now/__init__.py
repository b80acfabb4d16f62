"""What repair and each replacement cost today, line by line. Pure."""
