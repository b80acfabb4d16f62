"""Every route of interchange: a family's positions, wear parts, numbers."""

from api.interchange import family_routes, number_routes, part_routes

ROUTES = (*family_routes.ROUTES, *part_routes.ROUTES, *number_routes.ROUTES)
