"""Every route of the fit checks."""

ROUTES = ()
