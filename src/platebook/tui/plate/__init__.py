"""Plate: a whole plate filled in as a grid."""
