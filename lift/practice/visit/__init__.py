"""A visit: one client on one day, from what is planned to what came out."""
