"""Now: the next exercise, its sizes, the seat and the plate."""
