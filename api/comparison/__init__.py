"""Repair against replacement: what each costs now, and which comes cheaper."""
