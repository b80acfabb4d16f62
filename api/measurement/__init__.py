"""Lengths, counts, instruments and readings: what was measured, and how well it is known. Pure.

Lengths are integer nanometres. Nothing here knows of HTTP, a database, a clock or settings.
"""
