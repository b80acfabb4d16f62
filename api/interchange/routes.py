"""Every route of interchange: a family's positions, makers, sizes, wear parts, numbers."""

from api.interchange import family_routes, maker_routes, number_routes, part_routes, size_routes

ROUTES = (
    *family_routes.ROUTES,
    *maker_routes.ROUTES,
    *size_routes.ROUTES,
    *part_routes.ROUTES,
    *number_routes.ROUTES,
)
