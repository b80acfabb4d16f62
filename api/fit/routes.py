"""Every route of the fit checks."""

from api.fit import brush_routes, bushing_routes, contact_routes, gears_routes, limits_routes

ROUTES = (
    *limits_routes.ROUTES,
    *bushing_routes.ROUTES,
    *contact_routes.ROUTES,
    *brush_routes.ROUTES,
    *gears_routes.ROUTES,
)
