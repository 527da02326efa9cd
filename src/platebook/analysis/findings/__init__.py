"""What goes with failure in one setter's log."""
