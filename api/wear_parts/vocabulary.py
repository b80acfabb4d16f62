"""The words that kinds, sizes, parts and numbers are described with. Pure."""

MEASURES = ("length", "count", "choice")
WAYS = ("outside", "inside", "depth", "span", "count", "look")
WEAR_SENSES = ("grows", "shrinks", "none")
PROVENANCES = ("drawing", "catalogue", "measured")
SCHEMES = ("maker", "original_equipment", "aftermarket", "gtin")
VOLTAGES = (6, 12, 24)
OWNERS = ("part", "starter")
