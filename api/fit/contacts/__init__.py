"""Two contacts, their studs and the disc that meets both."""
