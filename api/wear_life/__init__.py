"""How long wear parts last: Weibull lives, ages, and the failures to expect until a horizon. Pure.

One time unit throughout (starts, months, ...); whatever it is, all times of a call are in it.
"""
