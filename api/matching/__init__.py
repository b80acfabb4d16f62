"""From readings of a worn part to the sizes it may be: pure rules, free of any framework.

`model` and `readings` hold the values, `sizes` the columns searched, `density` and `likelihood` the
numbers, `posterior` the weighing, `grouping`, `contradictions`, `explanation` and
`next_reading` what is told about it.
"""
