"""Startwright: the wear part that fits a worn cranking starter, by its measured size."""
