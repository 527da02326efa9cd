"""Measuring: what a reading is worth, and studies of the tools that give it."""
