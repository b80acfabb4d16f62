"""All sizes of a kind as small columns, and finding the few that readings call for. Pure."""
