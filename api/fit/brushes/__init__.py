"""Brushes in their holders: clearance, length, load."""
