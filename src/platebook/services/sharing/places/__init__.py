"""Where bundles lie: a folder of this machine, or a far place that a library opens by address."""
