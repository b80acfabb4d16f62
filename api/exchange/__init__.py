"""Catalogue files in and out: reading, checking, loading."""
