"""Every route of the fit checks."""

from api.fit.brushes import brush_routes
from api.fit.bushings import bushing_routes
from api.fit.contacts import contact_routes
from api.fit.gears import gears_routes
from api.fit.limits import limits_routes

ROUTES = (
    *limits_routes.ROUTES,
    *bushing_routes.ROUTES,
    *contact_routes.ROUTES,
    *brush_routes.ROUTES,
    *gears_routes.ROUTES,
)
