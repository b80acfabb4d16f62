"""The catalogue's own writes: created, replaced and changed by the rules that its files are read by."""
