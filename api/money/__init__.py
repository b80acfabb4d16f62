"""Amounts of money: currencies, exact amounts, one rounding rule, tax. Pure."""
