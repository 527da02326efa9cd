"""What lies ready for the next setting: tools last used, the plate's stock, a block's plan."""
