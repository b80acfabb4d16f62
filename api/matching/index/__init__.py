"""The kinds as last read from the database, followed as it changes, with what answers tell of their parts."""
