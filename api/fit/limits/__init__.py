"""Tolerance classes of ISO 286 and the limits and fits they give."""
