"""What each will have cost in drawn histories: spread and chances. Pure."""
