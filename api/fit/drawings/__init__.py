"""Outlines of wear parts from their dimensions, for drawings. Pure."""
