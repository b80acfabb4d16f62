"""Renewal functions of Weibull lives as others give them: a textbook's table and a reference package."""

TIJMS = {0.1: 0.0061, 0.2: 0.0261, 0.4: 0.1087, 0.6: 0.2422, 1.0: 0.6091, 1.2: 0.8143}
"""Tijms, A First Course in Stochastic Models, table 8.1.1: mean 1, squared variation 0.25 (shape 2.101349,
scale 1.129063). At 0.8 it prints .4141; an independent solver finds .414049, which would print as .4140."""
TIJMS_LATER = {1.5: 1.124, 2.0: 1.627, 2.5: 2.125}
"""The same table, printed to three decimals."""

RELIFE_TIMES = (0.5, 1.0, 1.5, 2.0)
RELIFE = {
    0.7: (0.676649, 1.158974, 1.605315, 2.034558),
    1.5: (0.330270, 0.841578, 1.390915, 1.945501),
    2.0: (0.230794, 0.753691, 1.329491, 1.894039),
    2.5: (0.164771, 0.702507, 1.288804, 1.843908),
    3.5: (0.084801, 0.654705, 1.223069, 1.769011),
    6.0: (0.015504, 0.633151, 1.087855, 1.711891),
}
"""The package relife 3.0.0 (RenewalProcess.renewal_function, scale 1, 8,000 steps to 2), by shape, at
`RELIFE_TIMES`; from 2,000 to 8,000 steps its values move by 4e-7 at most."""
