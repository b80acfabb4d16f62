"""Ratios of times, measured within one run, so that they hold on a fast and on a slow machine."""
