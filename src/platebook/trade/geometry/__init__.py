"""The seat as geometry: the hole a bur leaves, the stone at rest in it, the sheet around it."""
