"""Every route of the fit checks."""

from api.fit import limits_routes

ROUTES = (*limits_routes.ROUTES,)
