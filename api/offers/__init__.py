"""Suppliers' offers: their terms, what a quantity costs, which to take."""
