"""The app from start to end: settings, first sight, keys typed ahead, rests, an orderly end."""
