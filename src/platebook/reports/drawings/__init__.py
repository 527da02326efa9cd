"""Drawings: the seat in section and the plate, as SVG and in a terminal's cells."""
