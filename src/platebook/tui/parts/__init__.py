"""What every screen is made of: headline, widgets, plot, colours, clean text."""
